"""Work orders: open snags by thing and step, and the service that closes them."""

from datetime import UTC, date, datetime, timedelta

import pytest

from obslog.club.night.snags import NoSuchSnag, add_snag, list_snags
from obslog.club.register.undo import undo
from obslog.club.storeroom.retirement import retire
from obslog.club.upkeep.services import add_service
from obslog.club.upkeep.work_orders import NoOpenSnags, Said, SnagIsMended, SnagOfAnother, work_orders
from obslog.records.database import Database
from obslog.vocabulary.steps import Step


@pytest.fixture
def snagged(club: Database, now: datetime) -> Database:
    """Heron plays (three times, two members), Bracken's lead is warm, and somebody keyed in badly with Heron."""
    for days, step, text, mount, member in (
        (30, Step.CENTRE, "it plays", "Heron", "Ines"),
        (20, Step.CENTRE, "it plays", "Heron", "Bram Ostler"),
        (10, Step.CENTRE, "keys answer late", "Heron", "Ines"),
        (9, Step.KEY_IN, "wrong month", "Heron", "Ines"),
        (8, Step.POWER, "lead warm", "Bracken", "Ines"),
    ):
        add_snag(club, step, text, now - timedelta(days=days), mount=mount, member=member)
    return club


def test_an_order_says_since_when_how_often_from_how_many_and_what(snagged: Database, now: datetime) -> None:
    orders = work_orders(snagged, now.date())
    assert [(order.name, order.step) for order in orders] == [
        ("Heron", Step.CENTRE),
        ("Bracken", Step.POWER),
        ("Heron", Step.KEY_IN),
    ]
    first = orders[0]
    assert (first.times, first.members, first.since) == (3, 2, date(2026, 1, 31))
    assert first.said == [Said("keys answer late", 1), Said("it plays", 2)]
    assert [order.persons_step for order in orders] == [False, False, True]
    assert [order.name for order in work_orders(snagged, now.date(), "bracken")] == ["Bracken"]


def test_a_service_closes_the_snags_it_mends_and_undo_opens_them(snagged: Database, now: datetime) -> None:
    line = add_service(snagged, "mount", "Heron", "worm meshed", now, on=now.date(), mends=["centre"])
    assert len(line.mended) == 3
    assert Step.CENTRE not in [order.step for order in work_orders(snagged, now.date())]
    mended = [snag for snag in list_snags(snagged, with_fixed=True) if snag.fixed_utc]
    assert {(snag.remedy, snag.fixed_utc) for snag in mended} == {("worm meshed", now)}
    assert undo(snagged, now) == "note a service of Heron"
    assert len(work_orders(snagged, now.date())[0].references) == 3


def test_one_snag_is_closed_by_its_mark(snagged: Database, now: datetime) -> None:
    mark = work_orders(snagged, now.date())[0].reference
    line = add_service(snagged, "mount", "Heron", "new keys", now, on=now.date(), mends=[mark, mark.upper()])
    assert line.mended == [mark]
    assert work_orders(snagged, now.date(), "Heron")[0].times == 2
    with pytest.raises(SnagIsMended):
        add_service(snagged, "mount", "Heron", "again", now, on=now.date(), mends=[mark])


def test_a_past_service_mends_what_was_open_by_then(snagged: Database, now: datetime) -> None:
    day = (now - timedelta(days=15)).date()
    line = add_service(snagged, "mount", "Heron", "meshed", now, on=day, mends=["centre"])
    assert len(line.mended) == 2
    fixed = {snag.fixed_utc for snag in list_snags(snagged, with_fixed=True) if snag.fixed_utc}
    assert fixed == {datetime(2026, 2, 15, 23, 59, tzinfo=UTC)}


def test_what_is_not_to_be_mended_is_refused(snagged: Database, now: datetime) -> None:
    of_bracken = work_orders(snagged, now.date(), "Bracken")[0].reference
    for handle, error in (
        (of_bracken, SnagOfAnother),
        ("finder", NoOpenSnags),
        ("zzzzzz", NoSuchSnag),
        (" ", NoSuchSnag),
    ):
        with pytest.raises(error):
            add_service(snagged, "mount", "Heron", "x", now, on=now.date(), mends=[handle])
    assert len(work_orders(snagged, now.date())) == 3


def test_a_retired_thing_has_no_orders(snagged: Database, now: datetime) -> None:
    retire(snagged, "mount", "Heron", None, now.date(), now)
    assert [order.name for order in work_orders(snagged, now.date())] == ["Bracken"]


def test_the_days_of_an_order_are_those_of_the_snags_sites(club: Database) -> None:
    late = datetime(2026, 3, 2, 22, 30, tzinfo=UTC)  # in Johannesburg it is 0:30 of 3 March
    for site in ("Kestrel Ridge", "Mill Field"):
        add_snag(club, Step.CENTRE, "it plays", late, mount="Heron", site=site)
        late += timedelta(minutes=1)
    (order,) = work_orders(club, late.date())
    assert (order.since, order.newest) == (date(2026, 3, 3), date(2026, 3, 2))
    with pytest.raises(NoOpenSnags):
        add_service(club, "mount", "Heron", "worm meshed", late, on=date(2026, 3, 1), mends=["centre"])
    line = add_service(club, "mount", "Heron", "worm meshed", late, on=date(2026, 3, 2), mends=["centre"])
    assert len(line.mended) == 1  # on 2 March the one at Kestrel Ridge had not come yet
