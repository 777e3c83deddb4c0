"""What an annual report holds: plain records, each figure with its count, an unknown one never taken for zero.

Where names are not asked for, `member` and `holder` of a member are None, and members are only counted.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from obslog.money import money_sum
from obslog.values import Interval
from obslog.vocabulary.steps import StepKey


@dataclass(frozen=True, slots=True)
class Period:
    """Whole days, both ends included; `asked_to` is the last day asked for, where it has not come yet."""

    first: date
    last: date
    asked_to: date | None = None

    @property
    def days(self) -> int:
        return (self.last - self.first).days + 1

    @property
    def before(self) -> "Period":
        """The period of the same length just before."""
        return Period(self.first - timedelta(days=self.days), self.first - timedelta(days=1))

    def holds(self, day: date | None) -> bool:
        return day is not None and self.first <= day <= self.last


@dataclass(frozen=True, slots=True)
class Money:
    """A sum of what is known, in the club's money: from how many, and how many more are unknown.

    The total is None where nothing is known of anything, and 0 where there is nothing.
    """

    total: float | None
    known: int
    unknown: int


def money(amounts: Iterable[float | None]) -> Money:
    listed = list(amounts)
    known = [amount for amount in listed if amount is not None]
    return Money(money_sum(known) if known or not listed else None, len(known), len(listed) - len(known))


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """Days out of days available, of one kit or item, or of all; None where nothing tells since when it is there.

    `loans` were begun, and `nights` under the sky were, in the period; nights are None for kits.
    """

    name: str
    kind: str
    days_out: int | None = None
    days_available: int | None = None
    utilisation: float | None = None
    days_missing: int | None = None
    loans: int
    nights: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Utilisation:
    """All kits together, all items together (each also within its kit), and one by one, the most used first."""

    kits: Use
    things: Use
    lines: list[Use]
    never_moved: list[Use]
    unknown_since: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Late:
    """A loan that is overdue, or came back late."""

    reference: str
    what: str
    kind: str
    member: str | None
    due_on: date
    back_on: date | None
    days_late: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LoanYear:
    """Loans of the period. A hand-over ends one loan and begins another; both count."""

    begun: int
    handed_over: int
    borrowers: int
    out_before: int
    came_back: int
    out_at_end: int
    renewals: int
    renewed_loans: int
    late: list[Late]
    days_late: int
    overdue_now: list[Late]
    grace_days: int
    borrower_names: list[str] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Queue:
    """Who waited for one kit or item on the last day of the period."""

    what: str
    kind: str
    waiting: int
    longest_days: int
    members: list[str] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class WaitingYear:
    """The waiting lists on the last day, and those who left them in the period; medians None where nobody did.

    `waiting` are places, one for each item that somebody waits for; `members` are those who wait, each once.
    """

    waiting: int
    members: int
    longest_days: int | None
    queues: list[Queue]
    served: int
    served_median_days: float | None
    served_longest_days: int | None
    withdrawn: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ServicesOfItem:
    name: str
    kind: str
    services: int
    cost: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class ServiceYear:
    """Services and repairs of the period, and what they cost."""

    services: int
    mechanical: int
    cost: Money
    things: list[ServicesOfItem]


@dataclass(frozen=True, slots=True, kw_only=True)
class Lost:
    """An item, or the part of a kit that is only a label, that went missing.

    It is missing still where it was neither found since, nor given up: retired, written off, or as a label taken out of
    its kit.
    """

    name: str
    kind: str
    since: date
    found_on: date | None = None
    given_up_on: date | None = None
    value: float | None = None

    @property
    def still(self) -> bool:
        """Whether it is missing today."""
        return self.found_on is None and self.given_up_on is None


@dataclass(frozen=True, slots=True, kw_only=True)
class LossYear:
    """What went missing in the period and what was written off; an item that was both counts as written off.

    `found` and `given_up` are what became of what went missing up to today; the value is of what is missing still but
    for labels, which have none.
    """

    missing: list[Lost]
    missing_value: Money
    found: int
    given_up: int
    written_off: list["Left"]
    written_off_value: Money
    missing_from_before: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Left:
    """An item or kit that was retired or written off."""

    name: str
    kind: str
    on: date
    why: str | None
    value: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Acquisition:
    name: str
    kind: str
    on: date
    how: str | None
    cost: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Acquisitions:
    """What came to the club in the period; the cost is of what was not a gift."""

    things: list[Acquisition]
    cost: Money
    gifts: int
    unknown_date: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Holding:
    """How much is with whom today: `where` is the store, members, or missing; `holder` a place or a member."""

    where: str
    holder: str | None
    holders: int
    things: int
    value: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class NightYear:
    nights: int
    sites: int
    setups: int
    mounts: int
    observers: int


@dataclass(frozen=True, slots=True, kw_only=True)
class FleetLanding:
    """The landing error of the fleet: the geometric mean over set-ups of the radius inside which half of go-tos land.

    `change` is this period's by the one before: under 1 is better. `too_few` says why something is None.
    """

    arcmin: Interval | None
    setups: int
    before_arcmin: Interval | None
    before_setups: int
    change: Interval | None
    too_few: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class StepYear:
    """A step of the checklist: on how many nights it was ticked, on how many not well, and how many snags it had.

    `own` is a step that the club has added itself.
    """

    step: StepKey
    title: str
    own: bool
    nights: int
    nights_not_well: int
    snags: int


@dataclass(frozen=True, slots=True, kw_only=True)
class AnnualReport:
    """The store-room's year. What is said of now, overdue loans and values by holder, is of the day `today`.

    `asked_to` is the last day asked for where it has not come yet; the report then ends today.

    Amounts are in the `currency`, where the club has named one. `steps` are told where the club has its own checklist.
    """

    first: date
    last: date
    asked_to: date | None
    days: int
    today: date
    with_names: bool
    currency: str | None
    nights: NightYear
    landing: FleetLanding
    utilisation: Utilisation
    loans: LoanYear
    waiting: WaitingYear
    services: ServiceYear
    losses: LossYear
    acquisitions: Acquisitions
    retired: list[Left]
    holdings: list[Holding]
    steps: list[StepYear] | None = None
