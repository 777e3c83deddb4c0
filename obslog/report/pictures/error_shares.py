"""Whose error it is: the shares of mount, observer and site, and below them the mounts and people that stand out."""

from math import isfinite
from typing import TYPE_CHECKING

from obslog.club.performance.error_sources import ErrorSources
from obslog.english import counted
from obslog.estimate_words import NOT_DETERMINED, chance_words, percent_words
from obslog.intervals import NORMAL_95
from obslog.report.pictures.ink import Ink
from obslog.report.pictures.interval_rows import ROW_MM, IntervalRow, draw_interval_rows, ratio_row
from obslog.report.pictures.picture import Picture
from obslog.trends.attribution.attribution import Effect
from obslog.values import Estimate, Interval

if TYPE_CHECKING:
    from matplotlib.figure import Figure

COLUMNS = ("whose", "ratio or share", "from", "to", "worse")
USUAL_MOST = 12
_AXIS_MM = 15.0


def sources_picture(found: ErrorSources, most: int = USUAL_MOST) -> Picture:
    """The shares with their intervals; the first `most` of the effects, those surest to be above the average first."""
    shown = found.effects[:most]
    return Picture(
        name="whose",
        title=f"Whose are the landing errors of {counted(found.setups, 'set-up')}?",
        description=_description(found, shown),
        columns=COLUMNS,
        rows=(
            *(_share_cells(source, share) for source, share in found.shares.items()),
            *map(_effect_cells, found.effects),
        ),
        draw=lambda figure, ink: _draw(figure, ink, found, shown),
        height_mm=2 * _AXIS_MM + ROW_MM * (len(found.shares) + max(len(shown), 1)),
    )


def _description(found: ErrorSources, shown: list[Effect]) -> str:
    shares = [f"{source}: {_share_words(share)}." for source, share in found.shares.items()]
    effects = [
        f"{one.factor} {one.name}: {one.ratio.value:.2f} times the club's average, worse than it with a probability of "
        f"{chance_words(one.worse)}."
        for one in shown
    ]
    return " ".join([*shares, *effects, *found.cannot_tell])


def _known(share: Estimate) -> bool:
    return share.determined and isfinite(share.sd)


def _share_words(share: Estimate) -> str:
    return f"{percent_words(share.value)} ± {percent_words(share.sd)}" if _known(share) else NOT_DETERMINED


def _share_interval(share: Estimate) -> Interval | None:
    """A share of a whole in per cent; its interval goes no further than nothing and all."""
    if not _known(share):
        return None
    reach = NORMAL_95 * share.sd
    low, high = max(share.value - reach, 0.0), min(share.value + reach, 1.0)
    return Interval(100 * share.value, 100 * low, 100 * high, share.count)


def _share_cells(source: str, share: Estimate) -> tuple[str, ...]:
    interval = _share_interval(share)
    ends = (interval.value, interval.low, interval.high) if interval else (None, None, None)
    return (source, *("" if end is None else f"{end:.0f} %" for end in ends), "")


def _effect_cells(one: Effect) -> tuple[str, ...]:
    ends = (one.ratio.value, one.ratio.low, one.ratio.high)
    return (
        f"{one.factor} {one.name}",
        *("" if end is None else f"{end:.2f}" for end in ends),
        chance_words(one.worse),
    )


def _draw(figure: "Figure", ink: Ink, found: ErrorSources, shown: list[Effect]) -> None:
    heights = (_AXIS_MM + ROW_MM * len(found.shares), _AXIS_MM + ROW_MM * max(len(shown), 1))
    halves = figure.subfigures(2, 1, height_ratios=heights, squeeze=False)[:, 0]
    shares = halves[0].add_subplot()
    rows = [
        IntervalRow(name=source, interval=_share_interval(share), words=_share_words(share))
        for source, share in found.shares.items()
    ]
    draw_interval_rows(shares, ink, rows, reference=0.0)
    shares.set_xlim(0, 100)
    shares.set_xlabel("share of the variance, %", size=8)
    if not shown:
        return
    effects = halves[1].add_subplot()
    ratios = [ratio_row(f"{one.factor} {one.name}", one.ratio) for one in shown]
    draw_interval_rows(effects, ink, ratios, reference=1.0, logarithmic=True)
    effects.set_xlabel("landing error beside the club's average, 1 (logarithmic)", size=8)
