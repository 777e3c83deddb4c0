"""The year's report as a page: the same sections as on the screen, with whole tables."""

from collections.abc import Iterator

from obslog.club.annual.report_records import AnnualReport
from obslog.club.pages.basis import Basis, Rows, some, store_rows
from obslog.english import counted
from obslog.report.annual.sections import annual_sections, title, up_to_today
from obslog.report.annual.told import Cell, ToldSection
from obslog.report.pages.content import Page, Paragraph, Part, Section, Table
from obslog.report.pages.footer import footer_lines
from obslog.report.pages.writing import is_page

# How pages of the report began before there were other pages: they are still known, and may be written over.
_EARLIER = (
    '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
    '<meta name="generator" content="obslog, the report of a year">\n'
)


def is_annual_page(text: str) -> bool:
    """Whether the text, or the beginning of it, is a page that was made here, now or before."""
    return is_page(text) or text.startswith(_EARLIER)


def annual_page(report: AnnualReport) -> Page:
    """The report as a page of its own."""
    used = [
        Rows(count=report.nights.nights, kind="night"),
        Rows(count=report.nights.setups, kind="set-up"),
        *store_rows(report),
    ]
    return Page(
        kind="annual",
        title=title(report),
        lead=lead(report),
        sections=report_sections(report),
        footer=footer_lines(Basis(day=report.today, used=some(used))),
    )


def lead(report: AnnualReport) -> str:
    """The year in a sentence, and that it is not over yet, where it is not."""
    nights, loans, services = report.nights, report.loans.begun, report.services.services
    said = (
        f"{counted(nights.nights, 'night')} with {counted(nights.setups, 'set-up')}, {counted(loans, 'loan')}, "
        f"{counted(services, 'service')}."
    )
    unfinished = up_to_today(report)
    return said if unfinished is None else f"{said} {unfinished}"


def report_sections(report: AnnualReport) -> list[Section]:
    """All sections of the report, as parts of any page."""
    return [Section(_unbroken(told.title), list(_parts(told))) for told in annual_sections(report)]


def _parts(told: ToldSection) -> Iterator[Part]:
    for line in told.lines:
        yield Paragraph(_unbroken(line))
    if told.table is not None and told.table.rows:
        yield Table(
            caption=f"{_unbroken(told.title)}, line by line",
            columns=told.table.columns,
            rows=[[_cell(cell) for cell in row] for row in told.table.rows],
            numeric=told.table.numeric,
        )


def _cell(cell: Cell) -> str:
    return "unknown" if cell is None else _unbroken(f"{cell}")


def _unbroken(text: str) -> str:
    """A percentage is not broken between lines."""
    return text.replace(" %", "\N{NO-BREAK SPACE}%")
