"""Cells of tables and words that several of these pages share."""

from math import isfinite
from typing import TYPE_CHECKING

from obslog.report.pictures.ink import Ink
from obslog.values import Interval

if TYPE_CHECKING:
    from matplotlib.figure import Figure


def interval_cells(interval: Interval | None, unit: str = "'", decimals: int = 1) -> tuple[str, str, str]:
    """A value and the ends of its interval; blank where it is not known."""
    ends = (interval.value, interval.low, interval.high) if interval is not None else (None, None, None)
    value, low, high = (
        "" if end is None or not isfinite(end) else f"{end:.{decimals}f}{unit}" for end in ends
    )
    return value, low, high


def share_words(share: Interval) -> str:
    """`9 % (1 % to 25 %)`: the head of the column says that this is its 95 % interval."""
    value, low, high = (0.0 if end is None else 100 * end for end in (share.value, share.low, share.high))
    return f"{value:.0f} % ({low:.0f} % to {high:.0f} %)"


def nothing_yet(figure: "Figure", ink: Ink) -> None:
    """A picture of nothing says so, in place of an empty frame."""
    figure.text(0.5, 0.5, "nothing on record yet", ha="center", color=ink.soft)
