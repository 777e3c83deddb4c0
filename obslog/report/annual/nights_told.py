"""What an annual meeting asks of the nights: how many, how well, by which steps, and with what."""

from collections.abc import Iterator, Sequence

from obslog.club.annual.report_records import AnnualReport, StepYear, Use
from obslog.english import counted, how_often
from obslog.report.annual.told import Cell, ToldSection, ToldTable, percent
from obslog.values import Interval

DAY_RULE = "Part of a day counts as a day. Available: on record, and not missing, retired or written off."


def nights_sections(report: AnnualReport) -> Iterator[ToldSection]:
    yield ToldSection("Nights", list(_nights(report)))
    yield from _steps(report.steps)
    yield ToldSection("Use: days out of days available", list(_use(report)), _use_table(report))


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


def _steps(steps: Sequence[StepYear] | None) -> Iterator[ToldSection]:
    """The steps of the club's own first, then those with trouble; of the others only how many there are."""
    if steps is None:
        return
    listed = [step for step in steps if step.own or step.nights_not_well or step.snags]
    rows: list[list[Cell]] = [
        [step.title, step.nights, step.nights_not_well, step.snags]
        for step in sorted(listed, key=lambda step: (not step.own, -(step.nights_not_well + step.snags)))
    ]
    table = ToldTable(["step", "nights ticked", "nights not well", "snags"], rows)
    yield ToldSection(
        "The club's own checklist", list(_step_lines(steps, len(listed))), table if rows else None
    )


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
                f"{one.name.capitalize()}: {one.days_out:,} of {one.days_available:,} "
                f"{'day' if one.days_available == 1 else 'days'} ({percent(one.utilisation)}), lent "
                f"{how_often(one.loans)}."
            )
    still = "; ".join(line.name for line in use.never_moved)
    yield f"Neither lent nor used: {len(use.never_moved)}" + (f" ({still})." if still else ".")
    if use.unknown_since:
        yield f"Left out, because it is not known since when the club has them: {use.unknown_since}."


def _use_table(report: AnnualReport) -> ToldTable:
    rows = [_use_row(line) for line in report.utilisation.lines if line.days_out or line.loans]
    return ToldTable(["name", "kind", "out", "of days", "used", "loans", "nights"], rows)


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
