"""The year's report as a page: every section and every row of it, in one sentence at the top, and known again."""

from dataclasses import replace
from datetime import date

from obslog.report.annual.sections import annual_sections
from obslog.report.pages.annual_page import annual_page, is_annual_page, lead, report_sections
from obslog.report.pages.content import Table
from obslog.report.pages.writing import page_html
from tests.report.annual.test_annual_pages import report_of

EARLIER = (
    '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
    '<meta name="generator" content="obslog, the report of a year">\n<title>A year</title>\n'
)


def test_every_section_stands_on_it_with_all_its_rows() -> None:
    report = report_of(40)
    told = annual_sections(report)
    written = report_sections(report)
    assert [section.title.replace("\u00a0", " ") for section in written] == [one.title for one in told]
    for one, section in zip(told, written, strict=True):
        rows = [len(part.rows) for part in section.parts if isinstance(part, Table)]
        assert rows == ([len(one.table.rows)] if one.table is not None and one.table.rows else [])


def test_the_year_is_said_in_a_sentence() -> None:
    report = report_of(1)
    assert lead(report) == "3 nights with 4 set-ups, 4 loans, 0 services."
    unfinished = replace(report, asked_to=date(2026, 12, 31))
    assert "the days to 2026-12-31 have not come yet." in lead(unfinished)


def test_a_club_that_has_only_items_has_something_on_record() -> None:
    report = report_of(1)
    no_use = replace(
        report,
        nights=replace(report.nights, nights=0, setups=0),
        loans=replace(report.loans, begun=0),
    )
    assert annual_page(no_use).footer[0].startswith("Used: 3 items.")


def test_a_page_of_now_and_of_before_is_known_and_no_other() -> None:
    assert is_annual_page(page_html(annual_page(report_of(1))))
    assert is_annual_page(EARLIER)
    assert not is_annual_page('<!DOCTYPE html>\n<html lang="en"><title>A letter</title>')
