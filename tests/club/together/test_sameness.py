"""Two records of one thing made one, and what comes later of the one that went."""

from datetime import date, datetime, timedelta

import pytest
from sqlalchemy import select

from obslog.club.history.told import newest_acts
from obslog.club.night.nights import start_night
from obslog.club.night.setups import start_setup
from obslog.club.register.named_records import add
from obslog.club.register.undo import redo, undo
from obslog.club.storeroom.kits import add_kit, remove_part, show_kit
from obslog.club.storeroom.loans import lend, take_back
from obslog.club.storeroom.waiting_list import reserve
from obslog.club.together.contradictions import list_conflicts
from obslog.club.together.moving import BothAreOut
from obslog.club.together.sameness import NoTwoOfAKind, OneRecord, SeveralKinds, TwoThings, make_same
from obslog.records.database import Database
from obslog.records.tables.lending import Absence, Kit, KitPart, Loan, Reservation
from obslog.records.tables.logbook import SameRecord
from obslog.records.tables.logbook_tables import Eyepiece, Item, Mount, Night, Setup, Site, Tube
from obslog.records.undoing.undo_errors import CannotRedo
from obslog.vocabulary.mounts import MountType
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


def test_of_kits_and_items_of_the_same_two_names_it_is_said_which(here: Database, later: datetime) -> None:
    for name in ("Evening set", "Evening sett"):
        add_kit(here, name, ["dew cap"], later)
        add(here, "item", name, {}, later)
    with pytest.raises(SeveralKinds, match="each of these kinds: item, kit") as error:
        make_same(here, "Evening set", "Evening sett", later)
    assert error.value.hint == 'Say which: obslog same "Evening set" "Evening sett" --kind item'
    assert make_same(here, "Evening set", "Evening sett", later, kind="kit").kind == "kit"
    assert named(here, "kits") == ["Evening set"]
    with pytest.raises(NoTwoOfAKind):
        make_same(here, "Evening set", "Evening sett", later, kind="kit")
    assert make_same(here, "Evening set", "Evening sett", later).kind == "item"


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


def test_a_kit_written_twice_is_one_with_its_parts_loans_and_those_who_wait(
    here: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    add(here, "item", "Red lamp", {}, now)
    add_kit(here, "Night kit", ["Lead battery", "Dust cap"], now, weight_kg=4.0)
    add_kit(here, "Night kitt", ["Dust cap", "Red lamp"], now, loan_days=14)
    lend(here, "Night kitt", "Ines", now)
    take_back(here, "Night kitt", now)
    reserve(here, "Night kit", "Ines", now + timedelta(minutes=2))
    reserve(here, "Night kitt", "Ines", now + timedelta(minutes=1))
    lend(here, "Night kit", "Bram Ostler", now + timedelta(minutes=3), pass_over=True)
    before = rows(here)
    looked = make_same(here, "Night kit", "Night kitt", later, only_look=True)
    assert (looked.kind, looked.done, looked.two) == ("kit", False, [])
    assert looked.moved == {"kit parts": 2, "loan parts": 1, "loans": 1, "reservations": 1}
    assert rows(here) == before
    make_same(here, "Night kit", "Night kitt", later)
    page = show_kit(here, "Night kit")
    assert sorted(part.part for part in page.parts) == ["Dust cap", "Lead battery", "Red lamp"]
    assert (page.weight_kg, page.loan_days, page.note) == (4.0, 14, "also written Night kitt")
    with here.read() as session:
        kit = session.scalars(select(Kit)).one()
        assert set(session.scalars(select(Loan.kit_id))) == {kit.id}
        assert session.scalars(select(Reservation)).one().asked_utc == now + timedelta(minutes=1)
    give(here, there)
    assert rows(there) == rows(here)
    undo(here, later)
    assert rows(here) == before
    give(here, there)
    assert rows(there) == before


def test_two_laptops_that_typed_the_same_kit_have_one_after_it_is_said(
    here: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    for database in (here, there):
        add_kit(database, "Night kit", ["Lead battery", "Dust cap"], now)
    lend(there, "Night kit", "Ines", now)
    give(there, here)
    (second,) = [name for name in named(here, "kits") if name != "Night kit"]
    (renamed,) = [one for one in list_conflicts(here).to_settle if one.why == "renamed"]
    assert renamed.settle.startswith(f'If they are one: obslog same "Night kit" "{second}". If two: ')
    make_same(here, "Night kit", second, later)
    assert list_conflicts(here).to_settle == []
    parts = {part.part: part.where for part in show_kit(here, "Night kit").parts}
    assert parts == {"Dust cap": "on loan", "Lead battery": "on loan"}
    give(here, there)
    assert rows(there) == rows(here)
    remove_part(there, "Night kit", "Lead battery", None, later)
    give(there, here)
    assert [part.part for part in show_kit(here, "Night kit").parts] == ["Dust cap"]
    assert list_conflicts(here).to_settle == []


def test_what_speaks_for_two_kits_is_said(here: Database, now: datetime, later: datetime) -> None:
    add_kit(here, "Night kit", ["Dust cap"], now, weight_kg=4.0, loan_days=14)
    add_kit(here, "Day kit", ["Lens cap"], now, weight_kg=2.5, loan_days=7)
    for kit in ("Night kit", "Day kit"):
        lend(here, kit, "Ines", now)
    with pytest.raises(BothAreOut, match="Each of the two has a loan that is open"):
        make_same(here, "Night kit", "Day kit", later, sure=True)
    take_back(here, "Day kit", later)
    assert make_same(here, "Night kit", "Day kit", later, only_look=True).two == [
        "one has 4 kg, the other 2.5",
        "one has 14 days for each loan, the other 7",
        "both were on loan on 2026-03-02",
    ]
    with pytest.raises(TwoThings):
        make_same(here, "Night kit", "Day kit", later)


@pytest.mark.parametrize(
    ("kind", "mapped"), [("item", Item), ("eyepiece", Eyepiece), ("tube", Tube), ("mount", Mount)]
)
def test_each_kind_in_the_store_room_is_joined_and_merged_and_taken_back(
    here: Database, there: Database, give: Give, now: datetime, later: datetime, kind: str, mapped: type[Item]
) -> None:
    values = {"eyepiece": {"focal_mm": 25.0}, "tube": {"aperture_mm": 212.0, "focal_mm": 1000.0}}.get(
        kind, {}
    )
    for name in ("Red Kite", "Red Kiet"):
        add(here, kind, name, values, now)
    add_kit(here, "Night kit", ["Red Kite"], now)
    lend(here, "Red Kiet", "Ines", now)
    with here.write(now, "missing twice") as session:
        for item in session.scalars(select(mapped).where(mapped.name_key.like("red k%"))):
            day = now.date() - timedelta(days=1 if item.name == "Red Kiet" else 0)
            session.add(Absence(equipment_id=item.id, since=day))
    before = rows(here)
    looked = make_same(here, "Red Kite", "Red Kiet", later, only_look=True)
    assert (looked.kind, looked.moved) == (kind, {"absences": 1, "loan parts": 1, "loans": 1})
    make_same(here, "Red Kite", "Red Kiet", later)
    with here.read() as session:
        item = session.scalars(select(mapped).where(mapped.name_key.like("red k%"))).one()
        assert session.scalars(select(Loan.equipment_id)).all() == [item.id]
        assert session.scalars(select(KitPart.equipment_id)).all() == [item.id]
        assert session.scalars(select(Absence.since)).all() == [now.date() - timedelta(days=1)]
    give(here, there)
    assert rows(there) == rows(here)
    undo(here, later)
    give(here, there)
    assert rows(there) == rows(here) == before


def test_an_item_in_two_kits_is_taken_out_of_one_first(
    here: Database, now: datetime, later: datetime
) -> None:
    add(here, "item", "Lead batery", {"sort": "battery"}, now)
    add_kit(here, "Night kit", ["Lead battery"], now)
    add_kit(here, "Day kit", ["Lead batery"], now)
    with pytest.raises(BothAreOut) as refused:
        make_same(here, "Lead battery", "Lead batery", later)
    assert refused.value.message == "Each of the two is a part of another kit, and only one can be."
    assert refused.value.hint == (
        'Nothing was changed. Take one of them out first: obslog kit remove "Day kit" "Lead batery"; '
        'or join the kits, if they are one: obslog same "Night kit" "Day kit"'
    )
    make_same(here, "Night kit", "Day kit", later)
    make_same(here, "Lead battery", "Lead batery", later)
    assert [part.part for part in show_kit(here, "Night kit").parts] == ["Lead battery"]


def test_a_record_that_was_joined_meanwhile_is_not_brought_back_by_itself(
    here: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    """Removed on the one laptop, joined on the other: it is another name of what stands, whatever is taken back."""
    add(here, "site", "Mill Feild", TARN, now)
    give(here, there)
    make_same(there, "Mill Field", "Mill Feild", later)
    undo(here, now)
    (undoing,) = newest_acts(here, 1)
    give(there, here)
    before = rows(here)
    with pytest.raises(
        CannotRedo, match="made one with another since: join Mill Feild to Mill Field"
    ) as refused:
        undo(here, later, undoing.reference)
    (joining,) = newest_acts(there, 1)
    assert f"obslog undo {joining.reference}" in refused.value.hint
    assert rows(here) == before
    undo(here, later, joining.reference)
    assert {"Mill Field", "Mill Feild"} <= set(named(here, "sites"))


def test_a_joining_can_be_undone_done_again_and_undone(
    here: Database, now: datetime, later: datetime
) -> None:
    add(here, "site", "Mill Feild", TARN, now)
    apart = rows(here)
    make_same(here, "Mill Field", "Mill Feild", later)
    joined = rows(here)
    for _ in range(2):
        undo(here, later)
        assert rows(here) == apart
        redo(here, later)
        assert rows(here) == joined
