"""How one record stands beside what stands already."""

from typing import Any

from obslog.records.merging.kinds import Kind, Once, kinds
from obslog.records.merging.standing import Aside, Why, joined_row, second_names, stand

MEMBER, LOAN, SETUP = kinds()["Member"], kinds()["Loan"], kinds()["Setup"]
STOCKTAKE = kinds()["Stocktake"]


class Beside:
    """A world of a few rows, each known to hold what it holds; the names of records that are others."""

    def __init__(self, rows: dict[str, dict[str, Any]], same: dict[str, str] | None = None) -> None:
        self.rows, self.same, self.broken = rows, same or {}, False

    def resolved(self, record_id: str) -> str:
        return self.same.get(record_id, record_id)

    def stands(self, among: tuple[str, ...], record_id: str) -> bool:
        return record_id in self.rows

    def holder(self, kind: Kind, once: Once, key: tuple[Any, ...], below: str) -> str | None:
        return next((one for one, row in self.rows.items() if one < below and once.key(row) == key), None)

    def comes_before(self, kind: Kind, one: str, other: str) -> bool:
        return one < other

    def row_of(self, kind: Kind, record_id: str) -> dict[str, Any] | None:
        return self.rows.get(record_id)

    def breaks(self, kind: Kind, row: dict[str, Any]) -> bool:
        return self.broken


def setup(number: int, **more: Any) -> dict[str, Any]:
    return {"night_id": "n", "mount_id": "h", "ordinal": number, "started_utc": "2026-03-02", **more}


def test_a_name_that_is_taken_is_told_apart_by_the_reference() -> None:
    standing = stand(MEMBER, "key b1c2d3", {"name": "anna"}, Beside({"a": {"name_key": "anna"}}))
    assert standing.row == {"name": "anna (b1c2d3)", "name_key": "anna (b1c2d3)"}
    assert standing.asides == (Aside(Why.RENAMED, "a"),)


def test_a_long_name_stays_within_what_a_name_may_be() -> None:
    assert [len(name) <= 200 for name in second_names("x" * 200, "0" * 36)] == [True, True]


def test_where_the_name_that_tells_apart_is_taken_too_the_whole_key_is_in_it() -> None:
    rows = {"a": {"name_key": "anna"}, "b": {"name_key": "anna (b1c2d3)"}}
    standing = stand(MEMBER, "key b1c2d3", {"name": "Anna"}, Beside(rows))
    assert standing.row is not None
    assert standing.row["name"] == "Anna (key b1c2d3)"
    assert [aside.against for aside in standing.asides] == ["a", "b"]


def test_what_refers_to_nothing_that_stands_waits_for_it() -> None:
    standing = stand(LOAN, "b", {"member_id": "m", "kit_id": "k"}, Beside({"m": {}}))
    assert (standing.row, standing.asides) == (None, (Aside(Why.WAITS, "k"),))


def test_what_refers_to_another_name_of_a_record_follows_it() -> None:
    standing = stand(LOAN, "b", {"member_id": "m"}, Beside({"n": {}}, same={"m": "n"}))
    assert (standing.row, standing.asides) == ({"member_id": "n"}, (Aside(Why.FOLLOWS, "m"),))


def test_the_second_of_two_open_loans_is_out_until_the_first_has_ended() -> None:
    first: dict[str, Any] = {"kit_id": "k", "back_on": None}
    world = Beside({"a": first, "k": {}, "m": {}})
    fields = {"member_id": "m", "kit_id": "k"}
    assert stand(LOAN, "b", fields, world).asides == (Aside(Why.TAKEN, "a"),)
    first["back_on"] = "2026-03-03"
    assert stand(LOAN, "b", fields, world).row == fields


def test_a_loan_waits_for_the_one_before_it_where_that_is_decided_later() -> None:
    fields = {"handed_over_from_id": "c"}
    assert stand(LOAN, "b", fields, Beside({"c": {}})).row is None
    assert stand(LOAN, "d", fields, Beside({"c": {}})).row == fields


def test_set_ups_are_numbered_on_behind_those_that_stand() -> None:
    rows = {"a": setup(1), "b": setup(2), "n": {}, "h": {}}
    standing = stand(SETUP, "c", setup(1), Beside(rows))
    assert standing.row is not None
    assert standing.row["ordinal"] == 3
    assert [aside.against for aside in standing.asides] == ["a", "b"]


def test_a_set_up_that_came_with_the_same_sheet_on_both_laptops_is_one() -> None:
    sheet = setup(1, started_utc=None, tube_id="t", member_id="m")
    rows = {"a": sheet, "n": {}, "h": {}, "t": {}, "m": {}, "o": {}}
    assert stand(SETUP, "c", dict(sheet), Beside(rows)).same_as == "a"
    assert stand(SETUP, "c", {**sheet, "member_id": "o"}, Beside(rows)).same_as is None


def test_fields_of_several_writers_that_contradict_each_other_leave_no_row() -> None:
    world = Beside({})
    world.broken = True
    assert stand(MEMBER, "b", {"name": "Anna"}, world).asides == (Aside(Why.BROKEN),)


def test_a_record_learns_what_another_of_its_meaning_says_but_not_what_makes_it_itself() -> None:
    night = kinds()["Night"]
    row = {"id": "a", "site_id": "s", "night_of": "2026-03-02", "note": None, "started_utc": "20:00"}
    together = {"id": "b", "site_id": "s", "night_of": "2026-03-02", "note": "clear", "started_utc": "21:00"}
    joined, asides = joined_row(night, row, together, Beside({"s": {}}))
    assert joined == {**row, "note": "clear"}
    assert asides == []


def test_the_second_of_two_open_stocktakes_is_the_first_until_that_is_finished() -> None:
    first: dict[str, Any] = {"started_on": "2026-03-02", "finished_on": None}
    world = Beside({"a": first})
    second = {"started_on": "2026-03-05", "finished_on": None}
    assert stand(STOCKTAKE, "b", second, world).same_as == "a"
    assert stand(STOCKTAKE, "b", {**second, "finished_on": "2026-03-06"}, world).row is not None
    first["finished_on"] = "2026-03-04"
    assert stand(STOCKTAKE, "b", second, world).same_as is None


def test_of_stocktakes_that_are_one_the_first_says_when_it_began_and_who_counts() -> None:
    row = {"id": "a", "started_on": "2026-03-02", "member_id": "m", "finished_on": None, "expected": None}
    together = {**row, "id": "b", "started_on": "2026-03-05", "member_id": "n"}
    assert joined_row(STOCKTAKE, row, together, Beside({"m": {}, "n": {}})) == (row, [])
