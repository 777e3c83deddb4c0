"""Two records of one thing made one, and what comes later of the one that went."""

from datetime import date, datetime, timedelta

import pytest
from sqlalchemy import select

from obslog.club.night.nights import start_night
from obslog.club.night.setups import start_setup
from obslog.club.register.named_records import add
from obslog.club.register.undo import undo
from obslog.club.storeroom.loans import lend
from obslog.club.together.moving import BothAreOut
from obslog.club.together.sameness import NoTwoOfAKind, OneRecord, TwoThings, make_same
from obslog.records.opening import Database
from obslog.records.tables.logbook import SameRecord
from obslog.records.tables.logbook_tables import Mount, Night, Setup, Site
from obslog.vocabulary import MountType
from tests.club.together.conftest import Give, named, rows

TARN = {"lat_deg": 52.2, "lon_deg": 0.121, "zone": "Europe/London", "elevation_m": 31.0}


def test_a_site_written_twice_is_one_with_its_nights_and_their_set_ups(
    here: Database, now: datetime, later: datetime
) -> None:
    add(here, "site", "Mill Feild", TARN, now)
    for site in ("Mill Field", "Mill Feild"):
        start_night(here, site, now)
        start_setup(here, "Heron", now, tube="Long tube", site=site)
    before = rows(here)
    looked = make_same(here, "Mill Field", "Mill Feild", later, only_look=True)
    assert (looked.kind, looked.done, looked.moved) == ("site", False, {"nights": 1, "setups": 1})
    assert rows(here) == before
    make_same(here, "mill field", "MILL FEILD", later)
    with here.read() as session:
        (night,) = session.scalars(select(Night))
        assert [
            (setup.ordinal, setup.night_id)
            for setup in session.scalars(select(Setup).order_by(Setup.ordinal))
        ] == [
            (1, night.id),
            (2, night.id),
        ]
        tarn = session.scalars(select(Site).where(Site.name == "Mill Field")).one()
        assert (tarn.note, tarn.elevation_m) == ("also written Mill Feild", 20.0)
        assert sorted(session.scalars(select(SameRecord.record_kind))) == ["Night", "Site"]
    undo(here, later)
    assert rows(here) == before


def test_what_another_laptop_says_later_of_the_one_that_went_belongs_to_the_other(
    here: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    add(here, "mount", "Hern", {}, now)
    give(here, there)
    make_same(here, "Heron", "Hern", later)
    start_night(there, "Mill Field", now)
    start_setup(there, "Hern", now, tube="Long tube")
    give(there, here)
    give(here, there)
    for database in (here, there):
        with database.read() as session:
            heron = session.scalars(select(Mount).where(Mount.name == "Heron")).one()
            assert session.scalars(select(Setup.mount_id)).all() == [heron.id]
        assert "Hern" not in named(database, "equipment")
    assert rows(here) == rows(there)


def test_what_speaks_for_two_is_said_and_asks_for_sure(
    here: Database, now: datetime, later: datetime
) -> None:
    add(here, "site", "Far Field", {**TARN, "lat_deg": 53.2}, now)
    with pytest.raises(TwoThings, match="they are 111 km apart"):
        make_same(here, "Mill Field", "Far Field", later)
    assert make_same(here, "Mill Field", "Far Field", later, sure=True).done
    add(here, "mount", "Hern", {"mount_type": MountType.FORK}, now)
    with pytest.raises(TwoThings, match="one is german, the other fork"):
        make_same(here, "Heron", "Hern", later)
    start_night(here, "Mill Field", now)
    add(here, "mount", "Herron", {}, now)
    for mount in ("Heron", "Herron"):
        start_setup(here, mount, now + timedelta(minutes=1), tube="Long tube")
    with pytest.raises(TwoThings, match="both were used on 2026-03-02"):
        make_same(here, "Heron", "Herron", later)


def test_two_that_are_both_on_loan_have_to_come_back_first(
    here: Database, now: datetime, later: datetime
) -> None:
    add(here, "item", "Lead batery", {"sort": "battery"}, now)
    for item in ("Lead battery", "Lead batery"):
        lend(here, item, "Ines", now)
    before = rows(here)
    with pytest.raises(BothAreOut, match="a loan that is open"):
        make_same(here, "Lead battery", "Lead batery", later)
    assert rows(here) == before


def test_what_are_no_two_of_a_kind_is_told(here: Database, later: datetime) -> None:
    with pytest.raises(NoTwoOfAKind):
        make_same(here, "Heron", "Ines", later)
    with pytest.raises(NoTwoOfAKind):
        make_same(here, "Heron", "Nobody", later)
    with pytest.raises(OneRecord):
        make_same(here, "Heron", "heron", later)


def test_members_are_joined_as_ever_and_two_nights_by_date_and_site(
    here: Database, now: datetime, later: datetime
) -> None:
    add(here, "member", "Inez", {}, now)
    assert make_same(here, "Ines", "Inez", later).kind == "member"
    with here.read() as session:
        assert session.scalars(select(SameRecord.record_kind)).all() == ["Member"]
    add(here, "site", "Tarn", TARN, now)
    for site in ("Mill Field", "Tarn"):
        start_night(here, site, now)
    made = make_same(here, "2026-03-02 Mill Field", "2026-03-02 Tarn", later)
    assert (made.kind, made.other) == ("night", "2026-03-02 at Tarn")
    with here.read() as session:
        assert session.scalars(select(Night.night_of)).all() == [date(2026, 3, 2)]
