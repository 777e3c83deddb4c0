"""The annual report in words: titled sections of sentences and tables, the same for the screen and for paper."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from obslog.club.annual.report_records import AnnualReport, Holding, Late, Left, Lost, Money, Use
from obslog.values import Interval

Cell = str | int | None
DAY_RULE = (
    "Any part of a day counts as the day. Available: on record, and not missing, retired or written off."
)


@dataclass(frozen=True, slots=True)
class Table:
    """Columns and rows; a cell that is None is not known, an empty one does not apply."""

    columns: Sequence[str]
    rows: Sequence[Sequence[Cell]]

    @property
    def numeric(self) -> list[bool]:
        """Which columns hold numbers alone."""
        return [
            all(isinstance(row[n], int) or row[n] == "" for row in self.rows)
            for n in range(len(self.columns))
        ]


@dataclass(frozen=True, slots=True)
class Section:
    title: str
    lines: Sequence[str]
    table: Table | None = None


def annual_sections(report: AnnualReport) -> list[Section]:
    """All sections, in the order in which an annual meeting asks."""
    return [
        Section("Nights", list(_nights(report))),
        Section("Use: days out of days available", list(_use(report)), _use_table(report)),
        Section("Loans", list(_loans(report)), _late_table(report)),
        Section("Waiting lists", list(_waiting(report)), _queue_table(report)),
        Section("Services and repairs", list(_services(report)), _service_table(report)),
        Section("Losses", list(_losses(report)), _loss_table(report)),
        Section("Came and went", list(_came_and_went(report)), _came_table(report)),
        Section(f"Values by holder, on {report.today}", list(_holding_notes(report)), _holding_table(report)),
    ]


def title(report: AnnualReport) -> str:
    return f"The store-room from {report.first} to {report.last} ({counted(report.days, 'day')})"


def counted(number: int, one: str, many: str | None = None) -> str:
    """`1 loan`, `3 loans`."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def money_words(sum_of: Money, what: str) -> str:
    """The sum with the number it comes from; `what` is that of which some are unknown."""
    unknown = f"{counted(sum_of.unknown, what)} unknown" if sum_of.unknown else ""
    if sum_of.total is None:
        return f"unknown ({unknown})"
    return f"{sum_of.total:,.0f}" + (f" from {sum_of.known}; {unknown}" if unknown else "")


def percent(share: float | None) -> str | None:
    return None if share is None else f"{100 * share:.{0 if share >= 0.1 else 1}f} %"


def _nights(report: AnnualReport) -> Iterator[str]:
    n, landing = report.nights, report.landing
    yield (
        f"{counted(n.nights, 'night')} at {counted(n.sites, 'site')}; {counted(n.setups, 'set-up')} of "
        f"{counted(n.mounts, 'mount')} by {counted(n.observers, 'observer')}."
    )
    if landing.arcmin is not None:
        yield (
            f"Landing error of the fleet: half of the go-tos within {_arcmin(landing.arcmin)}, the geometric mean of "
            f"{landing.setups} set-ups."
        )
    if landing.before_arcmin is not None:
        yield f"In as many days before: {_arcmin(landing.before_arcmin)}, {landing.before_setups} set-ups."
    if landing.change is not None:
        yield f"That is x {_interval(landing.change, '.2f')}: {_verdict(landing.change)}."
    if landing.too_few is not None:
        yield f"Landing error of the fleet: {landing.too_few}."


def _arcmin(value: Interval) -> str:
    return _interval(value, ".1f", "'")


def _interval(value: Interval, form: str, unit: str = "") -> str:
    if value.low is None or value.high is None:
        return f"{value.value:{form}}{unit}"
    return f"{value.value:{form}}{unit} (95 %: {value.low:{form}}{unit} to {value.high:{form}}{unit})"


def _verdict(change: Interval) -> str:
    if change.low is not None and change.low > 1:
        return "worse"
    return "better" if change.high is not None and change.high < 1 else "no sure change"


def _use(report: AnnualReport) -> Iterator[str]:
    use = report.utilisation
    yield DAY_RULE
    for one in (use.kits, use.things):
        if one.days_available:
            yield (
                f"{one.name.capitalize()}: {one.days_out} of {one.days_available} days "
                f"({percent(one.utilisation)}), {counted(one.loans, 'loan')}."
            )
    still = ", ".join(line.name for line in use.never_moved)
    yield f"Neither lent nor under the sky: {len(use.never_moved)}" + (f": {still}." if still else ".")
    if use.unknown_since:
        yield f"Not known since when on record, and not counted: {use.unknown_since}."


def _use_table(report: AnnualReport) -> Table:
    rows = [_use_row(line) for line in report.utilisation.lines if line.days_out or line.loans]
    return Table(["name", "kind", "out", "of days", "used", "loans", "nights"], rows)


def _use_row(line: Use) -> list[Cell]:
    nights = "" if line.kind == "kit" else line.nights
    return [
        line.name,
        line.kind,
        line.days_out,
        line.days_available,
        percent(line.utilisation),
        line.loans,
        nights,
    ]


def _loans(report: AnnualReport) -> Iterator[str]:
    loans = report.loans
    yield (
        f"{counted(loans.begun, 'loan')} to {counted(loans.borrowers, 'borrower')}, of these {loans.handed_over} "
        f"handed over from member to member; {counted(loans.renewals, 'renewal')} of "
        f"{counted(loans.renewed_loans, 'loan')}."
    )
    yield (
        f"{loans.out_before} out before the period, {loans.came_back} came back in it, {loans.out_at_end} out at "
        "its end."
    )
    if loans.borrower_names:
        yield f"Borrowers: {', '.join(loans.borrower_names)}."
    grace = f", with {counted(loans.grace_days, 'day')} of grace" if loans.grace_days else ""
    late = f", {counted(loans.days_late, 'day')} late together" if loans.late else ""
    yield (
        f"Came back late: {len(loans.late)}{late}. Overdue on {report.today}: {len(loans.overdue_now)}{grace}."
    )


def _late_table(report: AnnualReport) -> Table:
    late = [*report.loans.overdue_now, *report.loans.late]
    return _with_names(
        report,
        ["loan", "what", "due", "back", "days late"],
        [_late_row(loan) for loan in late],
        [loan.member for loan in late],
    )


def _late_row(loan: Late) -> list[Cell]:
    return [loan.mark, loan.what, f"{loan.due_on}", f"{loan.back_on or 'out'}", loan.days_late]


def _waiting(report: AnnualReport) -> Iterator[str]:
    w = report.waiting
    longest = "" if w.longest_days is None else f", the longest for {counted(w.longest_days, 'day')}"
    yield f"{w.waiting} waiting on {report.last}{longest}."
    waited = (
        ""
        if w.served_median_days is None
        else f" after {w.served_median_days:g} days (median; longest {w.served_longest_days})"
    )
    yield f"In the period {w.served} got what they waited for{waited}; {w.withdrawn} withdrew."


def _queue_table(report: AnnualReport) -> Table:
    queues = report.waiting.queues
    return _with_names(
        report,
        ["what", "kind", "waiting", "longest, days"],
        [[queue.what, queue.kind, queue.waiting, queue.longest_days] for queue in queues],
        [", ".join(queue.members or []) for queue in queues],
    )


def _services(report: AnnualReport) -> Iterator[str]:
    done = report.services
    cost = f"; cost {money_words(done.cost, 'cost')}" if done.services else ""
    yield (
        f"{counted(done.services, 'service')} of {counted(len(done.things), 'thing')}, {done.mechanical} of them "
        f"mechanical{cost}."
    )


def _service_table(report: AnnualReport) -> Table:
    rows: list[list[Cell]] = [
        [thing.name, thing.kind, thing.services, money_words(thing.cost, "cost")]
        for thing in report.services.things
    ]
    return Table(["name", "kind", "services", "cost"], rows)


def _losses(report: AnnualReport) -> Iterator[str]:
    lost = report.losses
    still = len(lost.missing) - lost.found
    value = f", value {money_words(lost.missing_value, 'value')}" if still else ""
    yield f"{len(lost.missing)} went missing; {lost.found} found again; {still} still missing{value}."
    value = f", value {money_words(lost.written_off_value, 'value')}" if lost.written_off else ""
    yield f"{len(lost.written_off)} written off{value}. Missing from before: {lost.missing_from_before}."


def _loss_table(report: AnnualReport) -> Table:
    rows = [
        *(_lost_row(lost) for lost in report.losses.missing),
        *(_left_row(left, "written off") for left in report.losses.written_off),
    ]
    return Table(["name", "kind", "what", "since", "found", "value"], rows)


def _lost_row(lost: Lost) -> list[Cell]:
    found = f"{lost.found_on}" if lost.found_on else "no"
    return [lost.name, lost.kind, "missing", f"{lost.since}", found, _amount(lost.value)]


def _left_row(left: Left, what: str) -> list[Cell]:
    return [left.name, left.kind, what, f"{left.on}", "", _amount(left.value)]


def _amount(value: float | None) -> str | None:
    return None if value is None else f"{value:,.0f}"


def _came_and_went(report: AnnualReport) -> Iterator[str]:
    came = report.acquisitions
    cost = f"; cost {money_words(came.cost, 'cost')}" if len(came.things) > came.gifts else ""
    gifts = f", {counted(came.gifts, 'gift')} among them" if came.things else ""
    yield (
        f"{len(came.things)} came{gifts}{cost}; {len(report.retired)} retired. "
        f"Day of coming not on record: {came.unknown_date}."
    )


def _came_table(report: AnnualReport) -> Table:
    rows: list[list[Cell]] = [
        [
            thing.name,
            thing.kind,
            f"came ({thing.how or 'how is unknown'})",
            f"{thing.on}",
            _amount(thing.cost),
        ]
        for thing in report.acquisitions.things
    ]
    rows += [
        [left.name, left.kind, "retired" + (f": {left.why}" if left.why else ""), f"{left.on}", None]
        for left in report.retired
    ]
    return Table(["name", "kind", "what", "on", "cost"], rows)


def _holding_notes(report: AnnualReport) -> Iterator[str]:
    unknown = sum(holding.value.unknown for holding in report.holdings)
    if unknown:
        yield f"{counted(unknown, 'value')} unknown and in no sum."


def _holding_table(report: AnnualReport) -> Table:
    rows: list[list[Cell]] = [
        [_holder(held), held.things, money_words(held.value, "value")] for held in report.holdings
    ]
    return Table(["with", "things", "value"], rows)


def _holder(held: Holding) -> str:
    if held.where == "members":
        return held.holder or counted(held.holders, "member")
    if held.where == "store":
        return f"the store: {held.holder}" if held.holder else "the store"
    return held.where


def _with_names(
    report: AnnualReport, columns: list[str], rows: list[list[Cell]], names: Sequence[str | None]
) -> Table:
    """A table with a column of members more, where they are to be named."""
    if not report.with_names:
        return Table(columns, rows)
    return Table([*columns, "member"], [[*row, name] for row, name in zip(rows, names, strict=True)])
