"""What went wrong with a mount, step by step of the checklist."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from obslog.club.pages.step_snags import StepSnags
from obslog.english import counted
from obslog.report.pictures.ink import Ink
from obslog.report.pictures.picture import Picture
from obslog.report.plain_text import label

if TYPE_CHECKING:
    from matplotlib.figure import Figure

COLUMNS = ("step", "snags", "not mended", "last", "what it was", "what mended it")
_ROW_MM, _EDGE_MM = 7.0, 16.0
_TITLE_LETTERS = 30


def snags_picture(mount: str, snags: Sequence[StepSnags]) -> Picture:
    """A bar for each step that had snags, in the order of the checklist; what is not mended stands out."""
    return Picture(
        name="snags",
        title=f"Snags of {label(mount)}, step by step",
        description=_description(snags),
        columns=COLUMNS,
        rows=tuple(_row(one) for one in snags),
        draw=lambda figure, ink: _draw(figure, ink, snags),
        height_mm=_EDGE_MM + _ROW_MM * max(len(snags), 2),
    )


def _description(snags: Sequence[StepSnags]) -> str:
    total, not_mended = sum(one.count for one in snags), sum(one.not_mended for one in snags)
    if not snags:
        return "No snag on record."
    most = max(snags, key=lambda one: one.count)
    return (
        f"{counted(total, 'snag')} at {counted(len(snags), 'step')}, {not_mended} not mended. Most at: {most.title} "
        f"({most.count})."
    )


def _row(one: StepSnags) -> tuple[str, ...]:
    counts = (str(one.count), str(one.not_mended))
    return (one.title, *counts, str(one.last), one.last_text, one.last_remedy or "")


def _draw(figure: "Figure", ink: Ink, snags: Sequence[StepSnags]) -> None:
    from matplotlib.ticker import MaxNLocator

    axes = figure.add_subplot()
    if not snags:
        axes.set_axis_off()
        axes.text(0.5, 0.5, "nothing on record yet", transform=axes.transAxes, ha="center", color=ink.soft)
        return
    for place, one in enumerate(snags):
        mended = one.count - one.not_mended
        if mended:
            axes.barh(
                place, mended, height=0.6, color=ink.shade, edgecolor=ink.first, linewidth=0.8, zorder=2
            )
        if one.not_mended:
            axes.barh(
                place, one.not_mended, left=mended, height=0.6, color=ink.paper, edgecolor=ink.warning, hatch="////",
                linewidth=0.8, zorder=2,
            )  # fmt: skip
        words = f"{one.count}, {one.not_mended} not mended" if one.not_mended else f"{one.count}"
        axes.annotate(
            words, (one.count, place), xytext=(4, 0), textcoords="offset points", size=8, va="center_baseline",
            color=ink.warning if one.not_mended else ink.ink,
        )  # fmt: skip
    axes.set_yticks(range(len(snags)), [label(one.title, _TITLE_LETTERS) for one in snags], size=8)
    for tick in axes.get_yticklabels():
        tick.set_color(ink.ink)
    axes.set_ylim(len(snags) - 0.4, -0.6)
    axes.set_xlim(0, 1.45 * max(one.count for one in snags))
    axes.xaxis.set_major_locator(MaxNLocator(nbins=5, integer=True, min_n_ticks=1))
    axes.tick_params(axis="y", length=0)
    axes.tick_params(axis="x", labelsize=8)
    axes.grid(axis="y", visible=False)
    axes.set_xlabel("snags on record", size=8)
