"""The usual limits of stars to sync on: those that the commands' help names, and among trees those of the site."""

from dataclasses import replace

import pytest

from obslog.cli.aligning.sync_stars import StarLimits
from obslog.club.aligning.star_candidates import usual_limits
from obslog.club.register.observing_site import ObservingSite, observing_site
from obslog.records.database import Database
from tests.cli.commands import command_at

TREES = ((0.0, 10.0), (90.0, 25.0))


@pytest.fixture
def among_trees(club: Database) -> ObservingSite:
    return replace(observing_site(club, "Mill Field"), horizon=TREES)


def test_what_the_site_hides_belongs_to_them(among_trees: ObservingSite) -> None:
    assert usual_limits(among_trees).horizon == TREES


@pytest.mark.parametrize("name", ["stars", "run-plan"])
def test_they_are_those_that_the_help_names(among_trees: ObservingSite, name: str) -> None:
    command, _ = command_at(["pointing", name])
    told = {option.name: option.default for option in command.params}
    limits = usual_limits(among_trees)
    assert (told["lowest"], told["highest"]) == (limits.lowest_alt_deg, limits.highest_alt_deg)
    assert told["faintest"] == limits.faintest_magnitude


def test_a_command_that_is_asked_for_nothing_else_looks_within_them(among_trees: ObservingSite) -> None:
    assert StarLimits().at(among_trees) == usual_limits(among_trees)
    assert StarLimits(faintest=2.0).at(among_trees) != usual_limits(among_trees)
