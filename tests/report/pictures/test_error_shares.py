"""Whose error it is, as a picture: shares and effects made by hand."""

from math import nan
from xml.etree import ElementTree

import pytest

from obslog.club.performance.error_sources import ErrorSources
from obslog.report.pictures.drawing import inline_svg
from obslog.report.pictures.error_shares import sources_picture
from obslog.trends.attribution.attribution import Effect
from obslog.values import Estimate, Interval
from tests.report.pictures.drawn_on import figure_of, texts_of, xs


def effect_of(name: str, ratio: Interval, factor: str = "mount") -> Effect:
    return Effect(factor=factor, level=name, ratio=ratio, worse=0.97, log=Estimate(0.0, 0.1, 9, True))


ROOK = effect_of("Rook", Interval(2.0, 1.25, 3.2, 20), "observer")
HERON = effect_of("Heron", Interval(0.8, 0.5, 1.3, 20))


def sources_of(effects: list[Effect]) -> ErrorSources:
    shares = {
        "mount": Estimate(0.4, 0.1, 20, True),
        "observer": Estimate(0.05, 0.1, 20, True),
        "site": Estimate(0.0, nan, 20, False),
        "rest": Estimate(0.55, 0.05, 20, True),
    }
    return ErrorSources(389, shares, effects, ["Ines and Heron were always used together"])


def test_shares_are_drawn_in_per_cent_and_their_intervals_stay_between_nothing_and_all() -> None:
    shares, _ = figure_of(sources_picture(sources_of([ROOK]))).axes
    assert [xs(line)[0] for line in shares.lines if line.get_marker() == "o"] == pytest.approx([40, 5, 55])
    intervals = [xs(line) for line in shares.lines if len(xs(line)) == 2][1:]
    assert intervals[0] == pytest.approx([40 - 19.6, 40 + 19.6], abs=0.01)
    assert intervals[1] == pytest.approx([0, 5 + 19.6], abs=0.01)
    assert shares.get_xlim() == (0, 100)
    assert "not determined" in texts_of(shares.figure)  # type: ignore[arg-type]


def test_effects_stand_on_a_logarithmic_axis_those_surely_above_the_average_in_another_shape() -> None:
    effects = figure_of(sources_picture(sources_of([ROOK, HERON]))).axes[1]
    marks = [(line.get_marker(), xs(line)[0]) for line in effects.lines if line.get_marker() in ("o", "D")]
    assert marks == [("D", 2.0), ("o", 0.8)]
    assert effects.get_xscale() == "log"
    assert [tick.get_text() for tick in effects.get_yticklabels()] == ["observer Rook", "mount Heron"]


def test_only_so_many_are_drawn_and_all_are_in_the_table() -> None:
    found = sources_picture(sources_of([ROOK, *[HERON] * 30]), most=3)
    assert len(figure_of(found).axes[1].get_yticklabels()) == 3
    assert len(found.rows) == 4 + 31
    assert found.rows[4] == ("observer Rook", "2.00", "1.25", "3.20", "97 %")


def test_it_says_in_words_what_is_drawn() -> None:
    assert sources_picture(sources_of([ROOK])).description == (
        "mount: 40 % ± 10 %. observer: 5 % ± 10 %. site: not determined. rest: 55 % ± 5 %. "
        "observer Rook: 2.00 times the club's average, worse than it with a probability of 97 %. "
        "Ines and Heron were always used together"
    )


@pytest.mark.parametrize("name", ["Heron", '<script>"&' + "x" * 10_000, "\u202egniw"])
@pytest.mark.parametrize("count", [0, 1, 12])
def test_it_is_drawn_whatever_there_is(name: str, count: int) -> None:
    effect = effect_of(name, Interval(1.2, None, None, 3))
    ElementTree.fromstring(inline_svg(sources_picture(sources_of([effect] * count))))
