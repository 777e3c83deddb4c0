"""What the library gives of the store-room: records whose fields are called as in `--json`.

Money is in the club's currency. What is not known is None; so is a name that is not told.
"""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True, kw_only=True)
class Loan:
    """A loan as `loan list` has it: `days_left` is negative when overdue, None when back."""

    reference: str
    what: str
    kind: str
    member: str | None
    out_on: date
    due_on: date
    back_on: date | None
    days_left: int | None
    overdue: bool
    due_soon: bool
    renewals: int
    waiting: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Service:
    """Work done as `service list` has it; `mended` are the references of the snags that it mended."""

    kind: str
    name: str
    done_on: date
    text: str
    mechanical: bool
    by: str | None
    cost: float | None
    parts: str | None
    next_on: date | None
    next_after_nights: int | None
    next_when: str | None
    tasks: list[str]
    mended: list[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class StoreItem:
    """A kit or item as `store list` has it; `sort` is the category of other items."""

    status: str
    kind: str
    sort: str | None
    name: str
    kit: str | None
    where: str | None
    with_whom: str | None
    due_on: date | None
    tag: str | None
    serial: str | None
    maker: str | None
    model: str | None
    acquired: str | None
    acquired_on: date | None
    cost: float | None
    value: float | None
    place: str | None
    missing_since: date | None
    retired_on: date | None
    retired_why: str | None
    written_off_on: date | None
    note: str | None
