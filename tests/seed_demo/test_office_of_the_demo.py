"""What the invented club's officer did, by the figures of the story: each of the officer's pages shows something."""

from datetime import timedelta

from obslog.club.office.insurance import insurance_list
from obslog.club.reminding.escalation import to_see_to
from obslog.club.reminding.reminders import reminders_due
from obslog.club.shelves.losses import losses
from obslog.club.storeroom.custody import StoreStatus
from obslog.club.storeroom.store_list import store_list
from obslog.records.database import Database
from seed_demo.load_office import ASKED, CALLED, ESCALATED, NOT_FOUND, RECEIPTS, VALUED_LATER, VALUES
from seed_demo.load_papers import ON_THE_SHELVES, WRITTEN_OFF
from seed_demo.load_storeroom import OFFICER, OVERDUE_TUBE
from tests.seed_demo.conftest import LAST_NIGHT, NOON_AFTER


def test_most_things_are_valued_with_a_day_and_some_are_not(demo: Database) -> None:
    found = insurance_list(demo, LAST_NIGHT, with_names=True)
    valued = {item.name: item for item in found.items if item.value is not None}
    expected = [name for name, _, value, _ in ON_THE_SHELVES if value is not None and name != WRITTEN_OFF]
    assert set(valued) == {*expected, *(name for name, _ in VALUES)}
    assert found.undated == 0
    assert 0 < found.total.unknown < len(valued)
    for name, value in VALUES:
        item = valued[name]
        assert (item.value, item.valued_by) == (value, OFFICER)
        assert item.valued_on == LAST_NIGHT - timedelta(days=VALUED_LATER)
    receipts = {item.name for item in found.items for proof in item.proof if proof.what == "receipt"}
    assert receipts == {name for name, *_ in RECEIPTS}


def test_the_refractor_was_asked_for_called_about_and_told_of(demo: Database) -> None:
    due = reminders_due(demo, NOON_AFTER)
    (loan,) = [loan for one in due.reminders for loan in one.loans if loan.what == OVERDUE_TUBE]
    assert loan.times_reminded == len(ASKED)
    assert loan.reminded_on == LAST_NIGHT - timedelta(days=min(ASKED))
    assert (loan.called_on, loan.call_note) == (LAST_NIGHT - timedelta(days=CALLED[0]), CALLED[1])
    (told,) = to_see_to(demo, NOON_AFTER).loans
    assert (told.loan.what, told.told_on) == (OVERDUE_TUBE, LAST_NIGHT - timedelta(days=ESCALATED))


def test_one_stocktake_is_finished_and_what_it_did_not_find_came_to_light(demo: Database) -> None:
    (count,) = losses(demo).counts
    assert (count.not_found, count.member) == (1, OFFICER)
    assert [item.name for item in count.items] == [NOT_FOUND]
    assert count.items[0].found_on is not None
    (line,) = [line for line in store_list(demo) if line.name == NOT_FOUND]
    assert line.status is StoreStatus.IN
