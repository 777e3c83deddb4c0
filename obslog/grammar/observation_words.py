"""The words of an observation: a target, how it was seen and what was told, and the text.

`m31 big oval glow`, `M 33 not seen`, `M 81 averted 150x rating 4; oval, brighter middle`. Settings stand directly
behind the target, the plain ones (`150x`, `rating 4`, `averted`, `direct`) at the end of the text too; what is neither
is the text, and behind a semicolon everything is.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from obslog.errors import ObslogError, WrongInput
from obslog.fields import TARGET
from obslog.grammar import told_words
from obslog.grammar.arrival_words import NoTarget, apart, checked
from obslog.grammar.target_names import Target
from obslog.grammar.target_words import misspelt_longer_name, split_target, unknown_beginning
from obslog.grammar.told_words import NamesOnRecord, Settings
from obslog.vocabulary.observations import FindingMethod, Sighting, Vision

_READERS = (
    told_words.sighting,
    told_words.vision,
    told_words.magnification,
    told_words.rating,
    told_words.filter_used,
    told_words.sketch,
    told_words.eyepiece,
    told_words.found_by,
    told_words.observer,
)
_AT_THE_END = (told_words.vision, told_words.magnification, told_words.rating)
_LONGEST_AT_THE_END = 2
_LEADS_TO = ("at", "with", "in", "by", "under", "using", "only", "than", "to", "of", "and", "or", "not")
"""Words behind which a setting is a part of the sentence too: `a star in its middle at 150x`."""


class UnclearText(WrongInput):
    """A text that ends as if the object itself had not been seen, or not surely."""

    def __init__(self, target: Target, text: str, ends: str) -> None:
        super().__init__(
            f"Was {target.name} {ends}, or is that a part of the text {text!r}?",
            f"Write {ends} directly behind the name, or the text in quotes.",
        )


class OtherTarget(WrongInput):
    def __init__(self, target: Target, words: str, longer: str) -> None:
        super().__init__(
            f"{words!r} begins with {target.name}, but looks like {longer}.",
            f"Write {longer}, or put all that stands behind {target.name} in quotes.",
        )


class SeveralTargets(WrongInput):
    """A list of objects on one line: the others would be kept as the first one's text."""

    def __init__(self, first: str, other: str) -> None:
        super().__init__(
            f"{first} and {other} stand on one line.",
            "Write a line for each; or what is a text, behind a semicolon.",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class ObservationSaid:
    """What the words of an observation say; what is None was not said."""

    target: Target
    sighting: Sighting = Sighting.SEEN
    vision: Vision | None = None
    found_by: FindingMethod | None = None
    eyepiece: str | None = None
    magnification: float | None = None
    filter: str | None = None
    rating: int | None = None
    sketch: str | None = None
    observer: str | None = None
    text: str | None = None


def read_observation(
    words: Sequence[str],
    *,
    sighting: Sighting | None = None,
    text: str | None = None,
    as_written: bool = False,
    names: NamesOnRecord | None = None,
) -> ObservationSaid:
    """What the words of an observation say; `sighting` is what the verb said of it, `text` is behind a semicolon.

    A word that was quoted holds the spaces that it had. `as_written` takes an unknown name as it stands, up to the
    semicolon or to settings at its end; quoted, it is exactly that.
    Raises UnknownTarget, UnclearText, UnclearEnd, OtherTarget, SeveralTargets, and other WrongInput for a setting.
    """
    quoted, words = apart(words)
    if not words:
        raise NoTarget("M 81; oval glow")
    settings = Settings(readers=_READERS, names=names, closed=text is not None)
    split = split_target(words, lambda rest: _all_are_settings(rest, settings))
    if split is not None:
        target, rest = checked(split[0], words, split[1]), split[1]
        if rest and (longer := misspelt_longer_name(target, words, rest)):
            raise OtherTarget(target, " ".join(words), longer)
        if rest and not as_written and (other := _listed_with(words, rest)):
            raise SeveralTargets(target.name, other)
    elif as_written:
        end = len(quoted.split()) if quoted else _end_of_name(words, settings)
        name = TARGET.checked(quoted or " ".join(words[:end]))
        target, rest = Target(name=name, known=False), words[end:]
    else:
        end = _end_of_name(words, settings)
        TARGET.checked(" ".join(words[: end if text is not None else 1]))
        raise unknown_beginning(words, end)
    told, free = _told(rest, settings)
    if free and text is None:
        free = _without_settings_at_the_end(target, free, told)
    whole = "; ".join(part for part in (" ".join(free), text) if part) or None
    if sighting is not None and told.setdefault("sighting", sighting) != sighting:
        raise told_words.SaidTwice(told_words.WORDS["sighting"])
    return ObservationSaid(target=target, text=whole, **told)


def read_correction(
    words: Sequence[str], *, as_written: bool = False, names: NamesOnRecord | None = None
) -> tuple[Target | None, dict[str, Any]]:
    """What the words say anew of an observation: another target, if one is named, and settings.

    Raises UnknownTarget, UnreadableSetting, and other WrongInput for a setting.
    """
    quoted, words = apart(words)
    settings = Settings(readers=_READERS, names=names, closed=True)
    told, others = _told(words, settings)
    if not others:
        return None, told
    split = split_target(words, lambda rest: _all_are_settings(rest, settings))
    if split is not None:
        target, rest = checked(split[0], words, split[1]), split[1]
    else:
        end = len(quoted.split()) if quoted else _end_of_name(words, settings)
        name = TARGET.checked(quoted or " ".join(words[:end]))
        if not as_written:
            raise unknown_beginning(words, end)
        target, rest = Target(name=name, known=False), words[end:]
    told, others = _told(rest, settings)
    if others:
        raise told_words.UnreadableSetting(
            " ".join(others), "rating 4, averted, 150x; words stand behind a semicolon"
        )
    return target, told


def _listed_with(words: Sequence[str], rest: Sequence[str]) -> str | None:
    """The object of a catalogue that stands behind the first one and a comma: of `M 81, M 82` the second."""
    if not words[-len(rest) - 1].endswith(","):
        return None
    split = split_target(rest, lambda _: False)
    if split is None:
        return None
    name = rest[: len(rest) - len(split[1])]
    return split[0].name if any(c.isdigit() for word in name for c in word) else None


def _told(rest: Sequence[str], settings: Settings) -> tuple[dict[str, Any], tuple[str, ...]]:
    """The settings with which the words begin, and the words behind them."""
    told: dict[str, Any] = {}
    at = 0
    while at < len(rest) and " " not in rest[at] and (setting := settings.first(rest[at:])):
        at += told_words.add(told, setting)
    return told, tuple(rest[at:])


def _longest_at_the_end(ends: Settings, free: tuple[str, ...]) -> told_words.Setting | None:
    for length in range(min(len(free), _LONGEST_AT_THE_END), 0, -1):
        setting = ends.first(free[-length:])
        if setting is not None and setting[2] == length:
            return setting
    return None


def _without_settings_at_the_end(
    target: Target, free: tuple[str, ...], told: dict[str, Any]
) -> tuple[str, ...]:
    """The text without the plain settings that it ends with, which are told. Raises UnclearText."""
    ends = Settings(readers=_AT_THE_END)
    while setting := _longest_at_the_end(ends, free):
        without = free[: -setting[2]]
        before = [word.casefold() for word in without[-2:]]
        if before and before[-1] in _LEADS_TO:
            if "not" not in before:
                told_words.add(told, setting)
            return free
        told_words.add(told, setting)
        free = _without_last_comma(without)
    for length in (1, 2):
        said = told_words.sighting(free[-length:], ends) if len(free) >= length else None
        if said is not None and said[2] == length and "sighting" not in told:
            raise UnclearText(target, " ".join(free), said[1])
    return free


def _without_last_comma(words: tuple[str, ...]) -> tuple[str, ...]:
    """Without the comma that parted the text from the setting behind it: `huge ball, 40x`."""
    last = words[-1].rstrip(",") if words else ""
    return (*words[:-1], last) if last else words[:-1]


def _all_are_settings(rest: Sequence[str], settings: Settings) -> bool:
    try:
        return not _told(rest, settings)[1]
    except ObslogError:
        return False


def _end_of_name(words: Sequence[str], settings: Settings) -> int:
    """Where an unknown name ends: before settings with which the words end."""
    ends = range(1, len(words))
    return next((end for end in ends if _all_are_settings(words[end:], settings)), len(words))
