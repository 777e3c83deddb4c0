"""The scales are explained, each with its direction."""

import pytest

from obslog.sky.evening.sky_quality_scales import DEFINITIONS, MORE_IS_BETTER, direction_words
from obslog.vocabulary.sky_scales import SKY_SCALE_RANGE, SkyScale
from tests.cli.conftest import Run


def test_every_scale_that_can_be_stored_is_listed_with_its_direction(run: Run) -> None:
    pages = run("scales", "--json").document
    assert [page["scale"] for page in pages] == list(SkyScale)
    assert all(page["meaning"] and page["direction"] for page in pages)


@pytest.mark.parametrize(
    ("scale", "words"),
    [
        ("antoniadi", "1 is best, 5 is worst"),  # E. M. Antoniadi: I is perfect, V scarcely a rough sketch
        ("pickering", "10 is best, 1 is worst"),  # W. H. Pickering: 10 is all still
        ("bortle", "1 is best, 9 is worst"),  # J. E. Bortle, Sky & Telescope, February 2001
        ("sky-meter", "more is darker, and better"),  # magnitudes per square arcsecond
        ("cloud-eighths", "0 is best, 8 is worst"),
        ("temperature-c", "neither end is better"),
    ],
)
def test_the_directions_are_those_of_the_scales_makers(scale: str, words: str) -> None:
    assert direction_words(SkyScale(scale)) == words


@pytest.mark.parametrize("scale", DEFINITIONS)
def test_a_definition_covers_its_range_and_its_best_end(scale: SkyScale) -> None:
    values = [step.value for step in DEFINITIONS[scale].steps]
    assert (values[0], values[-1]) == SKY_SCALE_RANGE[scale]
    assert DEFINITIONS[scale].best == (values[-1] if MORE_IS_BETTER[scale] else values[0])


def test_one_scale_is_shown_with_its_steps(run: Run) -> None:
    answer = run("scales", "Antoniadi")
    assert answer.code == 0
    assert "slight undulations" in answer.out
    assert "1 is best, 5 is worst" in answer.out
    assert run("scales", "sky meter", "--json").document["steps"] == []


def test_an_unknown_scale_is_refused_with_the_nearest(run: Run) -> None:
    answer = run("scales", "antoniady")
    assert (answer.code, answer.out) == (2, "")
    assert "antoniadi" in answer.err
