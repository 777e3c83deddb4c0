"""The steps of the sky scales against the texts of those who defined them.

Published formulas from one scale to another (naked-eye limit from a sky meter, after B. E. Schaefer, PASP 102 (1990)
212, and A. Crumey, MNRAS 442 (2014) 2600) have no counterpart: no reading is turned into one of another scale. What an
eye sees against a sky of known brightness is in test_contrast_published.py.
"""

import csv
from pathlib import Path

import pytest

from obslog.sky.evening.sky_quality_scales import ANTONIADI, BORTLE, DEFINITIONS, PICKERING
from obslog.vocabulary.sky_scales import SKY_SCALE_RANGE, SkyScale

BORTLE_TABLE = Path(__file__).parent / "bortle_2001.csv"


def bortle_rows() -> list[dict[str, str]]:
    lines = BORTLE_TABLE.read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def test_bortle_classes_are_those_of_the_published_table() -> None:
    # J. E. Bortle, Sky & Telescope, February 2001, page 126; the table names its own source.
    published = [
        (
            int(row["class"]),
            row["title"],
            float(row["nelm_bright"]) if row["nelm_bright"] else None,
            float(row["nelm_faint"]),
        )
        for row in bortle_rows()
    ]
    ours = [(s.value, s.meaning, s.naked_eye_bright_mag, s.naked_eye_faint_mag) for s in BORTLE.steps]
    assert len(published) == 9
    assert ours == published


def test_antoniadi_steps_have_the_published_words() -> None:
    # D. Darling, encyclopedia of astronomy, entry on the scale.
    published = [
        "perfect seeing, without a quiver",
        "slight undulations, with moments of calm lasting several seconds",
        "moderate seeing, with larger tremors",
        "poor seeing, with constant troublesome undulations",
        "very bad seeing, scarcely allowing the making of a rough sketch",
    ]
    assert [step.meaning for step in ANTONIADI.steps] == published


@pytest.mark.parametrize(
    ("value", "words"),
    [  # W. H. Pickering's scale for a refractor of 5 inches, in the wording of Sky & Telescope
        (1, ["about twice the diameter of the third", '13"']),
        (2, ["occasionally twice"]),
        (3, ["about the diameter of the third ring", '6.7"', "brighter at the centre"]),
        (4, ["disk often visible", "arcs", "sometimes"]),
        (5, ["disk always visible", "arcs frequently"]),
        (6, ["short arcs constantly"]),
        (7, ["disk sometimes sharp", "rings", "long arcs or complete circles"]),
        (8, ["disk always sharp", "in motion"]),
        (9, ["inner ring stationary"]),
        (10, ["complete", "pattern stationary"]),
    ],
)
def test_pickering_steps_have_the_published_words(value: int, words: list[str]) -> None:
    step = PICKERING.steps[value - 1]
    assert step.value == value
    assert [word for word in words if word not in step.meaning] == []


def test_pickering_groups() -> None:
    # The same source: 1 to 3 very bad, 4 and 5 poor, 6 and 7 good, 8 to 10 excellent.
    assert PICKERING.remark.startswith("1-3 very bad, 4-5 poor, 6-7 good, 8-10 excellent")


def test_the_two_seeing_scales_run_in_opposite_senses() -> None:
    # Antoniadi I is best; Pickering 10 is best (both sources above).
    assert ANTONIADI.best == ANTONIADI.steps[0].value == 1
    assert PICKERING.best == PICKERING.steps[-1].value == 10


@pytest.mark.parametrize("scale", list(DEFINITIONS))
def test_definitions_cover_the_range_that_may_be_recorded(scale: SkyScale) -> None:
    low, high = SKY_SCALE_RANGE[scale]
    assert [step.value for step in DEFINITIONS[scale].steps] == list(range(int(low), int(high) + 1))
