"""Lines that only look: where and when things are, what is on record, what to do next. Heavy imports stay inside."""

from dataclasses import replace
from datetime import datetime
from typing import Any

from sqlalchemy.orm import Session

from obslog.club.evening.asked import Asked, NothingMore, SaidWords
from obslog.club.evening.tending_lines import NoMountKnown, NoSiteKnown, NothingSaid
from obslog.club.evening.verbs import VERBS, Verb
from obslog.club.night.observation_lines import list_observations
from obslog.club.night.open_night import (
    NightChoice,
    NoOpenSetup,
    NoSuchNight,
    SetupChoice,
    Where,
    chosen_setup,
)
from obslog.club.night.setups import show_setup
from obslog.club.register.observing_site import ObservingSite, instant_at, observing_site
from obslog.errors import WrongInput
from obslog.grammar.lines import read_verb
from obslog.grammar.target_names import UnknownTarget
from obslog.sky.names.lookup import UnknownInSky
from obslog.vocabulary.cautions import Danger

ACTS_TOLD = 10
TARGETS_TOLD = 8  # a screen of a narrow terminal; later in the night one asks again
Shown = tuple[Any, object]
"""A value, and what a screen needs beside it."""


class NotInTheSky(UnknownTarget):
    """A name that was looked for, and that nothing would be kept under."""

    def __init__(self, name: str, error: UnknownInSky) -> None:
        super().__init__(name, name.split(), error, error.nearest)
        self.hint = error.hint


def where(asked: Asked) -> Shown:
    """Where something stands, now or at the line's time."""
    from obslog.club.sky.where import where_is

    view = _view(asked)
    at_utc = instant_at(view, asked.line.at, asked.now, planning=asked.line.at is not None)
    return _found(asked, lambda name: where_is(view, name, at_utc)), at_utc.astimezone(view.zone)


def when(asked: Asked) -> Shown:
    """When something is up tonight and through the year."""
    from obslog.club.sky.when import when_is

    view = _view(asked)
    return _found(asked, lambda name: when_is(view, name, _planned(asked, view))), view.zone


def pole(asked: Asked) -> Shown:
    from obslog.club.sky.pole import pole_now

    view = _view(asked)
    at_utc = instant_at(view, asked.line.at, asked.now, planning=asked.line.at is not None)
    return pole_now(view, at_utc), view.zone


def brief(asked: Asked) -> Shown:
    from obslog.club.checklist.briefing import brief as make_brief

    view, here = _view(asked), asked.standing
    mounts = [here.mount] if here.mount else []
    return make_brief(
        asked.database, view, _planned(asked, view), mounts, member_name=here.observer
    ), view.zone


def checklist(asked: Asked) -> Shown:
    """The checklist of the mount that is set up, else of the one used last."""
    from obslog.club.checklist.checklist import checklist as make_checklist

    view, here = _view(asked), asked.standing
    if here.last_mount is None:
        raise NoMountKnown
    short = asked.words.casefold()
    if not "short".startswith(short):
        raise WrongInput(
            f"{asked.words!r} is not understood after checklist.", "Write: checklist, or checklist short"
        )
    made = make_checklist(
        asked.database, here.last_mount, view.site, _planned(asked, view), member_name=here.observer
    )
    return made, bool(short)


def targets(asked: Asked) -> Shown:
    from obslog.club.targets.planned_targets import Wish
    from obslog.club.targets.target_plan import plan_targets
    from obslog.errors import UnknownName

    view, here, listed = _view(asked), asked.standing, asked.words.casefold()
    lists = [name for name in VERBS["targets"].words if listed and name.startswith(listed)]
    if listed and len(lists) != 1:
        raise UnknownName(
            "list", asked.words, VERBS["targets"].words, see="Lists: messier, caldwell, doubles."
        )
    wish = Wish(
        mount=here.mount,
        tube=here.tube,
        listed=lists[0] if lists else None,
        wanderers=not lists,
        most=TARGETS_TOLD,
    )
    return plan_targets(asked.database, view, _planned(asked, view), wish), view.zone


def listed(asked: Asked) -> Shown:
    """The arrivals of the set-up that is open, or was last, and what was seen in its night.

    In an open night nothing is shown of another: the numbers are those of `edit` and `edit saw`.
    """
    here = asked.standing
    try:
        page = show_setup(asked.database, asked.setup)
    except NoSuchNight as error:
        if here.night is None:
            raise NoOpenSetup from error
        return (None, list_observations(asked.database, asked.night)), None
    if here.night is not None and (page.site, page.night) != (here.site, here.night):
        return (None, list_observations(asked.database, asked.night)), None
    return (page, list_observations(asked.database, NightChoice(page.site, page.night))), None


def next_step(asked: Asked) -> Shown:
    """What to do next; in a set-up, which stars to sync on and what each buys."""
    here = asked.standing
    if here.night is None:
        return SaidWords(("Start the night: night start SITE", "Before it: brief, checklist.")), None
    if here.setup is None:
        return SaidWords(("Start the set-up: setup start MOUNT",)), None
    from obslog.club.aligning.star_candidates import usual_limits
    from obslog.club.aligning.sync_star_plan import plan_stars
    from obslog.club.live.situation import LiveMemory, situation_of
    from obslog.club.live.sun_answers import sun_is_up
    from obslog.club.live.tonights_plan import MOST_SYNCS, is_measured, syncs_made, what_is_left, when_seen

    view = _view(asked)
    assert here.mount is not None, "a set-up is of a mount"
    seen = when_seen(view, asked.now)
    if seen is None:
        return SaidWords(
            (f"CAUTION. {Danger.DAYTIME}", "In this night no star is to be seen any more: night end")
        ), None
    instant, from_when = seen
    with asked.database.read() as session:
        open_setup = chosen_setup(session, SetupChoice(mount=here.mount))
        at = situation_of(session, open_setup, asked.now, LiveMemory())
        if syncs_made(at) >= MOST_SYNCS:
            return SaidWords(("Enough stars are synced. Verify on one not used: check STAR",)), None
        left = None if is_measured(at) else what_is_left(at, instant)
        if left is None and syncs_made(at) and at.machine is not None:
            return SaidWords(_as_things_stand(session, open_setup, asked.now)), None
    plan = left or plan_stars(
        asked.database, here.mount, here.tube, view, instant, MOST_SYNCS, usual_limits(view)
    )
    if sun_is_up(asked.now, view.place):  # though the stars are planned for after it has set
        plan = replace(plan, caution=plan.caution or str(Danger.DAYTIME))
    return plan, from_when


def _as_things_stand(session: Session, where: Where, now: datetime) -> tuple[str, ...]:
    """What is said at once, where somebody synced on stars of their own or checked some: the plan knows none of it."""
    from obslog.club.live.answers import LiveKind
    from obslog.club.live.answers_now import answers_of

    to_do = {LiveKind.FIRST_STAR, LiveKind.MISFIT, LiveKind.NEXT_STAR}
    told = [
        answer
        for answer in answers_of(session, where, now)
        if answer.kind in to_do | {LiveKind.SUN, LiveKind.LANDING}
    ]
    words = tuple(
        f"CAUTION. {answer.words}" if answer.is_caution else answer.words[0].upper() + answer.words[1:]
        for answer in told
    )
    if any(answer.kind in to_do for answer in told):
        return words
    return (*words, "No other star that is seen would gain much. Verify on one not used: check STAR")


def history(asked: Asked) -> object:
    """The newest acts; or what an act did, or the life of a record, by its name or reference."""
    from obslog.club.history.told import history_of, newest_acts

    words = list(asked.line.words)
    most = ACTS_TOLD
    if len(words) > 1 and words[-2].casefold() == "most":
        most = _number(words[-1], asked)
        words = words[:-2]
    if not words:
        return newest_acts(asked.database, most)
    return history_of(asked.database, " ".join(words), most)


def _number(word: str, asked: Asked) -> int:
    if not (word.isascii() and word.isdecimal() and 0 < int(word) < 10_000):
        raise NothingMore(asked.line.verb, ("most", word), VERBS[asked.line.verb].written)
    return int(word)


def helped(asked: Asked) -> tuple[Verb, ...]:
    """How a line of the verb is written; of all verbs without one."""
    if not asked.line.words:
        return tuple(VERBS.values())
    return (VERBS[read_verb(asked.line.words[0], tuple(VERBS))],)


def _view(asked: Asked) -> ObservingSite:
    if asked.standing.site is None:
        raise NoSiteKnown
    return asked.standing.view or observing_site(asked.database, asked.standing.site)


def _planned(asked: Asked, view: ObservingSite) -> datetime:
    return instant_at(view, asked.line.at, asked.now, planning=True)


def _found(asked: Asked, look: Any) -> Any:
    """What looking for the line's object gives. Raises UnknownTarget."""
    name = asked.target or asked.words
    if not name:
        raise NothingSaid(asked.line.verb, VERBS[asked.line.verb].written)
    try:
        return look(name)
    except UnknownInSky as error:
        raise NotInTheSky(name, error) from error
