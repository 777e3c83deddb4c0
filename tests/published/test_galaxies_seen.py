"""In which tube a galaxy is judged to be seen, against what observers commonly report.

The classes of tubes are a factor of 1.6 apart.
"""

import numpy as np

from obslog.club.targets.how_sure import WITH_CARE_MAG, judge
from obslog.sky.contrast.through_tube import naked_eye, usual_magnifications, views_through
from obslog.sky.evening.object_arrays import named_things
from tests.club.targets.skies import even_sky
from tests.published.published_tables import columns

CLASSES_MM = (0, 50, 80, 125, 200, 320, 500)


def off_by_classes() -> dict[tuple[str, str], int]:
    """By how many classes the smallest tube in which it is seen with care differs from the one reported."""
    reported = columns("galaxies_seen.csv")
    rows = list(zip(reported["name"], reported["sky_mag"], reported["aperture_mm"], strict=True))
    catalogue, unknown = named_things(dict.fromkeys(reported["name"]))
    assert not unknown
    order = {name: place for place, name in enumerate(dict.fromkeys(reported["name"]))}
    margin = {
        (sky, mm): judge(
            catalogue,
            even_sky(len(catalogue), float(sky)),
            views_through(mm, usual_magnifications(mm)) if mm else naked_eye(),
            mm or 7.0,
        ).margin_mag
        for sky in sorted(set(reported["sky_mag"]))
        for mm in CLASSES_MM
    }
    found = {}
    for name, sky, aperture in rows:
        seen = [margin[sky, mm][order[name]] >= WITH_CARE_MAG for mm in CLASSES_MM]
        smallest = seen.index(True) if any(seen) else len(CLASSES_MM)
        found[name, sky] = smallest - CLASSES_MM.index(int(aperture))
    return found


def test_galaxies_are_seen_in_the_tubes_in_which_observers_report_them() -> None:
    off = off_by_classes()
    assert len(off) > 70
    assert {row: classes for row, classes in off.items() if abs(classes) > 1} == {}


def test_on_the_whole_no_class_too_kind_or_too_harsh() -> None:
    assert abs(np.mean(list(off_by_classes().values()))) < 0.5
