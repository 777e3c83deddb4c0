"""The annual report as one self-contained page to print: no scripts, nothing fetched, every name escaped.

A line at its top says which program made the page, by which it is known again.
"""

from collections.abc import Iterator
from html import escape

from obslog.club.annual.report_records import AnnualReport
from obslog.report.annual.sections import Cell, Section, Table, annual_sections, title, up_to_today

_STYLE = """
body { font: 11pt/1.4 serif; max-width: 48em; margin: 2em auto; padding: 0 1em; color: #000; background: #fff; }
h1 { font-size: 1.4em; } h2 { font-size: 1.1em; margin: 1.2em 0 0.3em; } p { margin: 0.2em 0; }
table { border-collapse: collapse; margin: 0.4em 0; } thead { display: table-header-group; }
th, td { text-align: left; padding: 0.1em 0.8em 0.1em 0; border-bottom: 1px solid #ccc; }
td.number, th.number { text-align: right; } tr { break-inside: avoid; } h2 { break-after: avoid; }
@page { margin: 15mm; }
"""


_TOP = '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
_MADE_BY = '<meta name="generator" content="obslog, the report of a year">'


def is_annual_page(text: str) -> bool:
    """Whether the text, or the beginning of it, is a page that was made here."""
    return text.startswith(f"{_TOP}{_MADE_BY}\n")


def annual_page(report: AnnualReport) -> str:
    """The page as HTML."""
    heading = _text(title(report))
    body = "\n".join(part for section in annual_sections(report) for part in _section(section))
    unfinished = up_to_today(report)
    if unfinished is not None:
        body = f"<p>{_text(unfinished)}</p>\n{body}"
    return (
        f"{_TOP}{_MADE_BY}\n<title>{heading}</title>\n"
        f"<style>{_STYLE}</style>\n</head>\n<body>\n<h1>{heading}</h1>\n{body}\n</body>\n</html>\n"
    )


def _section(section: Section) -> Iterator[str]:
    yield f"<h2>{_text(section.title)}</h2>"
    for line in section.lines:
        yield f"<p>{_text(line)}</p>"
    if section.table is not None and section.table.rows:
        yield _table(section.table)


def _table(table: Table) -> str:
    marks = [' class="number"' if right else "" for right in table.numeric]
    head = "".join(f"<th{mark}>{_text(name)}</th>" for name, mark in zip(table.columns, marks, strict=True))
    rows = "\n".join(
        "<tr>"
        + "".join(f"<td{mark}>{_cell(cell)}</td>" for cell, mark in zip(row, marks, strict=True))
        + "</tr>"
        for row in table.rows
    )
    return f"<table>\n<thead><tr>{head}</tr></thead>\n<tbody>\n{rows}\n</tbody>\n</table>"


def _cell(cell: Cell) -> str:
    return "unknown" if cell is None else _text(f"{cell}")


def _text(text: str) -> str:
    """Text as a page may hold it: what could be read as markup is escaped, what does not print is replaced."""
    printable = "".join(one if one.isprintable() else " " if one.isspace() else "\ufffd" for one in text)
    return escape(printable).replace(" %", "&nbsp;%")
