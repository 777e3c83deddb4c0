"""What an annual meeting asks of the equipment: services, losses, what came and went, and what it is worth."""

from collections.abc import Iterator

from obslog.club.annual.report_records import AnnualReport, Holding, Left, Lost
from obslog.english import counted
from obslog.report.annual.told import Cell, ToldSection, ToldTable, amount, money_words

LABEL = "label"
"""The kind of a part that is a label alone, which has no value."""


def equipment_sections(report: AnnualReport) -> Iterator[ToldSection]:
    yield ToldSection("Services and repairs", list(_services(report)), _service_table(report))
    yield ToldSection("Losses", list(_losses(report)), _loss_table(report))
    yield ToldSection("Acquired and retired", list(_came_and_went(report)), _came_table(report))
    holders = f"Values by holder, on {report.today}"
    yield ToldSection(holders, list(_holding_notes(report)), _holding_table(report))


def _services(report: AnnualReport) -> Iterator[str]:
    done = report.services
    cost = f"; cost {money_words(done.cost, 'cost', report.currency)}" if done.services else ""
    yield (
        f"{counted(done.services, 'service')} of {counted(len(done.things), 'item')} ({done.mechanical} mechanical)"
        f"{cost}."
    )


def _service_table(report: AnnualReport) -> ToldTable:
    rows: list[list[Cell]] = [
        [item.name, item.kind, item.services, money_words(item.cost, "cost", report.currency)]
        for item in report.services.things
    ]
    return ToldTable(["name", "kind", "services", "cost"], rows)


def _losses(report: AnnualReport) -> Iterator[str]:
    lost = report.losses
    still = len(lost.missing) - lost.found - lost.given_up
    has_value = any(one.still and one.kind != LABEL for one in lost.missing)
    value = f", value {money_words(lost.missing_value, 'value', report.currency)}" if has_value else ""
    given_up = f"{lost.given_up} given up since; " if lost.given_up else ""
    yield f"{len(lost.missing)} went missing; {lost.found} found again; {given_up}{still} still missing{value}."
    value = (
        f", value {money_words(lost.written_off_value, 'value', report.currency)}" if lost.written_off else ""
    )
    yield f"{len(lost.written_off)} written off{value}. Missing from before: {lost.missing_from_before}."


def _loss_table(report: AnnualReport) -> ToldTable:
    rows = [
        *(_lost_row(lost, report.currency) for lost in report.losses.missing),
        *(_left_row(left, report.currency) for left in report.losses.written_off),
    ]
    return ToldTable(["name", "kind", "event", "since", "found", "value"], rows)


def _lost_row(lost: Lost, currency: str | None) -> list[Cell]:
    found = f"{lost.found_on}" if lost.found_on else "given up" if lost.given_up_on else "no"
    value = "" if lost.kind == LABEL else amount(lost.value, currency)
    return [lost.name, lost.kind, "missing", f"{lost.since}", found, value]


def _left_row(left: Left, currency: str | None) -> list[Cell]:
    return [left.name, left.kind, "written off", f"{left.on}", "", amount(left.value, currency)]


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


def _came_table(report: AnnualReport) -> ToldTable:
    rows: list[list[Cell]] = [
        [
            item.name,
            item.kind,
            f"acquired ({item.how or 'how is not known'})",
            f"{item.on}",
            amount(item.cost, report.currency),
        ]
        for item in report.acquisitions.things
    ]
    rows += [
        [left.name, left.kind, "retired" + (f": {left.why}" if left.why else ""), f"{left.on}", ""]
        for left in report.retired
    ]
    return ToldTable(["name", "kind", "event", "on", "cost"], rows)


def _holding_notes(report: AnnualReport) -> Iterator[str]:
    unknown = sum(holding.value.unknown for holding in report.holdings)
    if unknown:
        yield f"{counted(unknown, 'value')} not known, and left out of the sums."


def _holding_table(report: AnnualReport) -> ToldTable:
    rows: list[list[Cell]] = [
        [_holder(held), money_words(held.value, "value", report.currency), held.things]
        for held in report.holdings
    ]
    return ToldTable(["with", "value", "items"], rows)


def _holder(held: Holding) -> str:
    if held.where == "members":
        return held.holder or counted(held.holders, "member")
    if held.where == "store":
        return f"the store: {held.holder}" if held.holder else "the store"
    return held.where
