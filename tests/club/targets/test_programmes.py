"""What programmes ask for is what their rules say; each rule stands beside its source."""

import pytest

from obslog.club.targets.programmes import GOOD_ENTRY, PROGRAMMES, Needed, Programme, programme_named
from obslog.errors import UnknownName


def test_the_rule_of_described_objects() -> None:
    """tristateastronomers.org/messier.htm: date, time, seeing, aperture, power, description; 70 of 110."""
    rules = programme_named("messier-described")
    assert set(rules.needs) == {Needed.SEEING, Needed.APERTURE, Needed.POWER, Needed.DESCRIPTION}
    assert (rules.listed, rules.steps["basic certificate"]) == ("messier", 70)


def test_the_rule_of_entries_in_full() -> None:
    """amateurastronomy.org/?p=4924: place, seeing and transparency, aperture and focal length, eyepiece and power,
    description; 75 for silver, 110 for gold; the sketch is optional."""
    rules = programme_named("messier-in-full")
    assert set(rules.needs) == set(Needed) - {Needed.SKETCH}
    assert rules.steps == {"silver": 75, "gold": 110}


def test_the_rule_of_drawn_objects() -> None:
    """vtastro.org messier-tele-cert-basic: place, telescope size, type, f-ratio, power; draw and describe each; 10 open
    clusters, 10 globulars, 15 galaxies, 3 nebulae and 32 of any kind make 70."""
    rules = programme_named("messier-drawn")
    assert {Needed.SKETCH, Needed.DESCRIPTION, Needed.POWER, Needed.APERTURE, Needed.FOCAL_LENGTH} < set(
        rules.needs
    )
    assert [quota.number for quota in rules.quotas] == [10, 10, 15, 3]
    assert sum(quota.number for quota in rules.quotas) + 32 == rules.steps["basic certificate"] == 70


def test_the_rule_of_drawn_double_stars() -> None:
    """sites.google.com/view/observing-logs-new, quoting the League: date, time, latitude and longitude, power, seeing,
    transparency, instrument, sketch."""
    rules = programme_named("double-stars-drawn")
    assert {Needed.PLACE, Needed.SEEING, Needed.TRANSPARENCY, Needed.POWER, Needed.SKETCH} < set(rules.needs)


def test_without_a_programme_it_is_what_nearly_all_ask_for() -> None:
    assert programme_named(None) is GOOD_ENTRY
    assert all(programme.source for programme in PROGRAMMES)
    with pytest.raises(UnknownName):
        programme_named("messier")


@pytest.mark.parametrize("programme", PROGRAMMES, ids=lambda programme: programme.name)
def test_the_name_is_the_rules_and_the_body_stands_in_the_source(programme: Programme) -> None:
    """A name says what is listed and asked for; whose rule it is, is told once, with where it was read."""
    said = f"{programme.name} {programme.title}".casefold()
    bodies = [word for word in programme.source.split(",")[0].casefold().split() if word != "astronomical"]
    assert bodies, "the source begins with the body"
    assert not [word for word in (*bodies, "astronomical") if word in said]
