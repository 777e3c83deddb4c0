"""What an annual meeting asks of lending: loans, what came back late, and who waited."""

from collections.abc import Iterator

from obslog.club.annual.report_records import AnnualReport, Late
from obslog.english import counted
from obslog.report.annual.told import Cell, ToldSection, ToldTable, listed, with_names


def lending_sections(report: AnnualReport) -> Iterator[ToldSection]:
    yield ToldSection("Loans", list(_loans(report)), _late_table(report))
    yield ToldSection("Waiting lists", list(_waiting(report)), _queue_table(report))


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
        yield f"Borrowers: {listed(loans.borrower_names)}"
    grace = f", with {counted(loans.grace_days, 'day')} of grace" if loans.grace_days else ""
    late = f", {counted(loans.days_late, 'day')} late in total" if loans.late else ""
    yield (
        f"Came back late: {len(loans.late)}{late}. Overdue on {report.today}: {len(loans.overdue_now)}{grace}."
    )


def _late_table(report: AnnualReport) -> ToldTable:
    late = [*report.loans.overdue_now, *report.loans.late]
    return with_names(
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
    places = f", in {counted(w.waiting, 'place')}" if w.waiting > w.members else ""
    yield f"{counted(w.members, 'member')} waiting on {report.last}{places}{longest}."
    waited = (
        ""
        if w.served_median_days is None
        else f" after {w.served_median_days:g} {'day' if w.served_median_days == 1 else 'days'} (median; at most "
        f"{w.served_longest_days})"
    )
    yield f"In the period {w.served} got what they waited for{waited}; {w.withdrawn} withdrew."


def _queue_table(report: AnnualReport) -> ToldTable:
    queues = report.waiting.queues
    return with_names(
        report,
        ["item", "kind", "waiting", "longest in days"],
        [[queue.what, queue.kind, queue.waiting, queue.longest_days] for queue in queues],
        ["; ".join(queue.members or []) for queue in queues],
    )
