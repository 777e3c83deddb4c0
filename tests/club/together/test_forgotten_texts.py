"""Texts in which a member stands who left: all laptops come to say the same of them."""

from datetime import datetime, timedelta

import pytest
from sqlalchemy import select

from obslog.club.night.nights import start_night
from obslog.club.night.observations import ObservationEntry, record_observations
from obslog.club.night.setups import start_setup
from obslog.club.night.snags import add_snag
from obslog.club.privacy.leaving_members import leave
from obslog.club.register.contacts import set_contact
from obslog.club.register.named_records import add, edit, listed, shown
from obslog.club.reminding.calls import note_call
from obslog.club.storeroom.loans import lend, take_back
from obslog.club.together.contradictions import Conflicts, list_conflicts
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Act, Observation
from obslog.vocabulary.steps import Step
from tests.club.together.conftest import Give, named, rows
from tests.club.together.traces import NAME, PHONE, traces


def test_a_text_says_the_same_on_both_laptops_whoever_wrote_it_and_when(
    here: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    add(here, "member", NAME, {}, now)
    edit(here, "mount", "Heron", {"note": f"{NAME} has the manual"}, now)
    edit(here, "mount", "Bracken", {"note": f"{NAME} has the key"}, now)
    give(here, there)
    edit(there, "mount", "Bracken", {"note": "Bram has the key"}, now)
    edit(there, "site", "Mill Field", {"note": f"ask {NAME}"}, now)
    leave(here, NAME, later)
    notes = {"Heron": "Former member has the manual", "Bracken": "Former member has the key"}
    assert {one: shown(here, "mount", one)["note"] for one in notes} == notes
    give(here, there)
    give(there, here)
    assert rows(here) == rows(there)
    notes["Bracken"] = "Bram has the key"
    for one in (here, there):
        assert {mount: shown(one, "mount", mount)["note"] for mount in notes} == notes
        assert shown(one, "site", "Mill Field")["note"] == "ask Former member"
        assert list_conflicts(one) == Conflicts(fields=[], to_settle=[])


def test_a_text_does_not_change_any_more_when_its_record_is_settled_later(
    here: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    add(here, "member", NAME, {}, now)
    edit(here, "mount", "Heron", {"note": f"{NAME} has the manual"}, now)
    give(here, there)
    leave(here, NAME, later)
    said = shown(here, "mount", "Heron")
    edit(there, "mount", "Heron", {}, later + timedelta(minutes=1), rename="Grey Heron")
    give(there, here)
    assert shown(here, "mount", "Grey Heron") == said | {"name": "Grey Heron"}


def test_who_was_called_by_a_word_of_the_program_takes_it_out_of_no_record(
    here: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    """Else the other laptop would refuse every bundle from then on: no mount is of the type `Former member`."""
    people = ("German", "Pack", "London")
    for name in people:
        add(here, "member", name, {}, now)
    add(here, "mount", "Plover", {"mount_type": "german", "controller": "shift"}, now)
    edit(here, "mount", "Plover", {"note": "German tuned it"}, now)
    add_snag(here, Step.PACK, "Pack was not there", now, mount="Plover")
    zones = [site["zone"] for site in listed(here, "site")]
    assert "Europe/London" in zones
    edit(here, "site", "Mill Field", {"note": "found by London"}, now)
    for name in people:
        leave(here, name, later)
    give(here, there)
    assert rows(here) == rows(there)
    for one in (here, there):
        mount = shown(one, "mount", "Plover")
        assert (mount["mount_type"], mount["note"]) == ("german", "Former member tuned it")
        assert [site["zone"] for site in listed(one, "site")] == zones
        assert shown(one, "site", "Mill Field")["note"] == "found by Former member"


def test_what_was_called_after_them_keeps_that_name_in_the_history_of_both_laptops_alone(
    here: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    """The other laptop hears of both at once, and called it so until then: the two have to say the same."""
    add(here, "member", NAME, {}, now)
    add(here, "item", f"{NAME}'s lamp", {}, now)
    give(here, there)
    edit(here, "item", f"{NAME}'s lamp", {}, now, rename="Green lamp")
    leave(here, NAME, later)
    give(here, there)
    assert traces(here) == traces(there)
    assert all("'s lamp" in one for one in traces(there))
    assert not any("sentence" in one for one in traces(there))
    assert rows(here) == rows(there)
    assert "Green lamp" in named(there, "equipment")


def test_a_telephone_number_in_a_note_goes_also_where_nobody_knows_whose_it_is(
    here: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    add(here, "member", NAME, {}, now)
    set_contact(here, NAME, {"phone": PHONE}, now)
    edit(here, "mount", "Heron", {"note": f"call {PHONE}"}, now)
    give(here, there)
    assert traces(there)
    leave(here, NAME, later)
    give(here, there)
    assert traces(here) == traces(there) == set()
    assert rows(here) == rows(there)


def test_a_name_written_again_is_kept_on_all_laptops_or_on_none(
    here: Database, there: Database, third: Database, give: Give, now: datetime, later: datetime
) -> None:
    add(here, "member", NAME, {}, now)
    for other in (there, third):
        give(here, other)
    leave(there, NAME, later)
    give(there, here)
    edit(here, "mount", "Heron", {"note": f"{NAME} sent a card"}, later + timedelta(minutes=1))
    give(here, third)
    for giver, taker in ((third, here), (here, there), (there, third)):
        give(giver, taker)
    assert rows(here) == rows(there) == rows(third)
    assert traces(here) == traces(there) == traces(third)


def test_what_they_said_in_a_call_of_which_the_other_laptop_wrote_is_forgotten_on_both(
    here: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    add(here, "member", NAME, {}, now)
    lend(here, "Lead battery", NAME, now)
    give(here, there)
    note_call(there, "Lead battery", now, said="plays the lute")
    take_back(here, "Lead battery", now, by="Ines")
    leave(here, NAME, later)
    give(there, here)
    give(here, there)
    assert traces(here) == traces(there) == set()
    assert rows(here) == rows(there)


@pytest.mark.parametrize("heard", [False, True])
def test_a_short_name_in_texts_as_long_as_they_may_be_keeps_nobody_from_leaving_or_from_merging(
    here: Database, there: Database, give: Give, now: datetime, later: datetime, heard: bool
) -> None:
    """What takes its place is longer than it: such a text ends where it has to, on all laptops alike."""
    add(here, "member", "Al", {}, now)
    give(here, there)
    start_night(there, "Mill Field", now, present=["Al"])
    start_setup(there, "Heron", now, tube="Long tube", observer="Al")
    entry = ObservationEntry(filter="Al " * 66, description="round")
    record_observations(there, "M 44", entry, now, observers=["Al"])
    with there.write(now, "Al " * 333) as session:
        session.scalars(select(Observation)).one().description = "oval"
    if heard:
        give(there, here)
    leave(here, "Al", later)
    give(there, here)
    give(here, there)
    assert rows(here) == rows(there)
    for one in (here, there):
        with one.read() as session:
            filtered = session.scalars(select(Observation.filter)).one()
            assert filtered == ("Former member " * 66)[:200]
            sentences = session.scalars(select(Act.sentence)).all()
        assert ("Former member " * 333)[:1000] in sentences
