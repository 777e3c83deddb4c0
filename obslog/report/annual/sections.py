"""The annual report in words: titled sections of sentences and tables, the same for the screen and for paper."""

from obslog.club.annual.report_records import AnnualReport
from obslog.english import counted
from obslog.report.annual.equipment_told import equipment_sections
from obslog.report.annual.lending_told import lending_sections
from obslog.report.annual.nights_told import nights_sections
from obslog.report.annual.told import ToldSection


def annual_sections(report: AnnualReport) -> list[ToldSection]:
    """All sections, in the order in which an annual meeting asks."""
    return [*nights_sections(report), *lending_sections(report), *equipment_sections(report)]


def title(report: AnnualReport) -> str:
    return f"The store-room from {report.first} to {report.last} ({counted(report.days, 'day')})"


def up_to_today(report: AnnualReport) -> str | None:
    """That the period is not over yet, where it is not."""
    if report.asked_to is None:
        return None
    return f"It covers up to today, {report.last}; the days to {report.asked_to} have not come yet."
