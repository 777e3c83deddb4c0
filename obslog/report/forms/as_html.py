"""A sheet as one page of HTML with its print style sheet: nothing is fetched, no script runs, every name is escaped."""

import re
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from obslog.club.forms.blocks import Block, Column, Form, Table, Ticks
from obslog.report.forms.paper import PaperSize
from obslog.report.forms.printed import MADE_BY, Printed
from obslog.report.forms.signs import first_and_rest, one_line
from obslog.report.plain_text import css_string, label, seen

MOST_IN_A_CELL, MOST_IN_A_LINE = 120, 600
_TEMPLATES = Path(__file__).parents[1] / "templates"
_DATE = re.compile(r"\b\d{4}-\d\d-\d\d\b")

if TYPE_CHECKING:
    from markupsafe import Markup


def sheet_as_html(form: Form, paper: PaperSize) -> Printed:
    """The sheet as a page; how many pages it prints on, only the browser knows."""
    head = _line(f"{form.title}, {form.about}" if form.about else form.title)
    text = _template().render(
        form=form,
        head=head,
        head_css=css_string(label(head, 90)),
        paper_css="A4" if paper is PaperSize.A4 else "letter",
        made_by=MADE_BY,
        style=(_TEMPLATES / "sheet.css").read_text(encoding="utf-8").rstrip(),
    )
    return Printed(text.encode("utf-8"), None, 0)


@cache
def _template() -> Any:
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    environment = Environment(
        loader=FileSystemLoader(_TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=_shown,
        keep_trailing_newline=True,
    )
    environment.filters |= {
        "line": lambda text: _dates_whole(_line(text)),
        "plain": _line,
        "cell": lambda text: _dates_whole(_cell(text)),
        "whole": lambda text: _dates_whole(one_line(text)),
        "parts": _parts,
        "kind": _kind,
        "writes": _writes,
        "blank": _blank,
        "percent": _percent,
    }
    return environment.get_template("sheet.html.j2")


def _shown(value: Any) -> Any:
    """Text without signs that steer; what was escaped already passes as it is."""
    return seen(value) if isinstance(value, str) and not hasattr(value, "__html__") else value


def _dates_whole(text: str) -> "Markup":
    """Escaped text in which no date is broken at the end of a line."""
    from markupsafe import Markup, escape

    return Markup(_DATE.sub(r'<span class="whole">\g<0></span>', str(escape(seen(text)))))


def _line(text: str) -> str:
    return label(text, MOST_IN_A_LINE)


def _cell(text: str | None) -> str:
    return label(text or "", MOST_IN_A_CELL)


def _parts(text: str) -> "list[Markup]":
    return [_dates_whole(label(line, MOST_IN_A_CELL)) for line in first_and_rest(text) if line]


def _kind(block: Block) -> str:
    return type(block).__name__


def _writes(ticks: Ticks) -> bool:
    return any(task.write for task in ticks.tasks)


def _blank(table: Table) -> tuple[str, ...]:
    return ("",) * len(table.columns)


def _percent(column: Column, table: Table) -> str:
    return f"{100 * column.share / sum(one.share for one in table.columns):.2f}"
