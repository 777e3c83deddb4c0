"""A name in two columns, as membership lists have it: first name and surname become one."""

from collections.abc import Sequence

from obslog.exchange.spreadsheets.cells import is_blank
from obslog.exchange.spreadsheets.grid import Cell, Row
from obslog.exchange.spreadsheets.heads import LOOKED_THROUGH, head_form

_GIVEN = frozenset({"first name", "first names", "forename", "forenames", "given name", "christian name"})
_FAMILY = frozenset({"surname", "last name", "family name"})


def names_joined(rows: Sequence[Row], heads_of_name: frozenset[str]) -> Sequence[Row]:
    """The rows with the whole name where the first one stood, below a head that has both columns and none for a name.

    `heads_of_name` are the forms of a head by which a column is one for the whole name. Other sheets are as they were.
    """
    for start, row in enumerate(rows[:LOOKED_THROUGH]):
        forms = [head_form(cell) for cell in row.cells]
        given, family = (_only(forms, heads) for heads in (_GIVEN, _FAMILY))
        if given is not None and family is not None and heads_of_name.isdisjoint(forms):
            head = _with(row, given, family, "name")
            return [
                *rows[:start],
                *(
                    head._replace(number=below.number)
                    if below.cells == row.cells
                    else _with(below, given, family, _whole(below, given, family))
                    for below in rows[start:]
                ),
            ]
    return rows


def _only(forms: Sequence[str], heads: frozenset[str]) -> int | None:
    """Where the one head stands that is among these; None where there is none, or more than one."""
    places = [place for place, form in enumerate(forms) if form in heads]
    return places[0] if len(places) == 1 else None


def _whole(row: Row, *places: int) -> Cell:
    parts = [row.cells[place] for place in places if place < len(row.cells)]
    return " ".join(str(part).strip() for part in parts if not is_blank(part)) or None


def _with(row: Row, given: int, family: int, name: Cell) -> Row:
    cells = [*row.cells, *[None] * (given + 1 - len(row.cells))]
    cells[given] = name
    if family < len(cells):
        cells[family] = None
    return Row(row.number, tuple(cells))
