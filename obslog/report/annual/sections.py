"""The annual report in words: titled sections of sentences and tables, the same for the screen and for paper."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from obslog.club.annual.report_records import AnnualReport, Holding, Late, Left, Lost, Money, StepYear, Use
from obslog.money import money_text
from obslog.values import Interval
from obslog.vocabulary import counted

Cell = str | int | None
DAY_RULE = "Part of a day counts as a day. Available: on record, and not missing, retired or written off."


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
        *_steps(report.steps),
        Section("Use: days out of days available", list(_use(report)), _use_table(report)),
        Section("Loans", list(_loans(report)), _late_table(report)),
        Section("Waiting lists", list(_waiting(report)), _queue_table(report)),
        Section("Services and repairs", list(_services(report)), _service_table(report)),
        Section("Losses", list(_losses(report)), _loss_table(report)),
        Section("Acquired and retired", list(_came_and_went(report)), _came_table(report)),
        Section(f"Values by holder, on {report.today}", list(_holding_notes(report)), _holding_table(report)),
    ]


def title(report: AnnualReport) -> str:
    return f"The store-room from {report.first} to {report.last} ({counted(report.days, 'day')})"


def up_to_today(report: AnnualReport) -> str | None:
    """That the period is not over yet, where it is not."""
    if report.asked_to is None:
        return None
    return f"It covers up to today, {report.last}; the days to {report.asked_to} have not come yet."


def money_words(sum_of: Money, what: str, currency: str | None) -> str:
    """The sum with the number it comes from; `what` is that of which some are unknown."""
    unknown = f"{counted(sum_of.unknown, what)} unknown" if sum_of.unknown else ""
    if sum_of.total is None:
        return f"unknown ({unknown})"
    return money_text(sum_of.total, currency) + (f" from {sum_of.known}; {unknown}" if unknown else "")


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
            f"{counted(landing.setups, 'set-up')}."
        )
    if landing.before_arcmin is not None:
        before = counted(landing.before_setups, "set-up")
        yield f"In the same number of days before: {_arcmin(landing.before_arcmin)}, {before}."
    if landing.change is not None:
        yield f"That is {_interval(landing.change, '.2f')} times as large: {_verdict(landing.change)}."
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
    return "better" if change.high is not None and change.high < 1 else "no certain change"


def _steps(steps: Sequence[StepYear] | None) -> Iterator[Section]:
    """The steps of the club's own first, then those with trouble; of the others only how many there are."""
    if steps is None:
        return
    listed = [step for step in steps if step.own or step.nights_not_well or step.snags]
    rows: list[list[Cell]] = [
        [step.title, step.nights, step.nights_not_well, step.snags]
        for step in sorted(listed, key=lambda step: (not step.own, -(step.nights_not_well + step.snags)))
    ]
    table = Table(["step", "nights ticked", "nights not well", "snags"], rows)
    yield Section("The club's own checklist", list(_step_lines(steps, len(listed))), table if rows else None)


def _step_lines(steps: Sequence[StepYear], listed: int) -> Iterator[str]:
    with_snags = [step.snags for step in steps if step.snags]
    if with_snags:
        yield f"{counted(sum(with_snags), 'snag')} at {counted(len(with_snags), 'step')}."
    if len(steps) > listed:
        yield f"{counted(len(steps) - listed, 'other step')} ticked without trouble."
    if not steps:
        yield "No step was ticked, and no snag was noted at one."


def _use(report: AnnualReport) -> Iterator[str]:
    use = report.utilisation
    yield DAY_RULE
    for one in (use.kits, use.things):
        if one.days_available:
            yield (
                f"{one.name.capitalize()}: {one.days_out:,} of {one.days_available:,} days "
                f"({percent(one.utilisation)}), {counted(one.loans, 'loan')}."
            )
    still = ", ".join(line.name for line in use.never_moved)
    yield f"Neither lent nor used: {len(use.never_moved)}" + (f" ({still})." if still else ".")
    if use.unknown_since:
        yield f"Left out, because it is not known since when the club has them: {use.unknown_since}."


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
        f"{counted(loans.begun, 'loan')} to {counted(loans.borrowers, 'borrower')} ({loans.handed_over} handed over); "
        f"{counted(loans.renewals, 'extension')} of {counted(loans.renewed_loans, 'loan')}."
    )
    yield (
        f"Out before the period: {loans.out_before}; came back in it: {loans.came_back}; out at its end: "
        f"{loans.out_at_end}."
    )
    if loans.borrower_names:
        yield f"Borrowers: {', '.join(loans.borrower_names)}."
    grace = f", with {counted(loans.grace_days, 'day')} of grace" if loans.grace_days else ""
    late = f", {counted(loans.days_late, 'day')} late in total" if loans.late else ""
    yield (
        f"Came back late: {len(loans.late)}{late}. Overdue on {report.today}: {len(loans.overdue_now)}{grace}."
    )


def _late_table(report: AnnualReport) -> Table:
    late = [*report.loans.overdue_now, *report.loans.late]
    return _with_names(
        report,
        ["reference", "item", "due", "back", "days late"],
        [_late_row(loan) for loan in late],
        [loan.member for loan in late],
    )


def _late_row(loan: Late) -> list[Cell]:
    return [loan.reference, loan.what, f"{loan.due_on}", f"{loan.back_on or 'out'}", loan.days_late]


def _waiting(report: AnnualReport) -> Iterator[str]:
    w = report.waiting
    longest = "" if w.longest_days is None else f", the longest for {counted(w.longest_days, 'day')}"
    yield f"{counted(w.waiting, 'member')} waiting on {report.last}{longest}."
    waited = (
        ""
        if w.served_median_days is None
        else f" after {w.served_median_days:g} {'day' if w.served_median_days == 1 else 'days'} (median; at most "
        f"{w.served_longest_days})"
    )
    yield f"In the period {w.served} got what they waited for{waited}; {w.withdrawn} withdrew."


def _queue_table(report: AnnualReport) -> Table:
    queues = report.waiting.queues
    return _with_names(
        report,
        ["item", "kind", "waiting", "longest in days"],
        [[queue.what, queue.kind, queue.waiting, queue.longest_days] for queue in queues],
        [", ".join(queue.members or []) for queue in queues],
    )


def _services(report: AnnualReport) -> Iterator[str]:
    done = report.services
    cost = f"; cost {money_words(done.cost, 'cost', report.currency)}" if done.services else ""
    yield (
        f"{counted(done.services, 'service')} of {counted(len(done.things), 'item')} ({done.mechanical} mechanical)"
        f"{cost}."
    )


def _service_table(report: AnnualReport) -> Table:
    rows: list[list[Cell]] = [
        [item.name, item.kind, item.services, money_words(item.cost, "cost", report.currency)]
        for item in report.services.things
    ]
    return Table(["name", "kind", "services", "cost"], rows)


def _losses(report: AnnualReport) -> Iterator[str]:
    lost = report.losses
    still = len(lost.missing) - lost.found
    value = f", value {money_words(lost.missing_value, 'value', report.currency)}" if still else ""
    yield f"{len(lost.missing)} went missing; {lost.found} found again; {still} still missing{value}."
    value = (
        f", value {money_words(lost.written_off_value, 'value', report.currency)}" if lost.written_off else ""
    )
    yield f"{len(lost.written_off)} written off{value}. Missing from before: {lost.missing_from_before}."


def _loss_table(report: AnnualReport) -> Table:
    rows = [
        *(_lost_row(lost, report.currency) for lost in report.losses.missing),
        *(_left_row(left, report.currency) for left in report.losses.written_off),
    ]
    return Table(["name", "kind", "event", "since", "found", "value"], rows)


def _lost_row(lost: Lost, currency: str | None) -> list[Cell]:
    found = f"{lost.found_on}" if lost.found_on else "no"
    return [lost.name, lost.kind, "missing", f"{lost.since}", found, _amount(lost.value, currency)]


def _left_row(left: Left, currency: str | None) -> list[Cell]:
    return [left.name, left.kind, "written off", f"{left.on}", "", _amount(left.value, currency)]


def _amount(value: float | None, currency: str | None) -> str | None:
    return None if value is None else money_text(value, currency)


def _came_and_went(report: AnnualReport) -> Iterator[str]:
    came = report.acquisitions
    cost = (
        f"; cost {money_words(came.cost, 'cost', report.currency)}" if len(came.things) > came.gifts else ""
    )
    gifts = f", {counted(came.gifts, 'gift')} among them" if came.things else ""
    yield (
        f"{len(came.things)} acquired{gifts}{cost}; {len(report.retired)} retired. "
        f"Date unknown: {came.unknown_date}."
    )


def _came_table(report: AnnualReport) -> Table:
    rows: list[list[Cell]] = [
        [
            item.name,
            item.kind,
            f"acquired ({item.how or 'how is not known'})",
            f"{item.on}",
            _amount(item.cost, report.currency),
        ]
        for item in report.acquisitions.things
    ]
    rows += [
        [left.name, left.kind, "retired" + (f": {left.why}" if left.why else ""), f"{left.on}", None]
        for left in report.retired
    ]
    return Table(["name", "kind", "event", "on", "cost"], rows)


def _holding_notes(report: AnnualReport) -> Iterator[str]:
    unknown = sum(holding.value.unknown for holding in report.holdings)
    if unknown:
        yield f"{counted(unknown, 'value')} not known, and left out of the sums."


def _holding_table(report: AnnualReport) -> Table:
    rows: list[list[Cell]] = [
        [_holder(held), money_words(held.value, "value", report.currency), held.things]
        for held in report.holdings
    ]
    return Table(["with", "value", "items"], rows)


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
