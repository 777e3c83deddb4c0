"""What is decided in which order: what a decision reaches comes after it, and nothing is decided twice."""

from collections.abc import Callable

from sqlalchemy import select

from obslog.records.merging.known_world import KnownWorld
from obslog.records.merging.same_aliases import read_aliases
from obslog.records.merging.standing import Standing
from obslog.records.tables.logbook_tables import Member, Night, Site
from tests.records.merging.laptops import BEGUN, Laptop


def test_records_are_decided_by_their_kinds_and_keys_and_what_they_reach_after_them(
    some_laptops: Callable[[int], list[Laptop]],
) -> None:
    (laptop,) = some_laptops(1)

    def begin(session):
        session.add(Night(site_id=session.scalars(select(Site.id)).one(), night_of=BEGUN.date()))

    laptop.do(begin)
    with laptop.database.write(laptop.now) as session:
        members = sorted(map(str, session.scalars(select(Member.id))))
        site, night = (
            str(session.scalars(select(Site.id)).one()),
            str(session.scalars(select(Night.id)).one()),
        )
        world = KnownWorld(session, read_aliases(session))
        world.push([("Site", site), *(("Member", key) for key in reversed(members)), ("Moon", night)])
        decided = []
        while (key := world.next()) is not None:
            decided.append(key)
            world.decide(key, Standing(None))  # as if all were gone: the night is reached from its site
            world.push([key])
        world.close()
    assert decided == [*(("Member", key) for key in members), ("Site", site), ("Night", night)]
    state = world.states["Night", night]
    assert state is not None
    assert state.fields["site_id"] == site
