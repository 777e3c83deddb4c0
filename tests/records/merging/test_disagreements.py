"""What two laptops wrote otherwise, and what settles it."""

from collections.abc import Callable

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.records.merging.disagreements import Disagreement, disagreements
from obslog.records.tables.base import name_key
from obslog.records.tables.logbook_tables import Member, Night, Site
from tests.records.merging.laptops import BEGUN, Laptop

Make = Callable[[int], list[Laptop]]


def noted(note: str) -> Callable[[Session], None]:
    def work(session: Session) -> None:
        session.scalars(select(Member).where(Member.name_key == "ines")).one().note = note

    return work


def of(laptop: Laptop) -> list[Disagreement]:
    with laptop.database.read() as session:
        return disagreements(session)


def test_the_later_value_stands_and_the_other_is_listed_alike_on_both(some_laptops: Make) -> None:
    one, two = some_laptops(2)
    one.do(noted("tall"))
    two.do(noted("small"))
    one.take_from(two)
    two.take_from(one)
    (found,) = of(one)
    assert (found.lost.field, found.lost.lost, found.lost.stands) == ("note", "tall", "small")
    assert found.image["note"] == "tall"
    assert of(two) == [found]
    two.do(noted("neither"))
    one.take_from(two)
    assert of(one) == of(two) == []


def test_who_saw_a_name_told_apart_has_seen_it(some_laptops: Make) -> None:
    one, two = some_laptops(2)
    for laptop in (one, two):
        laptop.do(lambda session: session.add(Member(name="Anna", name_key="anna")))
    one.take_from(two)

    def rename(session: Session) -> None:
        second = session.scalars(select(Member).where(Member.name.like("Anna (%"))).one()
        second.name, second.name_key = "Anna B", name_key("Anna B")

    one.do(rename)
    assert of(one) == []


def test_a_night_that_both_began_contradicts_nothing_but_its_notes(some_laptops: Make) -> None:
    one, two = some_laptops(2)

    def night(note: str) -> Callable[[Session], None]:
        def work(session: Session) -> None:
            site = session.scalars(select(Site.id)).one()
            session.add(Night(site_id=site, night_of=BEGUN.date(), started_utc=BEGUN, open=True, note=note))

        return work

    one.do(night("clear"))
    two.do(night("windy"))
    one.take_from(two)
    assert [(found.lost.field, found.lost.lost) for found in of(one)] == [("note", "clear")]


def test_fields_that_belong_together_are_chosen_together(some_laptops: Make) -> None:
    one, two = some_laptops(2)

    def place(lat: float, lon: float) -> Callable[[Session], None]:
        def work(session: Session) -> None:
            site = session.scalars(select(Site)).one()
            site.lat_deg, site.lon_deg = lat, lon

        return work

    one.do(place(51.0, 1.0))
    two.do(place(52.0, 2.0))
    one.take_from(two)
    assert {found.fields for found in of(one)} == {("lat_deg", "lon_deg")}
