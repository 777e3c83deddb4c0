"""The columns that each kind of sheet may have: what they hold, and the heads by which they are known.

`columns.toml` beside this file is the one list: what is read, what is written, the blank sheet and the table of names
are made from it.
"""

import tomllib
from dataclasses import dataclass
from enum import Enum, StrEnum
from functools import cache
from importlib.resources import files
from typing import Any

from obslog import fields
from obslog.fields import NumberField, TextField
from obslog.vocabulary.mounts import Controller, MountType
from obslog.vocabulary.observations import FindingMethod, Sighting, Vision
from obslog.vocabulary.sky_scales import SkyScale
from obslog.vocabulary.storeroom import Acquired


class Reads(Enum):
    """How a cell is read that is neither a text with limits, nor a number, nor a word of a list."""

    DAY = "a date"
    PAST_DAY = "a date, not later than today"
    YES_OR_NO = "yes or no"
    NAMES = "names, with ; between them"
    TIME = "a time, alone or behind its date"


class EquipmentKind(StrEnum):
    MOUNT = "mount"
    TUBE = "tube"
    EYEPIECE = "eyepiece"
    ITEM = "item"


Holds = TextField | NumberField | type[StrEnum] | Reads
_WORDS: dict[str, type[StrEnum]] = {
    word.__name__: word
    for word in (
        EquipmentKind,
        MountType,
        Controller,
        Acquired,
        FindingMethod,
        Sighting,
        Vision,
    )
}
_TEXTS = {
    "PERSON": TextField("The member", fields.NAME.longest, one_line=True),
    "ITEM": TextField("The item", fields.NAME.longest, one_line=True),
    "SITE": TextField("The site", fields.NAME.longest, one_line=True),
    "SHORT": TextField("The text", 200, one_line=True),
}
_SCALES = {scale.name: fields.sky_reading(scale) for scale in SkyScale}


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column: its own name, other heads that people give it, what it holds, and a cell as an example.

    One that is not `given_out` is for people alone: what the program writes says the same in another column.
    `when_blank` is what to do where a needed cell is blank.
    """

    name: str
    holds: Holds
    meaning: str
    example: str = ""
    also: tuple[str, ...] = ()
    needed: bool = False
    when_blank: str = "Fill it in."
    given_out: bool = True

    @property
    def holds_words(self) -> str:
        """What a cell may hold, in words."""
        if isinstance(self.holds, Reads):
            return self.holds.value
        if isinstance(self.holds, NumberField):
            return self.holds.range_words
        if isinstance(self.holds, TextField):
            return "text"
        return ", ".join(str(word) for word in self.holds)


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetKind:
    """A kind of sheet: what it lists, and its columns in the order in which they are written."""

    name: str
    lists: str
    columns: tuple[Column, ...]

    def column(self, name: str) -> Column:
        return next(column for column in self.columns if column.name == name)


@cache
def kinds() -> dict[str, SheetKind]:
    """All kinds of sheets by their names."""
    return {
        name: SheetKind(name=name, lists=told["lists"], columns=tuple(map(_column, told["columns"])))
        for name, told in _table().items()
        if "columns" in told
    }


@cache
def also_said() -> dict[type[StrEnum], dict[str, str]]:
    """What people write in place of a word of a list: "telescope" for tube."""
    return {
        _WORDS[name]: {said: word for word, others in words.items() for said in others}
        for name, words in _table()["also_said"].items()
    }


@cache
def _table() -> dict[str, Any]:
    return tomllib.loads((files("obslog.exchange.spreadsheets") / "columns.toml").read_text(encoding="utf-8"))


def _column(told: dict[str, Any]) -> Column:
    return Column(**{**told, "holds": _holds(told["holds"]), "also": tuple(told.get("also", ()))})


def _holds(word: str) -> Holds:
    """What a word of the table stands for: a field of the program, a list of words, or a way of reading."""
    if word in Reads.__members__:
        return Reads[word]
    found: Holds = _WORDS.get(word) or _TEXTS.get(word) or _SCALES.get(word) or getattr(fields, word)
    return found
