"""What is told of today - what is due, who is next, who was there, what is kept - beside the same counted by hand.

The rules are the guide's: "How pressing it is, counted from the due date", with the numbers that ship.
"""

import shutil
from collections import Counter
from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from hypothesis import HealthCheck, Phase, given, settings

from obslog.club.night.night_pages import list_nights
from obslog.club.office.handing_over import handed_over
from obslog.club.overviews.member_facts import own_nights
from obslog.club.privacy.kept_about import kept_about
from obslog.club.privacy.why_kept import WHY
from obslog.club.register.undo import undo
from obslog.club.reminding.escalation import to_see_to
from obslog.club.reminding.history import note_written
from obslog.club.reminding.reminders import reminders_due, written
from obslog.club.storeroom.loan_pages import list_loans
from obslog.club.storeroom.loans import lend
from obslog.club.together.merging import merge_bundles
from obslog.club.together.writing import WhatToTell, write_bundle_to
from obslog.records.name_lookup import by_name
from obslog.records.tables.keys import reference_of
from obslog.records.tables.logbook_tables import Member
from tests.club.annual.random_clubs import (
    FIRST_ZONE,
    OTHER_ZONE,
    SITES,
    Act,
    RandomClub,
    Row,
    club_after,
    filled,
    years_of_acts,
)

few = settings(
    max_examples=3, deadline=None, phases=[Phase.generate], suppress_health_check=[HealthCheck.too_slow]
)  # to make an example smaller takes minutes


@pytest.fixture(scope="module")
def template(sqlite_template: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return filled(Path(shutil.copy(sqlite_template, tmp_path_factory.mktemp("today") / "club.db")))


@few
@given(acts=years_of_acts)
def test_what_is_told_of_today_is_what_a_pencil_counts(template: Path, acts: Sequence[Act]) -> None:
    with club_after(template, acts) as club:
        for _ in range(2):
            letters = [written(one, "text") for one in reminders_due(club.database, club.now).reminders]
            note_written(club.database, letters, club.now, lambda: None)
            club.now += timedelta(days=5)
        hold_reminders(club)
        hold_loans_that_are_out(club)
        hold_nights(club)
        hold_members(club)
        hold_office(club)
        hold_next_in_the_lists(club)


@settings(few, max_examples=2)
@given(acts=years_of_acts, elsewhere=years_of_acts)
def test_what_two_laptops_wrote_apart_is_counted_once(
    template: Path, tmp_path_factory: pytest.TempPathFactory, acts: Sequence[Act], elsewhere: Sequence[Act]
) -> None:
    """Each did what it did without the other; who left on one of them may wait or borrow on the other."""
    bundle = tmp_path_factory.mktemp("bundle") / "there.bundle"
    with club_after(template, acts[:18]) as club, club_after(template, elsewhere[:18]) as there:
        later = datetime(2027, 6, 1, tzinfo=UTC)  # after all of it, also by the clock that makes keys
        write_bundle_to(there.database, bundle, WhatToTell(), later)
        merge_bundles(club.database, [bundle], later)
        club.now = later
        hold_reminders(club)
        hold_loans_that_are_out(club)
        hold_nights(club)
        hold_members(club)
        hold_office(club)
        hold_next_in_the_lists(club)


def open_loans(club: RandomClub) -> list[Row]:
    return [loan for loan in club.rows("loans") if loan["back_on"] is None]


def stage(due_on: date, today: date) -> str:
    """By the table of the guide: 7 days before, no days of grace, 14 and 28 days after."""
    over = (today - due_on).days
    if over >= 28:
        return "to_the_officer"
    if over >= 14:
        return "second_reminder"
    if over > 0:
        return "overdue"
    return "due" if over == 0 else "due_soon" if over >= -7 else "not yet"


def hold_reminders(club: RandomClub) -> None:
    due = reminders_due(club.database, club.now)
    loans = {reference_of(loan["id"]): loan for loan in open_loans(club)}
    stages = Counter(stage(loan["due_on"], club.today) for loan in loans.values())
    counts = due.counts
    for name in ("due_soon", "due", "overdue", "second_reminder", "to_the_officer"):
        assert getattr(counts, name) == stages[name], name
    days: dict[Any, set[date]] = {}
    for row in club.rows("reminders"):
        days.setdefault(row["loan_id"], set()).add(row["made_on"])
    for told in (told for one in due.reminders for told in one.loans):
        loan = loans[told.reference]
        assert told.days_over == max(0, (club.today - loan["due_on"]).days)
        assert told.times_reminded == len(days.get(loan["id"], ()))
        assert told.reminded_on == max(days.get(loan["id"], ()), default=None)
    seen_to = [(one.loan.reference, one.loan.days_over) for one in to_see_to(club.database, club.now).loans]
    over = {key: (club.today - loan["due_on"]).days for key, loan in loans.items()}
    assert sorted(seen_to) == sorted((key, days) for key, days in over.items() if days >= 28)


def hold_loans_that_are_out(club: RandomClub) -> None:
    lines = {line.reference: line for line in list_loans(club.database, club.today)}
    assert set(lines) == {reference_of(loan["id"]) for loan in open_loans(club)}
    waiting = Counter(
        row["kit_id"] or row["equipment_id"] for row in club.places_in_lists() if not row["closed_on"]
    )
    renewals = Counter(row["loan_id"] for row in club.rows("renewals"))
    for loan in open_loans(club):
        line, left = lines[reference_of(loan["id"])], (loan["due_on"] - club.today).days
        assert (line.days_left, line.overdue, line.due_soon) == (left, left < 0, 0 <= left <= 7)
        assert (line.renewals, line.waiting) == (
            renewals[loan["id"]],
            waiting[loan["kit_id"] or loan["equipment_id"]],
        )


def hold_nights(club: RandomClub) -> None:
    """The set-ups of each night, and who was noted, set up or observed in it.

    A night is the date twelve hours before it began, by its site's clock.
    """
    sites = {row["id"]: row for row in club.rows("sites")}
    assert {row["name"]: row["zone"] for row in sites.values()} == dict(
        zip(SITES, (FIRST_ZONE, OTHER_ZONE), strict=True)
    )
    setups = Counter(row["night_id"] for row in club.rows("setups"))
    people = {
        (row["night_id"], row["member_id"])
        for table in ("attendances", "setups", "observations")
        for row in club.rows(table)
        if row["member_id"]
    }
    there = Counter(night for night, _ in people)
    nights = club.rows("nights")
    told = [(line.night, line.site, line.setups, len(line.present)) for line in list_nights(club.database)]
    assert sorted(told) == sorted(
        (row["night_of"], sites[row["site_id"]]["name"], setups[row["id"]], there[row["id"]])
        for row in nights
    )
    for row in nights:
        began = row["started_utc"].astimezone(ZoneInfo(sites[row["site_id"]]["zone"])).replace(tzinfo=None)
        assert (began - timedelta(hours=12)).date() == row["night_of"]


def hold_members(club: RandomClub) -> None:
    """A member's nights are those on whose list they stand, or on which they set up or noted something."""
    tables = {
        table: club.rows(table)
        for table in ("attendances", "setups", "observations", "loans", "reservations")
    }
    loans_of = {row["id"]: row["member_id"] for row in tables["loans"]}
    for member in club.rows("members"):
        own = {
            name: [row for row in rows if row["member_id"] == member["id"]] for name, rows in tables.items()
        }
        with club.database.read() as session:
            nights = own_nights(session, by_name(session, Member, member["name"], whole=True))
        assert len(nights) == len(
            {row["night_id"] for name in ("attendances", "setups", "observations") for row in own[name]}
        )
        assert sum(night.observations for night in nights) == len(own["observations"])
        kept = {
            one.title: len(one.rows) for one in kept_about(club.database, member["name"], club.now).sections
        }
        for name, rows in own.items():
            assert kept.get(WHY[f"{name}.member_id"].title, 0) == len(rows), name
        renewals = [row for row in club.rows("renewals") if loans_of[row["loan_id"]] == member["id"]]
        assert kept.get("Renewals of your loans", 0) == len(renewals)


def hold_office(club: RandomClub) -> None:
    office = handed_over(club.database, club.now)
    assert len(office.out) == len(open_loans(club))
    lost = [row["equipment_id"] for row in club.rows("absences") if row["found_on"] is None]
    written_off = [row["equipment_id"] for row in club.rows("papers") if row["written_off_on"]]
    assert len(office.missing) == len(set(lost) - set(written_off))
    assert len(office.waiting) == sum(1 for row in club.places_in_lists() if row["closed_on"] is None)


def hold_next_in_the_lists(club: RandomClub) -> None:
    """Who is told that it is there can have it: the officer lends it, and takes that back again."""
    due = reminders_due(club.database, club.now)
    assert due.counts.ready == sum(line.there for line in due.waiting)
    for line in due.waiting:
        if line.there:
            lend(club.database, line.what, str(line.member), club.now)
            undo(club.database, club.now)
