"""What a sheet of the folder holds: its columns, what each may hold, its keys, and what it refers to."""

from dataclasses import dataclass, field
from enum import Enum

from obslog.fields import NumberField, TextField


class Holds(Enum):
    """What kind of value the cells of a column hold."""

    KEY = "key"
    INSTANT = "instant"
    DAY = "day"
    YES_NO = "yes or no"
    WORD = "word"
    WHOLE = "whole number"
    NUMBER = "number"
    TEXT = "text"
    BYTES = "bytes"


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetColumn:
    """A column: what its cells hold, whether they may be blank, and in plain words what it means.

    `rule` is the range or the longest text, `words` the vocabulary of a column of words.
    """

    name: str
    holds: Holds
    meaning: str
    needed: bool = False
    rule: NumberField | TextField | None = None
    words: tuple[str, ...] = ()
    unique: bool = False


@dataclass(frozen=True, slots=True)
class Reference:
    """A column that holds the key of a row of a sheet."""

    column: str
    table: str
    table_column: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetTable:
    """A table as a sheet. `unique` are the groups of columns that no two rows have alike."""

    name: str
    meaning: str
    columns: tuple[SheetColumn, ...]
    key: tuple[str, ...]
    unique: tuple[tuple[str, ...], ...] = ()
    references: tuple[Reference, ...] = ()
    column_names: tuple[str, ...] = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "column_names", tuple(column.name for column in self.columns))

    @property
    def file(self) -> str:
        return f"{self.name}.csv"

    def column(self, name: str) -> SheetColumn:
        return self.columns[self.column_names.index(name)]
