"""What programmes ask for is what their rules say; each rule stands beside its source."""

import pytest

from obslog.club.targets.programmes import GOOD_ENTRY, PROGRAMMES, Needed, programme_named
from obslog.errors import UnknownName


def test_messier_objects_described_in_ones_own_words() -> None:
    """tristateastronomers.org/messier.htm: date, time, seeing, aperture, power, description; 70 of 110."""
    rules = programme_named("messier-described-70")
    assert set(rules.needs) == {Needed.SEEING, Needed.APERTURE, Needed.POWER, Needed.DESCRIPTION}
    assert (rules.listed, rules.steps["basic certificate"]) == ("messier", 70)


def test_messier_objects_with_a_full_entry() -> None:
    """amateurastronomy.org/?p=4924: place, seeing and transparency, aperture and focal length, eyepiece and power,
    description; 75 for silver, 110 for gold; the sketch is optional."""
    rules = programme_named("messier-full-entry-75")
    assert set(rules.needs) == set(Needed) - {Needed.SKETCH}
    assert rules.steps == {"silver": 75, "gold": 110}


def test_messier_objects_drawn_and_described() -> None:
    """vtastro.org messier-tele-cert-basic: place, telescope size, type, f-ratio, power; draw and describe each; 10 open
    clusters, 10 globulars, 15 galaxies, 3 nebulae and 32 of any kind make 70."""
    rules = programme_named("messier-drawn-70")
    assert {Needed.SKETCH, Needed.DESCRIPTION, Needed.POWER, Needed.APERTURE, Needed.FOCAL_LENGTH} < set(
        rules.needs
    )
    assert [quota.number for quota in rules.quotas] == [10, 10, 15, 3]
    assert sum(quota.number for quota in rules.quotas) + 32 == rules.steps["basic certificate"] == 70


def test_double_stars_drawn() -> None:
    """sites.google.com/view/observing-logs-new, quoting the Astronomical League: date, time, latitude and longitude,
    power, seeing, transparency, instrument, sketch."""
    rules = programme_named("double-stars-drawn")
    assert {Needed.PLACE, Needed.SEEING, Needed.TRANSPARENCY, Needed.POWER, Needed.SKETCH} < set(rules.needs)


def test_without_a_programme_it_is_what_nearly_all_ask_for() -> None:
    assert programme_named(None) is GOOD_ENTRY
    assert all(programme.source for programme in PROGRAMMES)
    with pytest.raises(UnknownName):
        programme_named("league-messier")
