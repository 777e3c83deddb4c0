"""The words of an arrival: a target, and behind it where it stood and what was told, in any order.

`Vega 3E 2N`, `vega 3E2Npw`, `m31 edge pier east`, `Regulus pw 12E 5N eyepiece Wide`.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any

from obslog.errors import ObslogError, WrongInput
from obslog.fields import TARGET
from obslog.grammar import told_words
from obslog.grammar.target_names import Target
from obslog.grammar.target_words import misspelt_longer_name, split_target, unknown_beginning
from obslog.grammar.told_words import NamesOnRecord, Settings
from obslog.offsets import (
    SAME_WORD_MISSPELT,
    OffsetOrLanding,
    UnreadableOffset,
    is_offset_or_landing,
    looks_like_offset,
    read_offset_or_landing,
)
from obslog.vocabulary.arrivals import Landing
from obslog.vocabulary.mounts import PierSide

_READERS = (
    told_words.pier,
    told_words.eyepiece,
    told_words.field_of_view,
    told_words.observer,
    told_words.centring,
)
_BARE_CENTRE = ("center", "centre")
"""Centred, behind a known target; unknown names end so (the galactic center)."""
_MOST_WORDS_OF_A_PLACE = 6
_BEGINNINGS = (*Landing, "pier", "eyepiece", "field", "centring")


class NotAPlace(WrongInput):
    """Words behind a target that are neither where it stood nor a setting."""

    def __init__(self, target: Target, words: Sequence[str], longer: str | None = None) -> None:
        text = " ".join(words)
        near = get_close_matches(words[0].casefold(), _BEGINNINGS, n=1, cutoff=SAME_WORD_MISSPELT)
        meant = longer or (near[0] if near else None)
        super().__init__(
            f"Behind {target.name}, {text!r} is not a place where it stood.",
            f"Did you mean {meant}?" if meant else
            f"Write it like 3E 2N or 0.4f W, or one of {', '.join(Landing)}; a remark goes with --note.",
        )  # fmt: skip


class TimeInPlace(WrongInput):
    """A time of the day among the words of where something stood."""

    def __init__(self, target: Target, text: str, time: str) -> None:
        super().__init__(
            f"Behind {target.name}, {text!r} has a time in it, and no place has.",
            f"Give the time with --at {time}.",
        )


class NoTarget(WrongInput):
    def __init__(self, example: str) -> None:
        super().__init__("No star or object is named.", f"Write it behind that word, like {example}")


@dataclass(frozen=True, slots=True, kw_only=True)
class ArrivalSaid:
    """What the words of an arrival say; what is None was not said. `note` is the text behind a semicolon."""

    target: Target
    where: OffsetOrLanding | None = None
    pier_side: PierSide | None = None
    eyepiece: str | None = None
    field_arcmin: float | None = None
    centring_arcmin: float | None = None
    observer: str | None = None
    note: str | None = None


def read_arrival(
    words: Sequence[str],
    *,
    note: str | None = None,
    as_written: bool = False,
    names: NamesOnRecord | None = None,
) -> ArrivalSaid:
    """What the words of an arrival say. A word that was quoted holds the spaces that it had.

    `as_written` takes an unknown name as it stands, up to the place or the first setting; quoted, it is exactly that.
    Raises UnknownTarget, NotAPlace, UnreadableOffset, and other WrongInput for a setting.
    """
    quoted, words = apart(words)
    if not words:
        raise NoTarget("Vega 3E 2N")
    named = len(quoted.split()) if quoted else 1
    words = (*words[:named], *_sides_apart(words[named:]))
    settings = Settings(readers=_READERS, names=names, stops=_place_begins)
    split = split_target(words, lambda rest: _reads(rest, settings))
    if split is not None:
        target, rest = split
        return ArrivalSaid(
            target=checked(target, words, rest), note=note, **_told(target, words, rest, settings)
        )
    if not as_written:
        end = _end_of_name(words, settings, strict=False)
        TARGET.checked(" ".join(words[:end]))
        raise unknown_beginning(words, end)
    end = named if quoted else _end_of_name(words, settings)
    target = Target(name=TARGET.checked(quoted or " ".join(words[:end])), known=False)
    return ArrivalSaid(target=target, note=note, **_told(target, words, words[end:], settings))


def apart(words: Sequence[str]) -> tuple[str | None, tuple[str, ...]]:
    """The first word as it was quoted, if it was, and all words, with that one taken apart. Raises UnusableText."""
    if not words:
        return None, ()
    first = " ".join(words[0].split())
    if not first:
        TARGET.checked(first)
    return (first if " " in first else None), (*first.split(), *words[1:])


def _sides_apart(words: Sequence[str]) -> list[str]:
    """The words, a side of the pier that stands close behind an offset apart from it: 3E2Npw."""
    found = []
    for word in words:
        place, side = word[:-2], word[-2:]
        is_both = side.casefold() in ("pe", "pw") and place[:1].isdigit() and is_offset_or_landing(place)
        found += [place, side] if is_both else [word]
    return found


def checked(target: Target, words: Sequence[str], rest: Sequence[str]) -> Target:
    """The target, where what was typed for it can be kept. Raises UnusableText."""
    TARGET.checked(" ".join(words[: len(words) - len(rest)]))
    return target


def _told(target: Target, words: Sequence[str], rest: Sequence[str], settings: Settings) -> dict[str, Any]:
    told, place = _sorted(rest, settings)
    if place:
        told["where"] = _place(target, words, rest, place)
    return told


def _sorted(rest: Sequence[str], settings: Settings) -> tuple[dict[str, Any], list[str]]:
    """The settings among the words, and the words that are none: those of the place."""
    told: dict[str, Any] = {}
    place: list[str] = []
    at = 0
    while at < len(rest):
        setting = settings.first(rest[at:])
        if setting is not None:
            at += told_words.add(told, setting)
        else:
            place += rest[at].split()
            at += 1
    return told, place


def _place(
    target: Target, words: Sequence[str], rest: Sequence[str], place: Sequence[str]
) -> OffsetOrLanding:
    text = " ".join(place)
    if text.casefold() in _BARE_CENTRE:
        return Landing.CENTRED
    try:
        return read_offset_or_landing(text)
    except UnreadableOffset as error:
        if time := re.search(r"(?<!\S)\d{1,2}:\d\d(?!\S)", text):
            raise TimeInPlace(target, text, time[0]) from None
        if any(c.isdigit() for c in text) or type(error) is not UnreadableOffset:
            raise
        raise NotAPlace(target, place, misspelt_longer_name(target, words, rest)) from None


def _reads(rest: Sequence[str], settings: Settings) -> bool:
    try:
        _, place = _sorted(rest, settings)
    except ObslogError:
        return False
    text = " ".join(place)
    return not place or text.casefold() in _BARE_CENTRE or is_offset_or_landing(text)


def _place_begins(words: Sequence[str]) -> bool:
    most = min(len(words), _MOST_WORDS_OF_A_PLACE)
    return any(is_offset_or_landing(" ".join(words[:length])) for length in range(1, most + 1))


def _end_of_name(words: Sequence[str], settings: Settings, *, strict: bool = True) -> int:
    """Where an unknown name ends: before what reads as a place and settings.

    Raises UnreadableOffset where `strict` and the end of the name was surely meant as a part of the offset.
    """
    for end in range(1, len(words)):
        rest = words[end:]
        if _reads(rest, settings) and " ".join(rest).casefold() not in _BARE_CENTRE:
            if strict and end > 1 and _is_part_of_offset(words[end - 1]):
                read_offset_or_landing(" ".join(words[end - 1 :]))
            return end
    for end in range(1, len(words)):
        tail = " ".join(words[end:])
        if strict and looks_like_offset(tail) and not tail.replace(" ", "").isdigit():
            read_offset_or_landing(tail)
    return len(words)


def _is_part_of_offset(word: str) -> bool:
    return word[-1:].upper() in tuple("NSEW") and looks_like_offset(word)
