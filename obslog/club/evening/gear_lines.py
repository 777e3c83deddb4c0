"""Lines about nights and set-ups, and what is changed during one: eyepiece, side of the pier, how much is said."""

from dataclasses import replace
from datetime import datetime

from obslog.club.evening.asked import Asked, PromptSettings, SaidWords
from obslog.club.evening.hints import at_the_prompt
from obslog.club.evening.names_typed import OneTooMany, names_in
from obslog.club.evening.verbs import VERBS
from obslog.club.night.night_pages import NightPage, show_night
from obslog.club.night.nights import end_night, start_night
from obslog.club.night.open_night import NoOpenNight, NoOpenSetup, NoSuchNight, SetupChoice, chosen_setup
from obslog.club.night.setup_corrections import CorrectedSetup, end_setup, flip_setup
from obslog.club.night.setups import SetupPage, show_setup, start_setup
from obslog.club.register.true_field import field_in_use_arcmin
from obslog.club.register.usual_choices import (
    SetupParts,
    mount_meant,
    parts_meant,
    person_meant,
    present_meant,
    site_meant,
)
from obslog.errors import WrongInput
from obslog.grammar.name_choice import fitting_names
from obslog.records.database import Database
from obslog.records.name_lookup import by_name
from obslog.records.tables.logbook_tables import Eyepiece
from obslog.vocabulary.mounts import PierSide


class NotSaidSo(WrongInput):
    def __init__(self, verb: str, words: str, written: str) -> None:
        super().__init__(
            f"{words!r} is not understood after {verb}." if words else f"{verb} needs a word.",
            f"Write: {written}",
        )


class SideNotKnown(WrongInput):
    def __init__(self) -> None:
        super().__init__(
            "On which side of the pier the tube is was not said yet.", "Say where it is now: pier west"
        )


def night(asked: Asked) -> tuple[NightPage, PromptSettings]:
    """Start the night, end it, or show it."""
    words, settings = list(asked.line.words), asked.settings
    what = words.pop(0).casefold() if words else "show"
    if _begins(what, "start"):
        named = names_in(asked.database, words, ("site", "member"), many="member")
        site = site_meant(asked.database, named.get("site", [None])[0], asked.taken.append, "SITE")
        there = present_meant(asked.database, named.get("member", ()), asked.me, asked.taken.append)
        page = start_night(asked.database, site, asked.now, present=there, note=asked.line.text)
        return page, replace(settings, site=page.site)
    if _begins(what, "end") and not words:
        if asked.standing.night is None:
            raise NoOpenNight
        page = end_night(asked.database, asked.night, asked.now, at=asked.line.at, note=asked.line.text)
        return page, PromptSettings()
    if what == "show" and not words:
        try:
            return show_night(asked.database, asked.night), settings
        except NoSuchNight as error:
            raise NoOpenNight from error
    raise NotSaidSo("night", " ".join(asked.line.words), VERBS["night"].written)


def setup(asked: Asked) -> tuple[SetupPage, PromptSettings]:
    """Start a set-up, end one, show the one that is meant, or go on with another that is open."""
    words, settings = list(asked.line.words), asked.settings
    what = words[0].casefold() if words else "show"
    if words and _begins(what, "start"):
        page = _started(asked, words[1:])
        return page, replace(settings, mount=page.mount)
    if words and _begins(what, "end"):
        mount = _mount(asked, words[1:]) if words[1:] else asked.setup.mount
        page = end_setup(asked.database, SetupChoice(mount), asked.now, at=asked.line.at)
        others = settings.mount if settings.mount != page.mount else None
        return page, replace(settings, mount=others)
    try:
        if words and words != ["show"]:
            mount = _mount_alone(asked, words)
            return _open_page(asked.database, mount), replace(settings, mount=mount)
        return show_setup(asked.database, asked.setup), settings
    except NoSuchNight as error:
        raise NoOpenSetup from error


def eyepiece(asked: Asked) -> SaidWords:
    """Change the set-up's eyepiece for what follows; what is on record keeps the one that it was seen with."""
    typed = asked.words
    if not typed:
        return SaidWords((f"Eyepiece: {asked.standing.eyepiece or 'not known'}.",))
    name = _named(asked, typed.split(), "eyepiece")
    return change_eyepiece(asked.database, name, asked.setup, asked.now)


def change_eyepiece(database: Database, name: str, choice: SetupChoice, now: datetime) -> SaidWords:
    """Put another eyepiece into the set-up that is open. Raises NoOpenSetup, UnknownName, WhichOne."""
    with database.write(now, f"change to the eyepiece {name}") as session:
        where = chosen_setup(session, choice)
        found = by_name(session, Eyepiece, name)
        whole, where.setup.eyepiece_id = found.name, found.id
        session.flush()
        field = field_in_use_arcmin(session, where.setup, None)
    known = "its field with this tube is not known" if field is None else f"true field {field:g}'"
    return SaidWords((f"Eyepiece from now on: {whole}, {known}.",))


def pier(asked: Asked) -> SaidWords | CorrectedSetup:
    """Say on which side of the pier the tube is: the arrivals that follow are on that side."""
    typed = asked.words.casefold()
    if not typed:
        side = asked.standing.pier
        return SaidWords(
            (f"Tube on the {side} side of the pier." if side else "Side of the pier: not said.",)
        )
    fitting = [side for side in PierSide if side.startswith(typed)]
    if len(fitting) != 1:
        raise NotSaidSo("pier", asked.words, "pier east or pier west")
    return _turned(asked, fitting[0])


def flip(asked: Asked) -> CorrectedSetup:
    """The tube goes to the other side, from where it was said to be, or where the last arrival had it."""
    side = asked.standing.pier or asked.standing.last_pier
    if side is None and asked.standing.setup is not None:
        raise SideNotKnown
    return _turned(asked, PierSide.EAST if side is PierSide.WEST else PierSide.WEST)


def quiet(asked: Asked) -> tuple[SaidWords, PromptSettings]:
    """Say less of one's own accord, or again as much as before."""
    typed = asked.words.casefold()
    if typed not in ("", "on", "off"):
        raise NotSaidSo("quiet", asked.words, "quiet, quiet on or quiet off")
    on = typed == "on" or (not typed and not asked.settings.quiet)
    words = "Only cautions are said now; quiet off brings the rest back." if on else "All is said again."
    return SaidWords((words,)), replace(asked.settings, quiet=on)


def stocktake(asked: Asked) -> tuple[object, PromptSettings]:
    """Begin a stocktake, tick in it, show or finish it: whatever its own reader of such lines makes of the words."""
    from obslog.club.shelves.typed_lines import Counting, FinishAsked, do_line

    done = do_line(
        asked.database,
        asked.line.words,
        asked.now,
        note=asked.line.text,
        usual_member=lambda: person_meant(asked.database, None, asked.me, asked.taken.append, "counted by"),
        sure=asked.sure,
        agreed_to=asked.agreed_to.plan if isinstance(asked.agreed_to, FinishAsked) else None,
        counting=Counting(on=asked.settings.counting, place=asked.settings.place),
    )
    if done is None:
        raise NotSaidSo("stocktake", asked.words, VERBS["stocktake"].written)
    settings = replace(asked.settings, counting=done.counting.on, place=done.counting.place)
    return (SaidWords(done.said) if done.value is None else done.value), settings


def _started(asked: Asked, words: list[str]) -> SetupPage:
    parts = ("tube", "eyepiece", "member")
    named = names_in(asked.database, words, ("mount", *parts), may_be_none=parts)
    one = {kind: found[0] for kind, found in named.items()}
    mount = mount_meant(asked.database, one.get("mount"), asked.taken.append)
    told = SetupParts(tube=one.get("tube"), eyepiece=one.get("eyepiece"), observer=one.get("member"))
    meant = parts_meant(asked.database, mount, told, asked.me, asked.taken.append)
    return start_setup(
        asked.database,
        mount,
        asked.now,
        tube=meant.tube,
        observer=meant.observer,
        eyepiece=meant.eyepiece,
        site=asked.standing.site if asked.standing.night else None,
        at=asked.line.at,
        note=asked.line.text,
        say=lambda words: asked.taken.append(at_the_prompt(words)),
    )


def _open_page(database: Database, mount: str) -> SetupPage:
    page = show_setup(database, SetupChoice(mount=mount))
    if not page.open:
        raise NoOpenSetup
    return page


def _mount(asked: Asked, words: list[str]) -> str:
    return _named(asked, words, "mount")


def _mount_alone(asked: Asked, words: list[str]) -> str:
    """The mount that the words name; who names more than one wants to begin a set-up, and is told how."""
    try:
        return _mount(asked, words)
    except OneTooMany as error:
        raise NotSaidSo("setup", " ".join(words), VERBS["setup"].written) from error


def _named(asked: Asked, words: list[str], kind: str) -> str:
    """The name that the words hold; filling words alone are none."""
    named = names_in(asked.database, words, (kind,))
    if kind not in named:
        raise NotSaidSo(asked.line.verb, " ".join(words), VERBS[asked.line.verb].written)
    return named[kind][0]


def _turned(asked: Asked, side: PierSide) -> CorrectedSetup:
    return flip_setup(asked.database, side, asked.setup, asked.now, at=asked.line.at, sure=asked.sure)


def _begins(typed: str, word: str) -> bool:
    return bool(fitting_names(typed, [word]))
