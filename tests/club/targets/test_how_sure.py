"""How sure showpieces are to be seen, as every handbook of observing has it; and that the unknown stays unknown."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from obslog.club.targets.how_sure import (
    EASILY_MAG,
    HARDLY_MAG,
    WITH_CARE_MAG,
    Sure,
    VisualMargins,
    judge,
)
from obslog.sky.contrast.through_tube import faintest_star_mag, usual_magnifications, views_through
from obslog.sky.names.double_stars import Parted
from tests.club.targets.skies import Thing, catalogue_of, even_sky

ANDROMEDA = Thing(name="M 31", type="galaxy", magnitude=3.4, size=(190.0, 60.0), hubble="Sb")
TRIANGULUM = Thing(name="M 33", type="galaxy", magnitude=5.7, size=(71.0, 42.0), hubble="Scd")
PINWHEEL = Thing(name="M 101", type="galaxy", magnitude=7.9, size=(29.0, 27.0), hubble="SABcd")
FORNAX = Thing(name="ESO 356-4", type="galaxy", magnitude=7.4, size=(66.0, 46.0), hubble="dE")
SCULPTOR = Thing(name="NGC 253", type="galaxy", magnitude=7.2, size=(27.0, 6.0), hubble="SABc")
ORION = Thing(name="M 42", type="cluster with nebula", magnitude=4.0, size=(90.0, 60.0))
RING = Thing(name="M 57", type="planetary nebula", magnitude=8.8, size=(1.4, 1.0))
HERCULES = Thing(name="M 13", type="globular cluster", magnitude=5.8, size=(20.0, 20.0))
AMERICA = Thing(name="NGC 7000", type="ionised hydrogen region", magnitude=4.0, size=(120.0, 100.0))
BEEHIVE = Thing(name="M 44", type="open cluster", magnitude=3.1, size=(95.0, 95.0))
CITY, COUNTRY, VERY_DARK = 18.0, 21.5, 22.0


def judged(sky: float, aperture_mm: float, *things: Thing, moonlit: float | None = None) -> VisualMargins:
    views = views_through(aperture_mm, usual_magnifications(aperture_mm))
    return judge(catalogue_of(*things), even_sky(len(things), sky, moonlit), views, aperture_mm)


def sure(thing: Thing, sky: float, aperture_mm: float, moonlit: float | None = None) -> Sure:
    return judged(sky, aperture_mm, thing, moonlit=moonlit).sure(0)


@pytest.mark.parametrize("thing", [ANDROMEDA, SCULPTOR, ORION, RING, HERCULES, BEEHIVE])
def test_showpieces_are_seen_easily_in_200_mm_from_the_country(thing: Thing) -> None:
    assert sure(thing, COUNTRY, 200.0) is Sure.EASILY


@pytest.mark.parametrize("thing", [ORION, RING, BEEHIVE, HERCULES])
def test_clusters_and_what_is_bright_and_small_are_seen_easily_in_a_city(thing: Thing) -> None:
    assert sure(thing, CITY, 200.0) is Sure.EASILY


@pytest.mark.parametrize("thing", [TRIANGULUM, PINWHEEL, AMERICA, FORNAX])
def test_what_is_wide_and_faint_is_not_seen_in_a_city_nor_under_a_full_moon(thing: Thing) -> None:
    assert sure(thing, CITY, 200.0) is Sure.NO
    assert sure(thing, COUNTRY, 200.0, moonlit=18.2) is Sure.NO


def test_the_fornax_dwarf_is_not_seen_in_150_mm_where_towns_are_near_and_hard_under_the_darkest_sky() -> None:
    assert sure(FORNAX, 21.0, 150.0) is Sure.NO
    assert sure(FORNAX, VERY_DARK, 150.0) in (Sure.HARDLY, Sure.NO)


def test_the_triangulum_galaxy_needs_a_dark_sky_and_then_is_easy() -> None:
    assert sure(TRIANGULUM, 19.3, 150.0) in (Sure.HARDLY, Sure.NO)
    assert sure(TRIANGULUM, 20.5, 150.0) is not Sure.NO
    assert sure(TRIANGULUM, VERY_DARK, 150.0) is Sure.EASILY


def test_the_moon_alone_drowns_what_would_be_seen_without_it() -> None:
    found = judged(COUNTRY, 200.0, AMERICA, PINWHEEL, RING, moonlit=18.2)
    assert [found.drowned(n) for n in range(3)] == [True, True, False]
    assert not judged(CITY, 200.0, AMERICA).drowned(0)  # a town does that without the Moon
    assert np.all(found.dark_margin_mag >= found.margin_mag)


def test_the_naked_eye_is_told_where_it_is_enough() -> None:
    cloud = Thing(name="ESO 56-115", type="galaxy", magnitude=0.3, size=(646.0, 550.0), hubble="SBm")
    found = judged(COUNTRY, 200.0, cloud, ANDROMEDA, TRIANGULUM, RING)
    assert found.by_eye.tolist() == [True, True, False, False]


@pytest.mark.parametrize("aperture_mm", [50.0, 100.0, 200.0])
def test_the_core_of_the_andromeda_galaxy_is_seen_in_a_city_and_told(aperture_mm: float) -> None:
    """Its mean surface is 22.2; its inner 4' are near 18.5 in V by every photograph, as bright as a city's sky."""
    found = judged(CITY, aperture_mm, ANDROMEDA, RING)
    assert found.sure(0) is Sure.EASILY
    assert 2.0 < found.core_arcmin[0] < 8.0
    assert np.isnan(found.core_arcmin[1])


def test_no_core_is_told_of_where_the_disc_shows_or_nothing_does() -> None:
    assert np.isnan(judged(COUNTRY, 200.0, ANDROMEDA).core_arcmin[0])
    assert np.isnan(judged(CITY, 200.0, PINWHEEL).core_arcmin[0])


def test_the_more_of_its_light_is_in_the_bulge_the_surer_a_galaxy_is() -> None:
    kinds = ("Scd", "Sc", "Sb", "Sa", "S0", "E")
    things = [Thing(name="N", type="galaxy", magnitude=9.0, size=(8.0, 6.0), hubble=kind) for kind in kinds]
    assert np.all(np.diff(judged(20.0, 100.0, *things).margin_mag) > 0)


def test_a_galaxy_of_unknown_type_lies_between_those_without_a_bulge_and_ellipticals() -> None:
    disc, unknown, elliptical = (
        Thing(name="N", type="galaxy", magnitude=9.0, size=(8.0, 6.0), hubble=kind)
        for kind in ("Sd", None, "E")
    )
    found = judged(20.0, 100.0, disc, unknown, elliptical).margin_mag
    assert found[0] < found[1] < found[2]


def test_an_open_cluster_is_judged_by_stars_three_magnitudes_fainter_than_the_whole() -> None:
    views = views_through(100.0, usual_magnifications(100.0))
    limit = float(faintest_star_mag(COUNTRY, views))
    for margin, word in ((1.1, Sure.EASILY), (0.5, Sure.WITH_CARE), (0.0, Sure.HARDLY), (-0.6, Sure.NO)):
        cluster = Thing(name="Cr 1", type="open cluster", magnitude=limit - 0.25 - 3.0 - margin)
        found = judged(COUNTRY, 100.0, cluster)
        assert_allclose(found.margin_mag[0], margin, atol=1e-9)
        assert found.sure(0) is word


def test_a_pair_is_judged_by_its_fainter_star_and_by_whether_the_tube_parts_it() -> None:
    """Alrescha: 1.8" wide; Rayleigh has 2.3" for 60 mm, 1.97" for 70, 1.38" for 100; Dawes 1.93", 1.66", 1.16"."""
    pair = Thing(name="Alrescha", type="double star", magnitude=3.8)
    assert [sure(pair, COUNTRY, mm) for mm in (60.0, 70.0, 100.0)] == [
        Sure.HARDLY,
        Sure.WITH_CARE,
        Sure.EASILY,
    ]
    found = judged(COUNTRY, 100.0, Thing(name="Albireo", type="double star", magnitude=3.0))
    limit = faintest_star_mag(COUNTRY, views_through(100.0, usual_magnifications(100.0)))
    assert_allclose(found.margin_mag[0], limit - 0.25 - 4.7)  # its fainter star is of magnitude 4.7
    assert found.pairs == (Parted.YES,)


def test_the_moon_is_seen_and_a_planet_is_judged_as_a_star() -> None:
    found = judged(
        COUNTRY, 100.0, Thing(name="Moon", type="Moon"), Thing(name="Pluto", type="planet", magnitude=14.4)
    )
    assert [found.sure(n) for n in range(2)] == [Sure.EASILY, Sure.NO]


@pytest.mark.parametrize(
    "thing",
    [
        Thing(name="B 33", type="dark nebula", size=(6.0, 4.0)),
        Thing(name="C 9", type="ionised hydrogen region", size=(50.0, 30.0)),
        Thing(name="IC 2067", type="nebula", magnitude=11.5),
        Thing(name="NGC 6882", type="open cluster"),
        Thing(name="IC 1", type="other or unknown", magnitude=5.0, size=(1.0, 1.0)),
        Thing(name="N 1", type="galaxy", magnitude=8.0, size=(0.0, 0.0)),
    ],
)
def test_without_magnitude_or_size_it_is_unknown_and_not_no(thing: Thing) -> None:
    assert sure(thing, CITY, 60.0) is Sure.UNKNOWN


def test_the_cuts_are_in_their_order() -> None:
    assert EASILY_MAG > WITH_CARE_MAG > 0 > HARDLY_MAG


def test_nothing_is_judged_as_nothing() -> None:
    assert judged(COUNTRY, 100.0).all_sure() == ()
