"""Magnitudes, sizes, types and centres of deep-sky objects against printed ones, all written down from memory."""

import numpy as np
import pytest

from obslog.sky.names.deepsky import find_object, objects
from obslog.sky.places.sphere import separation_deg

# G. de Vaucouleurs and others, Third Reference Catalogue of Bright Galaxies (1991), total V; from memory, to 0.1 or so.
RC3_V = """
55 7.87  147 9.47  157 10.4  185 9.20  205 8.07  221 8.08  224 3.44  247 9.13  253 7.19  300 8.13  598 5.72  628 9.39
891 9.90  925 10.10  1023 9.38  1068 8.87  1097 9.54  1232 9.87  1300 10.4  1313 8.7  1316 8.53  1365 9.63  1399 9.59
2403 8.46  2683 9.76  2841 9.22  2903 8.97  2997 9.41  3031 6.94  3034 8.41  3109 9.87  3115 8.87  3351 9.73  3368 9.25
3379 9.28  3521 8.99  3556 10.02  3623 9.33  3627 8.90  3628 9.48  3992 9.76  4192 10.14  4214 9.78  4236 9.62
4244 9.88  4254 9.87  4258 8.41  4303 9.65  4321 9.35  4365 9.56  4374 9.11  4382 9.10  4406 8.90  4449 9.59  4472 8.41
4486 8.63  4490 9.83  4501 9.59  4526 9.66  4548 10.17  4552 9.75  4559 9.98  4565 9.58  4569 9.54  4579 9.66
4594 8.00  4621 9.60  4631 9.19  4636 9.51  4649 8.84  4697 9.26  4699 9.53  4725 9.39  4736 8.24  4826 8.52  4945 8.6
5005 9.80  5055 8.59  5128 6.84  5194 8.36  5195 9.55  5236 7.54  5457 7.86  5866 9.89  5907 10.36  6744 8.45  6822 8.8
6946 8.84  7331 9.48  7479 10.85  7793 9.07  7814 10.57
"""


def numbered(text: str) -> dict[str, float]:
    words = text.split()
    return {f"NGC {n}": float(value) for n, value in zip(words[::2], words[1::2], strict=True)}


def test_galaxies_are_as_bright_as_the_reference_catalogue_has_them() -> None:
    printed = numbered(RC3_V)
    assert len(printed) > 80
    found = {name: find_object(name).v_mag for name in printed}
    off = {n: (v, printed[n]) for n, v in found.items() if v is None or abs(v - printed[n]) > 0.35}
    assert off == {}


def test_most_of_them_are_so_by_the_rule_and_without_a_correction() -> None:
    sources = [find_object(name).magnitude_from for name in numbered(RC3_V)]
    assert sources.count("V") + sources.count("from B") > 55


@pytest.mark.parametrize(
    ("name", "v_mag"),
    [  # W. E. Harris, catalogue of globular clusters (1996, edition of 2010), and handbooks; from memory
        ("NGC 6723", 7.0), ("NGC 6284", 8.8), ("NGC 6235", 10.0), ("NGC 6356", 8.25), ("NGC 6388", 6.7),
        ("NGC 6584", 8.3), ("M 68", 7.8), ("M 22", 5.1), ("NGC 6553", 8.1), ("47 Tucanae", 4.0),
    ],
)  # fmt: skip
def test_globular_clusters_are_as_bright_as_printed(name: str, v_mag: float) -> None:
    found = find_object(name).v_mag
    assert found is not None
    assert abs(found - v_mag) <= 0.3


def test_every_globular_cluster_of_the_galaxy_in_the_old_catalogues_has_a_magnitude() -> None:
    # Harris's list holds all of them; what is left without is of the Magellanic Clouds.
    without = [t for t in objects() if t.type == "globular cluster" and t.magnitude is None]
    assert [t.designation for t in without if t.constellation not in ("Dor", "Men", "Tuc", "Hyi")] == []


@pytest.mark.parametrize(
    ("name", "magnitude"),
    [("Mel 111", 1.8), ("NGC 2451", 2.8), ("M 20", 6.3), ("Southern Pleiades", 1.9), ("IC 127", 14.0)],
)
def test_other_showpieces_have_the_magnitude_of_handbooks(name: str, magnitude: float) -> None:
    found = find_object(name).magnitude
    assert found is not None
    assert abs(found - magnitude) < 0.5


@pytest.mark.parametrize("name", ["NGC 7114", "IC 4816", "IC 4544", "IC 1318", "IC 4605", "IC 1287"])
def test_a_faded_nova_and_the_star_in_a_nebula_lend_it_no_magnitude(name: str) -> None:
    assert find_object(name).magnitude is None


@pytest.mark.parametrize(
    ("name", "major_arcmin", "minor_arcmin"),
    [  # handbooks; A. W. McConnachie, The Astronomical Journal 144 (2012) 4, for the dwarf galaxies; all from memory
        ("M 7", 80, None), ("M 41", 38, None), ("M 25", 32, None), ("NGC 3532", 55, None), ("Hyades", 330, None),
        ("M 16", 35, 28), ("NGC 6960", 70, 6), ("Coalsack", 420, 300), ("ESO 351-30", 45, 31),
        ("ESO 356-4", 66, 46), ("M 31", 178, 70), ("M 13", 20, None), ("Omega Centauri", 55, None),
        ("47 Tucanae", 50, None), ("M 22", 32, None), ("NGC 6752", 29, None), ("M 15", 18, None),
    ],
)  # fmt: skip
def test_sizes_are_those_that_observers_know(
    name: str, major_arcmin: float, minor_arcmin: float | None
) -> None:
    thing = find_object(name)
    assert thing.major_arcmin is not None
    assert abs(thing.major_arcmin / major_arcmin - 1) < 0.25
    if minor_arcmin is not None:
        assert thing.minor_arcmin is not None
        assert abs(thing.minor_arcmin / minor_arcmin - 1) < 0.25


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("IC 1318", "ionised hydrogen region"), ("NGC 6334", "ionised hydrogen region"),
        ("M 16", "cluster with nebula"), ("NGC 7114", "nova"),
    ],
)  # fmt: skip
def test_types_are_those_of_handbooks(name: str, kind: str) -> None:
    assert find_object(name).type == kind


@pytest.mark.parametrize(
    ("name", "ra_hours", "dec_deg", "within_deg"),
    [  # handbooks, from memory: the Rosette stands about its cluster, the Veil's western arc crosses 52 Cygni
        ("Rosette Nebula", 6 + 32.0 / 60, 4.95, 0.1),
        ("NGC 6960", 20 + 45.7 / 60, 30.72, 0.2),
        ("Coalsack", 12 + 51 / 60, -63.0, 0.5),
    ],
)
def test_the_centres_of_large_nebulae(name: str, ra_hours: float, dec_deg: float, within_deg: float) -> None:
    thing = find_object(name)
    apart = separation_deg(thing.ra_hours * 15, thing.dec_deg, ra_hours * 15, dec_deg)
    assert float(np.asarray(apart)) < within_deg
