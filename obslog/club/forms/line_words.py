"""How an arrival, a snag or an observation is written on a line, in the order in which it is typed."""

from collections.abc import Sequence

from obslog.club.forms.blocks import Column, Explanation, Heading, Table
from obslog.club.paper.page import FLIP, ROLES, SIGHTINGS, SNAG
from obslog.club.paper.questions import ONE_LINE
from obslog.vocabulary.arrivals import Landing
from obslog.vocabulary.mounts import PierSide
from obslog.vocabulary.steps import StepKey

COLUMNS = (
    Column(title="time", share=9),
    Column(title="act", share=11),
    Column(title="star or object", share=22),
    Column(title="where it stood", share=20),
    Column(title="; words", share=38),
)
HOW = (
    f"A line for each act: {', '.join(ROLES)} for an arrival; {', '.join(SIGHTINGS)} for what was looked at; {SNAG} "
    f"and its step; {FLIP} and the side of the pier that the tube went to, {' or '.join(PierSide)}."
)
WHERE = (
    "Where it stood from the centre of the field, east or west, then north or south: 3E 2N in arcminutes, 0.4f W in "
    f"fields; or {', '.join(Landing)}. Blank is not measured, and is not the same as centred."
)


def lines_to_write(
    rows: int, steps: Sequence[StepKey], belongs_to: str
) -> tuple[Heading | Explanation | Table, ...]:
    """The heading, how lines go, which steps a snag may have, and at least so many rows; more where there is room."""
    return (
        Heading(f"{ONE_LINE.label}: one for each act"),
        Explanation(" ".join((HOW, WHERE, f"Steps of a snag: {', '.join(steps)}."))),
        Table(columns=COLUMNS, blank_rows=rows, writing=True, fills_page=True, belongs_to=belongs_to),
    )
