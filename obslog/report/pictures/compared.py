"""Mounts beside the first of them, or one mount on two sides: ratios of landing errors with their intervals."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from obslog.club.landing.before_and_after import TwoSidesOfAMount
from obslog.club.landing.beside_the_first import MountBeside
from obslog.estimate_words import interval_words, radius_words
from obslog.report.pictures.ink import Ink
from obslog.report.pictures.interval_rows import ROW_MM, IntervalRow, draw_interval_rows, ratio_row
from obslog.report.pictures.picture import Picture
from obslog.report.plain_text import label
from obslog.values import Interval

if TYPE_CHECKING:
    from matplotlib.figure import Figure

COLUMNS = ("mount", "times as far off", "from", "to")
SIDE_COLUMNS = ("side", "half land within", "from", "to")
AXIS_MM = 15.0


def beside_picture(found: Sequence[MountBeside]) -> Picture:
    """Each mount's landing error divided by the first one's; the first is the line at 1."""
    first = found[0].history.mount if found else ""
    rows = [_mount_row(one, is_first=place == 0) for place, one in enumerate(found)]
    return Picture(
        name="compared",
        title=f"How far off mounts land, beside {label(first)}",
        description=" ".join(_beside_words(one, first) for one in found) or "No mount is on record yet.",
        columns=COLUMNS,
        rows=tuple((one.history.mount, *_ends(one.ratio, "")) for one in found),
        draw=lambda figure, ink: _draw_beside(figure, ink, rows, first),
        height_mm=AXIS_MM + ROW_MM * max(len(rows), 1),
    )


def sides_picture(found: TwoSidesOfAMount) -> Picture:
    """The radius on either side, and below it the ratio of the second to the first."""
    one, other = found.sides
    return Picture(
        name="compared",
        title=f"How far off {label(found.mount)} lands {label(one.name)} and {label(other.name)}",
        description=" ".join(found.words),
        columns=SIDE_COLUMNS,
        rows=(
            *((side.name, *_ends(side.half_arcmin, "'")) for side in found.sides),
            ("ratio", *_ends(found.ratio, "")),
        ),
        draw=lambda figure, ink: _draw_sides(figure, ink, found),
        height_mm=2 * AXIS_MM + 3 * ROW_MM,
    )


def _mount_row(one: MountBeside, *, is_first: bool) -> IntervalRow:
    name = one.history.mount
    if one.ratio is not None:
        return ratio_row(name, one.ratio)
    return IntervalRow(name=name, interval=None, words="the first" if is_first else "not determined yet")


def _beside_words(one: MountBeside, first: str) -> str:
    if one.ratio is None:
        return (
            f"{one.history.mount} is {'the first' if one.history.mount == first else 'not determined yet'}."
        )
    return f"{one.history.mount} lands {interval_words(one.ratio)} times as far off as {first}."


def _ends(interval: Interval | None, unit: str) -> tuple[str, ...]:
    ends = (interval.value, interval.low, interval.high) if interval is not None else (None, None, None)
    form = ".1f" if unit else ".2f"
    return tuple("" if end is None else f"{end:{form}}{unit}" for end in ends)


def _draw_beside(figure: "Figure", ink: Ink, rows: Sequence[IntervalRow], first: str) -> None:
    if not rows:
        figure.text(0.5, 0.5, "nothing on record yet", ha="center", color=ink.soft)
        return
    axes = figure.add_subplot()
    draw_interval_rows(axes, ink, rows, reference=1.0, logarithmic=True)
    axes.set_xlabel(f"times as far off as {label(first, 24)} (logarithmic)", size=8)


def _draw_sides(figure: "Figure", ink: Ink, found: TwoSidesOfAMount) -> None:
    halves = figure.subfigures(2, 1, height_ratios=(AXIS_MM + 2 * ROW_MM, AXIS_MM + ROW_MM), squeeze=False)
    radii, ratio = (half.add_subplot() for half in halves[:, 0])
    sides = [
        IntervalRow(name=side.name, interval=side.half_arcmin, words=radius_words(side.half_arcmin))
        for side in found.sides
    ]
    draw_interval_rows(radii, ink, sides, reference=0.0)
    radii.set_xlim(left=0)
    radii.set_xlabel("half land within, arcminutes", size=8)
    draw_interval_rows(ratio, ink, [ratio_row("ratio", found.ratio)], reference=1.0, logarithmic=True)
    ratio.set_xlabel(
        f"{label(found.sides[1].name, 24)} beside {label(found.sides[0].name, 24)} (logarithmic)", size=8
    )
