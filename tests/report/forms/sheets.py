"""Sheets to draw: small ones, and one full of names that are hard to set."""

from datetime import date

from obslog.club.forms.blocks import (
    Block,
    Box,
    Boxes,
    Caution,
    Column,
    ColumnKind,
    Explanation,
    Form,
    Heading,
    Scale,
    Scales,
    Table,
    Task,
    Ticks,
)

HOSTILE = (
    'O\'Brien "Zoë" <script>alert(1)</script>',
    "אברהם בן־גוריון",
    "محمد بن سلمان",
    "🔭 Star 👩\u200d🚀 gazer 👍🏽",
    "张伟 Zhang",
    "x" * 10_000,
    "word " * 2_000,
    "نص " * 3_000,
    "e\u0302 combined",
    "\u202eturned\u202c",
    "nul\x00 bell\x07\n\ttab",
    "half \ud800",
    "</style></title>-->&amp;]]>",
    "",
)
COLUMNS = (
    Column(title="seen", share=1, kind=ColumnKind.TICK),
    Column(title="name_of_a_column", share=2),
    Column(title="condition", share=2, kind=ColumnKind.RING, words=("good", "worn", "damaged", "missing")),
)


def form(*blocks: Block, title: str = "A sheet", about: str = "of a test") -> Form:
    return Form(title=title, about=about, dated=date(2026, 3, 2), blocks=blocks)


def with_name(name: str) -> tuple[Block, ...]:
    """A block of each kind with that name wherever people's own text may stand."""
    return (
        Heading(name),
        Explanation(name),
        Caution((name, name)),
        Boxes((Box(label=name, hint=name, filled=name), Box(label="plain", filled=name, lines=2, share=2.0))),
        Scales(
            (Scale(name=name, meaning=name, direction=name), Scale(name="s", meaning="m", direction="")), 2
        ),
        Ticks(
            ("out", "in"),
            (Task(title=name, told=(name,), values=(name,), warnings=(name,), write=name), Task(title=name)),
        ),
        Table(
            columns=COLUMNS, rows=(("", name, ""), ("", f"{name}\n{name}", name)), blank_rows=1, writing=True
        ),
        Table(columns=COLUMNS[1:2], rows=((name,),)),
    )
