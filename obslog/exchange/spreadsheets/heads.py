"""Which row of a sheet names its columns, and which column each head means: forgiving, and never guessing."""

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass

from obslog.english import enumerated
from obslog.errors import WrongInput, nearest_names
from obslog.exchange.spreadsheets.columns import Column, SheetKind
from obslog.exchange.spreadsheets.grid import Cell, Row

LOOKED_THROUGH = 20
HEADS_TOLD = 8
HEAD_TOLD = 24  # signs of each
_BETWEEN_WORDS = re.compile(r"[^0-9a-z]+")


class NoHead(WrongInput):
    """No row names all columns that are needed; `nearest` is the one that names most, where one names any."""

    def __init__(self, name: str, kind: SheetKind, nearest: Row | None, named: set[str]) -> None:
        needed = [column.name for column in kind.columns if column.needed]
        see = f"what each may be called: obslog import {kind.name} --columns"
        hint = f"See {see}"
        message = (
            f"{name}: none of the first {LOOKED_THROUGH} rows names the columns; "
            f"{enumerated([repr(column) for column in needed])} must be among them."
        )
        if nearest is not None:
            lacking = enumerated([repr(column) for column in needed if column not in named])
            heads = [
                cell.strip()[:HEAD_TOLD] for cell in nearest.cells if isinstance(cell, str) and cell.strip()
            ]
            told = ", ".join(heads[:HEADS_TOLD]) + ("..." if len(heads) > HEADS_TOLD else "")
            hint = f"Row {nearest.number} comes nearest ({told}) and lacks {lacking}: rename its heads, or see {see}"
        super().__init__(message, hint)


class TwoHeads(WrongInput):
    def __init__(self, name: str, column: str, one: str, other: str) -> None:
        super().__init__(
            f"{name}: {one!r} and {other!r} both mean {column!r}.", "Rename or delete one of the two columns."
        )


@dataclass(frozen=True, slots=True)
class Head:
    """The row that names the columns, where each known column stands, and the heads that are not known."""

    row: int
    places: dict[str, int]
    unknown: dict[str, str | None]
    """Each head that is left out, with the column that it may have been meant to be."""


def head_of(name: str, rows: Sequence[Row], kind: SheetKind) -> Head:
    """Of the first rows the one that names most columns, those that are needed among them; the first of several.

    A title such as "Equipment", alone or merged over the whole row, may be a column's name too.
    Raises NoHead, TwoHeads.
    """
    meant = _names(kind)
    needed = {column.name for column in kind.columns if column.needed}
    named = [
        ({meant[form] for cell in row.cells if (form := head_form(cell)) in meant}, row)
        for row in rows[:LOOKED_THROUGH]
    ]
    heads = [(columns, row) for columns, row in named if needed <= columns]
    if not heads:
        columns, row = max(named, key=lambda head: len(head[0]), default=(set[str](), None))
        raise NoHead(name, kind, row if columns else None, columns)
    _, row = max(heads, key=lambda head: len(head[0]))
    return _read_head(name, row, meant)


def head_form(cell: Cell) -> str:
    """A head as it is compared: small letters and figures without accents, one space between words.

    "E-Mail:", "e mail" and "E_mail" are one, and so are "Focal length (mm)" and "focal length mm".
    """
    if not isinstance(cell, str):
        return ""
    plain = "".join(
        sign for sign in unicodedata.normalize("NFKD", cell.casefold()) if not unicodedata.combining(sign)
    )
    return _BETWEEN_WORDS.sub(" ", plain).strip()


def _read_head(name: str, row: Row, meant: dict[str, str]) -> Head:
    places: dict[str, int] = {}
    unknown: dict[str, str | None] = {}
    for place, cell in enumerate(row.cells):
        form = head_form(cell)
        column = meant.get(form)
        if column is None:
            if form:
                near = nearest_names(form, sorted(meant), most=1)
                unknown[str(cell)] = meant[near[0]] if near else None
        elif column in places:
            raise TwoHeads(name, column, str(row.cells[places[column]]), str(cell))
        else:
            places[column] = place
    return Head(
        row.number, places, {head: near if near not in places else None for head, near in unknown.items()}
    )


def _names(kind: SheetKind) -> dict[str, str]:
    """Each form of a head, with the name of the column that it means."""
    return {head_form(head): column.name for column in kind.columns for head in known_heads(column)}


def known_heads(column: Column) -> tuple[str, ...]:
    """All heads of a column, its own name first."""
    return (column.name, *column.also)
