"""Each kind of object has its own type in the standard, and its place by the tables."""

import pytest

from obslog.club.open_log.log_targets import log_target


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("M 81", "deepSkyGX"),
        ("M 45", "deepSkyOC"),
        ("M 13", "deepSkyGC"),
        ("M 57", "deepSkyPN"),
        ("M 1", "deepSkyGN"),
        ("B 33", "deepSkyDN"),
        ("M 24", "deepSkySC"),
        ("M 40", "deepSkyDS"),
        ("Albireo", "deepSkyDS"),
        ("Vega", "starTargetType"),
        ("Moon", "MoonTargetType"),
        ("Sun", "SunTargetType"),
        ("Saturn", "PlanetTargetType"),
        ("5h35.0m -5°23'", None),
        ("Old Smudge", None),
    ],
)
def test_the_type_of_an_object(name: str, kind: str | None) -> None:
    assert log_target("t", name, "o").kind == kind


def test_a_place_is_of_j2000_in_degrees() -> None:
    # M 81 at 9h 55m 33.2s, +69 deg 3' 55" (J2000): NASA/IPAC Extragalactic Database, from memory.
    galaxy = log_target("t", "M 81", "o")
    assert galaxy.ra_deg == pytest.approx(148.888, abs=0.01)
    assert galaxy.dec_deg == pytest.approx(69.065, abs=0.01)
    assert (galaxy.constellation, galaxy.datasource) == ("UMa", "OpenNGC")
    assert "NGC 3031" in galaxy.aliases


def test_what_no_table_knows_is_the_observers_own() -> None:
    own = log_target("t", "Old Smudge", "o_1")
    assert (own.observer, own.datasource, own.ra_deg) == ("o_1", None, None)


def test_a_body_that_wanders_has_no_place() -> None:
    assert log_target("t", "Jupiter", "o").ra_deg is None
