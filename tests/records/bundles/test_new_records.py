"""What goes in at once and what is left for settling."""

from collections.abc import Callable

from sqlalchemy import select

from obslog.exchange.bundles.entries import ActEntry, BatchEntry, Entry, Value
from obslog.records.bundles.new_records import insert_new
from obslog.records.bundles.taking_in import take_in
from obslog.records.bundles.told import Told, gather, once_each
from obslog.records.database import Database
from obslog.records.merging.obstacles import all_asides
from obslog.records.merging.standing import Why
from obslog.records.tables.keys import new_keys_as_text
from obslog.records.tables.logbook import ChangeBatch
from obslog.records.tables.logbook_tables import Member
from tests.records.merging.laptops import BEGUN, Laptop
from tests.records.merging.test_log_reading import reader

COLUMNS = ("id", "name", "name_key", "note", "retired_on", "retired_why")


def members(names: list[str]) -> tuple[list[Entry], list[str]]:
    act, batch, *ids = new_keys_as_text(2 + len(names))
    rows: list[list[Value]] = [
        [key, name, name.lower(), None, None, None] for key, name in zip(ids, names, strict=True)
    ]
    told = BatchEntry(
        id=batch, act_id=act, record_kind="Member", what="added", columns=COLUMNS, ids=ids, rows=rows
    )  # fmt: skip
    return [ActEntry(id=act, at_utc=BEGUN, sentence="bring in"), told], ids


def test_what_fits_goes_in_at_once_and_nothing_but_its_rows_tells_it(database: Database) -> None:
    entries, ids = members([f"M{n}" for n in range(50)])
    with database.write(BEGUN) as session:
        told = Told()
        gather(entries, told)
        for batch in told.batches.values():
            once_each(batch)
        done = insert_new(session, told, reader(session))
        assert done.inserted == {"Member": set(ids)}
        assert done.told_by_rows == set(told.batches)
    with database.write(BEGUN) as session:
        assert take_in(session, [[]]).acts == 0


def test_what_does_not_fit_is_settled_and_its_image_kept(database: Database) -> None:
    first, _ids = members(["Anna"])
    second, ids = members(["Berta", "Anna", "Carla", "Carla"])
    with database.write(BEGUN) as session:
        take_in(session, [first])
        taken = take_in(session, [second])
        names = sorted(session.scalars(select(Member.name)))
        asides = all_asides(session)
        images = session.scalars(select(ChangeBatch.images)).all()
    assert names == ["Anna", f"Anna ({ids[1][-6:]})", "Berta", "Carla", f"Carla ({ids[3][-6:]})"]
    assert taken.inserted == {"Member": 1}
    assert [(key, aside.why) for _kind, key, aside in asides] == [
        (ids[1], Why.RENAMED),
        (ids[3], Why.RENAMED),
    ]
    assert [image is not None for image in images].count(True) == 1


def test_what_refers_to_what_did_not_come_waits_until_it_does(
    some_laptops: Callable[[int], list[Laptop]],
) -> None:
    from obslog.records.bundles.choosing import all_acts, choose_untold, mark_told
    from obslog.records.bundles.telling import tell
    from obslog.records.tables.logbook_tables import Night, Site

    one, two = some_laptops(2)

    def told() -> list[Entry]:
        with one.database.write(BEGUN) as session:
            entries = list(tell(session, choose_untold(session, with_private=True)))
            mark_told(session, all_acts(session))
            return entries

    told()
    one.do(lambda session: session.add(Site(name="Ridge", name_key="ridge")))
    with_the_site = told()
    one.do(
        lambda session: session.add(
            Night(
                site_id=session.scalars(select(Site.id).where(Site.name == "Ridge")).one(),
                night_of=BEGUN.date(),
            )
        )
    )
    with_the_night = told()
    with two.database.write(BEGUN) as session:
        take_in(session, [with_the_night])
        assert [aside.why for _kind, _key, aside in all_asides(session)] == [Why.WAITS]
    with two.database.write(BEGUN) as session:
        take_in(session, [with_the_site])
        assert session.scalars(select(Night.night_of)).all() == [BEGUN.date()]
        assert all_asides(session) == []
