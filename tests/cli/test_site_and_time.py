"""A site and a time there: what is planned is of the evening to come, what is looked at is of now.

Mill Field keeps London's time, an hour ahead of UTC in summer.
"""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

import obslog
from obslog.cli.site_and_time import MomentThere, PlannedThere
from obslog.club.night.nights import end_night, start_night
from obslog.club.night.open_night import NightChoice
from obslog.errors import UnknownName
from obslog.records.database import Database
from tests.cli.commands import command_at
from tests.cli.program import Program
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


# Kestrel Ridge is two hours ahead of UTC: half past ten in London is half past midnight there, the 3rd
IN_BETWEEN = timedelta(minutes=50)


def test_yesterday_is_a_night_where_a_night_is_asked_for(in_club: Program) -> None:
    in_club.must("night", "start", "Mill Field", "--night", "yesterday", "--with", "Ines")
    assert in_club.document("night", "show", "--night", "Yesterday")["night"] == "2026-03-01"
    assert in_club("night", "show", "--night", "today").code == 1  # no night of that evening is on record
    in_club.must("service", "add", "Heron", "greased", "--on", "today")
    assert [row["done_on"] for row in in_club.document("service", "list")] == ["2026-03-02"]


def test_at_sites_of_different_dates_yesterday_is_asked_about(in_club: Program) -> None:
    in_club.must("night", "start", "Kestrel Ridge", "--night", "2026-03-01")
    in_club.now += IN_BETWEEN
    answer = in_club("night", "show", "--night", "yesterday")
    assert answer.code == 2
    assert answer.error_lines == [
        "Yesterday is 2026-03-01 at Mill Field and 2026-03-02 at Kestrel Ridge.",
        "Write the date that you mean.",
    ]
    shown = in_club("night", "show", "--night", "yesterday", "--site", "Mill Field")
    assert shown.error_lines[0] == "There is no such night on record."
    in_club.must("night", "start", "Kestrel Ridge", "--night", "yesterday")
    assert in_club.document("night", "show")["night"] == "2026-03-02"
    in_club.must("site", "retire", "Kestrel Ridge")
    assert in_club.document("night", "show", "--night", "2026-03-01")["site"] == "Kestrel Ridge"
    in_club.must("service", "add", "Heron", "greased", "--on", "yesterday")
    assert [row["done_on"] for row in in_club.document("service", "list")] == ["2026-03-01"]


@pytest.mark.parametrize("on", [("--on", "today"), ()])
def test_what_belongs_to_no_site_is_of_the_clubs_day_with_and_without_the_word(
    in_club: Program, on: tuple[str, ...]
) -> None:
    """Two sites of different dates: it is that of the one entered first, the second of March at Mill Field."""
    in_club.now += IN_BETWEEN
    in_club.must("service", "add", "Heron", "greased", *on)
    assert [row["done_on"] for row in in_club.document("service", "list")] == ["2026-03-02"]


def test_where_no_site_is_on_record_days_are_those_of_utc(program: Program) -> None:
    program.must("item", "add", "Case", "--category", "case")
    program.must("service", "add", "Case", "greased", "--on", "yesterday")
    assert [row["done_on"] for row in program.document("service", "list")] == ["2026-03-01"]


def test_every_date_that_a_command_asks_for_may_be_yesterday() -> None:
    for path in sorted((Path(obslog.__file__).parent / "cli").rglob("*.py")):
        if "parser=read_date" in path.read_text(encoding="utf-8"):
            assert path.name == "demo.py", path  # where there is no club yet
