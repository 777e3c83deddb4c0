"""A site and a time there: what is planned is of the evening to come, what is looked at is of now.

Mill Field keeps London's time, an hour ahead of UTC in summer.
"""

from datetime import UTC, datetime

import pytest

from obslog.cli.site_and_time import MomentThere, PlannedThere
from obslog.club.night.nights import end_night, start_night
from obslog.club.night.open_night import NightChoice
from obslog.errors import UnknownName
from obslog.records.opening import Database
from tests.cli.commands import command_at
from tests.cli.states import state_at

MORNING = datetime(2026, 7, 1, 9, 0, tzinfo=UTC)
EVENING = datetime(2026, 7, 1, 20, 0, tzinfo=UTC)  # nine by the clocks of London


@pytest.mark.parametrize("there", [PlannedThere(site="mill field"), MomentThere(site="mill field")])
def test_the_site_is_found_by_its_name(club: Database, there: PlannedThere | MomentThere) -> None:
    view, _ = there.seen(club, state_at(MORNING))
    assert view.site == "Mill Field"


def test_without_a_time_a_plan_is_for_this_evening_and_a_moment_is_now(club: Database) -> None:
    assert PlannedThere(site="Mill Field").seen(club, state_at(MORNING))[1] == EVENING
    assert MomentThere(site="Mill Field").seen(club, state_at(MORNING))[1] == MORNING


@pytest.mark.parametrize("kind", [PlannedThere, MomentThere])
def test_a_time_that_is_given_in_the_morning_is_of_the_evening_to_come(
    club: Database, kind: type[PlannedThere | MomentThere]
) -> None:
    said = kind(site="Mill Field", at="22:15")
    assert said.seen(club, state_at(MORNING))[1] == datetime(2026, 7, 1, 21, 15, tzinfo=UTC)


@pytest.mark.parametrize("kind", [PlannedThere, MomentThere])
def test_a_site_that_is_not_on_record_is_refused(
    club: Database, kind: type[PlannedThere | MomentThere]
) -> None:
    with pytest.raises(UnknownName):
        kind(site="Mill Feld").seen(club, state_at(MORNING))


@pytest.mark.parametrize("words", [["sky", "when"], ["sky", "where"], ["pointing", "stars"], ["brief"]])
def test_neither_site_nor_time_must_be_named(words: list[str]) -> None:
    command, _ = command_at(words)
    needed = {option.name: option.required for option in command.params}
    assert (needed["site"], needed["at"]) == (False, False)


@pytest.mark.parametrize("kind", [PlannedThere, MomentThere])
def test_without_a_site_the_last_used_is_taken_and_said_back(
    club: Database, kind: type[PlannedThere | MomentThere]
) -> None:
    start_night(club, "Kestrel Ridge", MORNING)
    end_night(club, NightChoice(), MORNING)
    state = state_at(MORNING)
    assert kind().seen(club, state)[0].site == "Kestrel Ridge"
    assert state.taken == ["site: Kestrel Ridge (the last used)"]
