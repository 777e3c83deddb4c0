"""What merging reads from the tables: what refers to what, and what may stand once."""

from obslog.records.merging.kinds import NOT_RECORDS, Twice, kinds


def test_every_kind_comes_after_those_that_it_refers_to() -> None:
    for kind in kinds().values():
        for among in kind.refers.values():
            assert all(kinds()[other].order < kind.order for other in among if other != kind.name), kind.name


def test_a_kind_refers_to_itself_by_one_column_at_most() -> None:
    """The order of records inside a kind follows that one."""
    own = {
        kind.name: [c for c, among in kind.refers.items() if kind.name in among] for kind in kinds().values()
    }
    assert {name: columns for name, columns in own.items() if columns} == {"Loan": ["handed_over_from_id"]}
    assert kinds()["Loan"].its_own == "handed_over_from_id"


def test_the_history_itself_is_no_kind_of_record() -> None:
    assert NOT_RECORDS.isdisjoint(kinds())
    assert "Equipment" not in kinds()
    assert {"Site", "Mount", "Arrival", "Loan", "SameRecord"} <= kinds().keys()


def test_a_reference_to_any_item_is_one_to_each_kind_of_item() -> None:
    assert kinds()["Loan"].refers["equipment_id"] == ("Eyepiece", "Item", "Mount", "Tube")
    assert kinds()["Setup"].refers["mount_id"] == ("Mount",)
    assert ("Setup", "mount_id") in kinds()["Mount"].referred_by


def test_what_becomes_of_the_second_is_said_by_what_may_stand_once() -> None:
    second = {(kind.name, once.columns): once.second for kind in kinds().values() for once in kind.once}
    assert second["Site", ("name_key",)] is Twice.RENAMED
    assert second["Mount", ("kind", "name_key")] is Twice.RENAMED
    assert second["Night", ("site_id", "night_of")] is Twice.JOINED
    assert second["Setup", ("night_id", "mount_id", "ordinal")] is Twice.NUMBERED
    assert second["Paper", ("tag",)] is Twice.BLANK
    assert second["Loan", ("equipment_id",)] is Twice.ASIDE


def test_what_has_ended_or_is_unknown_keeps_nobody_out() -> None:
    (once,) = [one for one in kinds()["Loan"].once if one.columns == ("kit_id",)]
    assert once.key({"kit_id": "k", "back_on": None}) == ("k",)
    assert once.key({"kit_id": "k", "back_on": "2026-03-02"}) is None
    assert once.key({"kit_id": None, "back_on": None}) is None


def test_one_stocktake_may_be_open_whatever_it_says_and_any_number_finished() -> None:
    [once] = kinds()["Stocktake"].once
    assert (once.columns, once.while_open, once.second) == ((), "finished_on", Twice.JOINED)
    assert once.key({"started_on": "2026-03-02", "finished_on": None}) == ()
    assert once.key({"started_on": "2026-03-02", "finished_on": "2026-03-02"}) is None
    assert kinds()["Stocktake"].first_says == {"started_on", "member_id"}


def test_by_what_two_are_one_they_contradict_nothing() -> None:
    assert kinds()["Attendance"].makes_one == {"night_id", "member_id"}
    assert kinds()["StocktakeTick"].makes_one == {"stocktake_id", "equipment_id"}
    assert kinds()["Loan"].makes_one == frozenset()
