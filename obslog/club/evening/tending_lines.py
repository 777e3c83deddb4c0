"""Lines about what was seen, what the sky is like, and how the equipment fares: saw, sky, note, snag, tick, battery."""

from contextlib import suppress

from obslog.club.evening.asked import Asked
from obslog.club.evening.names_typed import step_meant
from obslog.club.evening.pointing_lines import as_meant
from obslog.club.night.night_pages import NightPage
from obslog.club.night.nights import note_night
from obslog.club.night.observation_corrections import (
    RemovedObservation,
    edit_observation,
    remove_observation,
)
from obslog.club.night.observations import (
    ObservationEntry,
    RecordedObservations,
    entry_of,
    record_observations,
)
from obslog.club.night.open_night import NoOpenNight
from obslog.club.night.snags import SnagLine, add_snag
from obslog.club.register.names_on_record import names_on_record
from obslog.club.routine.club_steps import read_steps
from obslog.errors import ObslogError, UnknownName, WrongInput
from obslog.grammar.observation_words import read_correction, read_observation
from obslog.grammar.sky_readings import ScaleReading, UnreadableSky, read_sky
from obslog.vocabulary.observations import Sighting
from obslog.vocabulary.sky_scales import SKY_SCALE_MEANING, SkyScale
from obslog.vocabulary.steps import StepKey

_ALSO_CALLED = {"sqm": SkyScale.SKY_METER, "mpsas": SkyScale.SKY_METER, "nelm": SkyScale.NAKED_EYE_LIMIT}


class NothingSaid(WrongInput):
    def __init__(self, verb: str, written: str) -> None:
        super().__init__(f"Nothing stands behind {verb}.", f"Write: {written}")


class NoMountKnown(ObslogError):
    def __init__(self) -> None:
        super().__init__("No set-up is open, and no mount was used before.", "Start one: setup start MOUNT")


class NoSiteKnown(ObslogError):
    def __init__(self) -> None:
        super().__init__(
            "No night is open, and which site is meant is not known.", "Start one: night start SITE"
        )


class NoNumberOnScale(WrongInput):
    def __init__(self, scale: SkyScale, typed: str) -> None:
        super().__init__(
            f"{typed!r} is no number on the scale {scale}.", f"It is {SKY_SCALE_MEANING[scale]}."
        )


def saw(asked: Asked, sighting: Sighting | None = None) -> RecordedObservations:
    """Put on record what was seen, suspected or looked for in vain."""
    names = names_on_record(asked.database)
    said = as_meant(
        asked,
        asked.line.words,
        lambda words: read_observation(
            words, sighting=sighting, text=asked.line.text, as_written=asked.keeps_names, names=names
        ),
    )
    return record_observations(
        asked.database,
        said.target.name,
        entry_of(said, ObservationEntry(at=asked.line.at)),
        asked.now,
        observers=(said.observer,),
        mount=asked.standing.mount,
        sure=asked.sure,
        me=asked.me,
    )


def correct_seen(asked: Asked) -> RecordedObservations | RemovedObservation:
    """`edit saw 2 m82 rating 4; round`: what an entry of tonight's says, or `edit saw 2 remove`; without a number of
    the one that was typed in last."""
    words = list(asked.line.words[1:])
    if asked.standing.night is None:
        raise NoOpenNight
    number = int(words.pop(0)) if words and words[0].isdecimal() else None
    if [word.casefold() for word in words] == ["remove"]:
        return remove_observation(asked.database, number, asked.now, choice=asked.night)
    names = names_on_record(asked.database)
    target, told = as_meant(
        asked, words, lambda words: read_correction(words, as_written=asked.keeps_names, names=names)
    )
    observer = told.pop("observer", None)
    return edit_observation(
        asked.database,
        number,
        ObservationEntry(description=asked.line.text, at=asked.line.at, **told),
        asked.now,
        choice=asked.night,
        target=target.name if target else None,
        observer=observer,
        sure=asked.sure,
    )


def snag(asked: Asked) -> SnagLine:
    """Note what went wrong at a step."""
    if not asked.line.words:
        raise NothingSaid("snag", "snag STEP WORDS")
    step = _step_of_snag(asked)
    told = " ".join(asked.line.words[1:])
    text = f"{told}; {asked.line.text}" if told and asked.line.text else told or asked.line.text or ""
    if not text:
        raise NothingSaid(f"snag {asked.line.words[0]}", "snag STEP WORDS")
    return add_snag(
        asked.database, step, text, asked.now, mount=asked.standing.mount, at=asked.line.at, me=asked.me
    )


def _step_of_snag(asked: Asked) -> StepKey:
    try:
        return _step_meant(asked, asked.line.words[0])
    except UnknownName as error:
        error.hint = (
            f"Put the step first: snag power battery low. What fits no step: note {asked.words}. {error.hint}"
        )
        raise


def _step_meant(asked: Asked, typed: str) -> StepKey:
    return step_meant(typed, asked.standing.mount_type, read_steps(asked.database))


def tick(asked: Asked) -> object:
    """Tick a step of the checklist: of the set-up that is open, else of the mount and site used last."""
    from obslog.club.checklist.step_ticks import tick_step
    from obslog.grammar.typed_times import instant_meant

    words = list(asked.line.words)
    if not words:
        raise NothingSaid("tick", "tick STEP [VALUE] [wrong]")
    step = _step_meant(asked, words.pop(0))
    text = asked.line.text
    wrong = [word.casefold() for word in words[-1:]] == ["wrong"]
    if wrong:
        words.pop()
    elif text is not None and text.casefold() == "wrong":
        wrong, text = True, None
    value = "; ".join(part for part in (" ".join(words), text) if part) or None
    here = asked.standing
    if here.last_mount is None:
        raise NoMountKnown
    if here.site is None:
        raise NoSiteKnown
    at_utc = instant_meant(asked.line.at, asked.now, here.zone) if here.zone else asked.now
    return tick_step(
        asked.database,
        step,
        here.last_mount,
        here.site,
        at_utc,
        asked.now,
        went_well=not wrong,
        value=value,
        me=asked.me,
    )


def sky(asked: Asked) -> NightPage:
    """Note a reading of the sky for the open night."""
    if not asked.standing.night:
        return _no_night()
    reading = _reading(asked.line.words)
    return note_night(asked.database, asked.night, asked.now, sky=[reading], at=asked.line.at)


def note(asked: Asked) -> NightPage:
    """Add a note to the open night."""
    if not asked.words:
        raise NothingSaid("note", "note WORDS")
    if not asked.standing.night:
        return _no_night()
    return note_night(asked.database, asked.night, asked.now, note=asked.words)


def battery(asked: Asked) -> object:
    """Note a battery's volts at rest, and under load; without a number show its tests."""
    from obslog.club.evening.names_typed import battery_meant
    from obslog.club.upkeep.batteries import battery_page, note_test

    words = list(asked.line.words)
    volts: list[float] = []
    while words and (number := _number(words[-1])) is not None and len(volts) < 2:
        volts.insert(0, number)
        words.pop()
    name = None
    if (
        len(volts) == 2 and volts[0] < volts[1]
    ):  # no battery has more under load: `battery 3 12.4` is Battery 3
        with suppress(UnknownName):
            name = battery_meant(asked.database, " ".join(asked.line.words[:-1]))
            del volts[0]
    if name is None:
        name = battery_meant(asked.database, " ".join(words))
    if not volts:
        return battery_page(asked.database, name)
    rest, load = (*volts, None)[:2]
    return note_test(asked.database, name, asked.now, rest_volts=rest, load_volts=load)


def _no_night() -> NightPage:
    raise NoOpenNight


def _reading(words: tuple[str, ...]) -> ScaleReading:
    """A scale, by any beginning of one of its words that only it has, and a number."""
    if len(words) < 2:
        return read_sky(" ".join(words))
    typed, number = "-".join(words[:-1]).casefold(), words[-1].replace(",", ".")
    if typed == "seeing":  # one scale has it in its name, and the numbers of the others run the other way
        return read_sky(f"{typed} {number}")
    fitting = {
        scale
        for scale in SkyScale
        if scale.startswith(typed) or any(part.startswith(typed) for part in scale.split("-"))
    }
    scale = _ALSO_CALLED.get(typed) or (fitting.pop() if len(fitting) == 1 else None)
    if scale is not None and _number(number) is None:
        raise NoNumberOnScale(scale, words[-1])
    if scale is None and typed not in list(SkyScale):
        if fitting:
            raise UnreadableSky(" ".join(words))
        return read_sky(" ".join(words))
    return read_sky(f"{scale or typed} {number}")


def _number(text: str) -> float | None:
    if "_" in text:  # Python's way to part thousands, and on a keyboard a slip
        return None
    try:
        return float(text.replace(",", ".").removesuffix("V").removesuffix("v"))
    except ValueError:
        return None
