"""What the club should buy, ranked by a stated rule, each with its reasons, their numbers, and how sure they are.

What is waited for though it lies in the store is to be lent, not bought. What nobody borrowed is not sure to be
missed, and a few loans or few members are said to be few.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum

from obslog.club.buying.evidence import ASKED_DAYS, BuyingEvidence, Stock, WaitingList, evidence
from obslog.club.buying.much_used import much_used
from obslog.club.register.rule_book import Rules, rules_in_force
from obslog.club.storeroom.custody import StoreStatus
from obslog.english import counted, with_article
from obslog.money import money_sum
from obslog.records.database import Database

GONE_YEARS = 3
RANKING = (
    "First what is waited for and not in the store, beginning with what most members wait for, of these with the "
    "longest wait; then what was written off and not replaced, then what is missing, then what is nearly always in "
    "use, each beginning with most loans in a year."
)

_AWAY = {
    StoreStatus.OUT: "lent by themselves",
    StoreStatus.MISSING: "missing",
    StoreStatus.RETIRED: "retired",
    StoreStatus.WRITTEN_OFF: "written off",
}


class WhyWanted(StrEnum):
    """Why something is wanted, in the order of the ranking."""

    WAITED_FOR = "waited for"
    GONE = "written off"
    MISSING = "missing"
    IN_USE = "nearly always in use"


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """Something to buy, at its place in the ranking.

    `like` is the kit or item that it is to be like, None where it is any of the category. `doubts` say why it is not
    sure; without any it is. `costs` is what replacing that one costs by the records, None where that is not known.
    """

    place: int
    what: str
    like: str | None
    category: str
    why: list[WhyWanted]
    reasons: list[str]
    doubts: list[str]
    sure: bool
    waiting: int
    longest_wait_days: int | None
    loans: int
    costs: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LendFirst:
    """What is waited for and lies in the store: it is to be lent, and says nothing of purchases."""

    what: str
    waiting: int
    longest_wait_days: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Purchases:
    """What is wanted, the most wanted first, for the year from `first` to `on`.

    `costs` is the sum of what is known, None where nothing is; `costs_unknown` how many have none on record.
    `missing_lately` counts what is missing for too short a time to be bought.
    """

    on: date
    first: date
    nights: int
    currency: str | None
    ranking: str
    wanted: list[Wanted]
    costs: float | None
    costs_unknown: int
    lend_first: list[LendFirst]
    missing_lately: int


@dataclass(slots=True, kw_only=True)
class _Case:
    """What speaks for one purchase, gathered before it is ranked."""

    what: str
    like: str | None
    category: str
    loans: int
    costs: float | None
    why: list[WhyWanted] = field(default_factory=list)
    reasons: list[str] = field(default_factory=list)
    doubts: list[str] = field(default_factory=list)
    waiting: int = 0
    longest: int | None = None

    def add(self, why: WhyWanted, reason: str, doubts: Iterable[str]) -> None:
        self.why.append(why)
        self.reasons.append(reason)
        self.doubts += [doubt for doubt in doubts if doubt not in self.doubts]


def purchases_wanted(database: Database, today: date) -> Purchases:
    """What to buy, by what is on record on that day. Names nobody."""
    with database.read() as session:
        return weighed(evidence(session, today), rules_in_force(session))


def weighed(found: BuyingEvidence, rules: Rules) -> Purchases:
    """The same from evidence that is at hand."""
    stock = {(one.kind, one.name): one for one in found.stock}
    cases: dict[tuple[str, str], _Case] = {}
    lend_first = []
    for queue in found.queues:
        if queue.there:
            lend_first.append(
                LendFirst(what=queue.name, waiting=queue.waiting, longest_wait_days=queue.longest_days)
            )
        else:
            one = stock[queue.kind, queue.name]
            _waited_for(_case(cases, one), queue, one, found, rules)
    for one in not_replaced(found, rules):
        _gone(_case(cases, one), one, found)
    _add_much_used(cases, found, rules)
    wanted = _ranked(cases.values())
    costs = [one.costs for one in wanted if one.costs is not None]
    return Purchases(
        on=found.today,
        first=found.period.first,
        nights=found.nights,
        currency=rules.currency,
        ranking=RANKING,
        wanted=wanted,
        costs=money_sum(costs) if costs else None,
        costs_unknown=len(wanted) - len(costs),
        lend_first=lend_first,
        missing_lately=sum(_is_missing(one) and not _long_missing(one, found, rules) for one in found.stock),
    )


def not_replaced(found: BuyingEvidence, rules: Rules) -> list[Stock]:
    """What was written off in the last years or is missing for long, but for what came since: each replaces one."""
    left: list[Stock] = []
    for category in sorted({one.category for one in found.stock if one.kind != "kit"}):
        of_it = _of_category(found, category)
        gone = sorted(
            (one for one in of_it if _written_off_lately(one, found) or _long_missing(one, found, rules)),
            key=_gone_on,
        )
        for came in sorted(one.acquired_on for one in of_it if one.in_use and one.acquired_on is not None):
            replaced = next((one for one in gone if _gone_on(one) <= came), None)
            if replaced is not None:
                gone.remove(replaced)
        left += gone
    return left


def _of_category(found: BuyingEvidence, category: str) -> list[Stock]:
    return [one for one in found.stock if one.kind != "kit" and one.category == category]


def _written_off_lately(one: Stock, found: BuyingEvidence) -> bool:
    return one.written_off_on is not None and (found.today - one.written_off_on).days <= 365 * GONE_YEARS


def _is_missing(one: Stock) -> bool:
    return one.status is StoreStatus.MISSING


def _long_missing(one: Stock, found: BuyingEvidence, rules: Rules) -> bool:
    return _is_missing(one) and _days_gone(one, found) >= rules["wanted-missing-days"]


def _gone_on(one: Stock) -> date:
    day = one.written_off_on or one.missing_since
    assert day is not None
    return day


def _days_gone(one: Stock, found: BuyingEvidence) -> int:
    return (found.today - _gone_on(one)).days


def _gone(case: _Case, one: Stock, found: BuyingEvidence) -> None:
    """What is gone is counted by its last year, not by the one in which it was not there."""
    case.what = f"{with_article(one.category)} in place of {one.name}"
    case.loans = one.loans_before(_gone_on(one))
    if _is_missing(one):
        reason = f"missing since {one.missing_since}, {counted(_days_gone(one, found), 'day')}"
        case.add(WhyWanted.MISSING, reason, _doubts_of_gone(case, one, found))
    else:
        because = f" ({one.why})" if one.why else ""
        reason = f"written off on {one.written_off_on}{because}, and not replaced"
        case.add(WhyWanted.GONE, reason, _doubts_of_gone(case, one, found))


def _doubts_of_gone(case: _Case, one: Stock, found: BuyingEvidence) -> Iterator[str]:
    if not one.loans_open_before(_gone_on(one)):
        yield "nobody borrowed it in the year before"
    perhaps = sum(
        other.in_use
        and other.acquired_on is None
        and other.since is not None
        and other.since >= _gone_on(one)
        for other in _of_category(found, one.category)
    )
    if perhaps:
        yield f"{one.like_it(perhaps)} put on record since may be in its place"


def _case(cases: dict[tuple[str, str], _Case], one: Stock) -> _Case:
    """The case for another one like it, begun where there is none yet."""
    key = (one.kind, one.name)
    if key not in cases:
        named = f"another {one.name}" if one.kind == "kit" else f"another {one.category} like {one.name}"
        cases[key] = _Case(what=named, like=one.name, category=one.category, loans=one.loans, costs=one.value)
    return cases[key]


def _waited_for(case: _Case, queue: WaitingList, one: Stock, found: BuyingEvidence, rules: Rules) -> None:
    case.waiting, case.longest = queue.waiting, queue.longest_days
    waits = "waits" if queue.waiting == 1 else "wait"
    went = f", {queue.went_without} went without" if queue.went_without else ""
    reason = (
        f"{counted(queue.waiting, 'member')} {waits}, the longest for {counted(queue.longest_days, 'day')}; "
        f"{_asked(queue)}{went}"
    )
    case.add(WhyWanted.WAITED_FOR, reason, _doubts_of_queue(queue, one, found, rules))


def _asked(queue: WaitingList) -> str:
    """How many asked in two years, and who waits since before that counts too."""
    or_waits = " or still waits" if queue.asked == 1 else " or still wait"
    return f"{counted(queue.asked, 'member')} asked in two years{or_waits if queue.longest_days >= ASKED_DAYS else ''}"


def _doubts_of_queue(queue: WaitingList, one: Stock, found: BuyingEvidence, rules: Rules) -> Iterator[str]:
    if queue.asked < rules["wanted-fewest-members"]:
        yield f"only {_asked(queue)}"
    if queue.due_on is not None and queue.due_on < found.today:
        yield f"it is {counted((found.today - queue.due_on).days, 'day')} overdue: back in the store it may be enough"
    if one.status is StoreStatus.IN and not queue.there:
        yield _doubt_of_parts(queue.parts)
    if _is_missing(one) and not _long_missing(one, found, rules):
        yield f"missing for only {counted(_days_gone(one, found), 'day')}: it may be found"


def _doubt_of_parts(parts: frozenset[StoreStatus]) -> str:
    """Why a kit that is not on loan cannot be lent, and what may do in place of another."""
    if not parts:
        return "it has no parts on record: with them it may be enough"
    *others, last = [words for status, words in _AWAY.items() if status in parts]
    where = f"{', '.join(others)} or {last}" if others else last
    gone = parts & {StoreStatus.RETIRED, StoreStatus.WRITTEN_OFF}
    return f"all its parts are {where}: {'another part' if gone else 'back together it'} may be enough"


def _add_much_used(cases: dict[tuple[str, str], _Case], found: BuyingEvidence, rules: Rules) -> None:
    for of_it, reason, doubts in much_used(found, rules):
        case = _case(cases, of_it[0]) if len(of_it) == 1 else _any_of(cases, of_it)
        case.add(WhyWanted.IN_USE, reason, doubts)


def _any_of(cases: dict[tuple[str, str], _Case], of_it: Sequence[Stock]) -> _Case:
    """The case for another of a category, whichever."""
    category = of_it[0].category
    loans = sum(one.loans for one in of_it)
    new = _Case(what=f"another {category}", like=None, category=category, loans=loans, costs=None)
    return cases.setdefault(("category", category), new)


def _ranked(cases: Iterable[_Case]) -> list[Wanted]:
    order = list(WhyWanted)

    def rank(case: _Case) -> tuple[int, int, int, int, str]:
        first = min(order.index(why) for why in case.why)
        return -case.waiting, -(case.longest or 0), first, -case.loans, case.what.casefold()

    return [
        Wanted(
            place=place,
            what=case.what,
            like=case.like,
            category=case.category,
            why=list(dict.fromkeys(case.why)),
            reasons=case.reasons,
            doubts=case.doubts,
            sure=not case.doubts,
            waiting=case.waiting,
            longest_wait_days=case.longest,
            loans=case.loans,
            costs=case.costs,
        )
        for place, case in enumerate(sorted(cases, key=rank), start=1)
    ]
