"""What is told of the log, and what stays at home."""

from collections.abc import Callable

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.privacy.leaving_members import leave
from obslog.exchange.bundles.entries import ActEntry, BatchEntry, ChangeEntry
from obslog.records.bundles.telling import Choice, private_sites, roughly, tell
from obslog.records.history.noted_rows import insert_noted
from obslog.records.tables.keys import new_key
from obslog.records.tables.logbook_tables import Member, Site
from obslog.records.tables.storeroom import Contact
from tests.records.merging.laptops import Laptop


def test_a_place_is_told_to_a_hundredth_of_a_degree() -> None:
    image = {"lat_deg": 51.23456, "lon_deg": None, "name": "Hut"}
    assert roughly(image) == {"lat_deg": 51.23, "lon_deg": None, "name": "Hut"}
    assert abs(51.23456 - 51.23) * 60 <= 0.5  # arcminutes: nobody aligns a mount worse by it


def test_private_places_and_contacts_stay_at_home_in_every_entry(
    some_laptops: Callable[[int], list[Laptop]],
) -> None:
    (one,) = some_laptops(1)

    def add(session: Session) -> None:
        sites = [
            {
                "id": new_key(),
                "name": f"S{n}",
                "name_key": f"s{n}",
                "lat_deg": 51.23456,
                "lon_deg": 1.98765,
                "private": True,
            }
            for n in range(40)
        ]
        insert_noted(session, Site, sites)
        session.add(Contact(member_id=session.scalars(select(Member.id)).all()[0], phone="01632 960 417"))

    one.do(add)
    with one.database.read() as session:
        assert len(private_sites(session)) == 40
        shy, open_ = ([*tell(session, Choice(with_private=told))] for told in (False, True))
    batches = [one for one in shy if isinstance(one, BatchEntry)]
    assert {
        (row[b.columns.index("lat_deg")], row[b.columns.index("lon_deg")]) for b in batches for row in b.rows
    } == {(51.23, 1.99)}
    assert {one.withheld for one in batches} == {("lat_deg", "lon_deg")}
    assert "Contact" not in {one.record_kind for one in shy if not isinstance(one, ActEntry)}
    assert "Contact" in {one.record_kind for one in open_ if isinstance(one, ChangeEntry)}
    assert len([one for one in shy if isinstance(one, ActEntry)]) == len(
        [one for one in open_ if isinstance(one, ActEntry)]
    )


def test_who_came_with_many_and_was_made_nameless_is_told_as_they_are_since(
    some_laptops: Callable[[int], list[Laptop]],
) -> None:
    one, other = some_laptops(2)
    names = [f"Zora {number}" for number in range(40)]

    def add(session: Session) -> None:
        insert_noted(
            session, Member, [{"id": new_key(), "name": name, "name_key": name.casefold()} for name in names]
        )

    one.do(add)
    left = leave(one.database, "Zora 7", one.now)
    with one.database.read() as session:
        (batch,) = [entry for entry in tell(session, Choice()) if isinstance(entry, BatchEntry)]
    told = [row[batch.columns.index("name")] for row in batch.rows]
    assert told == [*names[:7], left.name, *names[8:]]
    other.take_from(one)
    assert other.rows() == one.rows()


def test_acts_come_before_what_they_did_and_in_their_order(
    some_laptops: Callable[[int], list[Laptop]],
) -> None:
    (one,) = some_laptops(1)
    for _ in range(30):
        one.something()
    with one.database.read() as session:
        entries = list(tell(session, Choice()))
    acts = [entry.id for entry in entries if isinstance(entry, ActEntry)]
    assert acts == sorted(acts)
    assert all(isinstance(entry, ActEntry) for entry in entries[: len(acts)])
