"""What several bundles tell is taken once, whatever bundles it came in."""

from obslog.exchange.bundles.entries import ChangeEntry
from obslog.records.bundles.told import once_each
from tests.records.bundles.told_entries import ACT, AN_ACT, BATCH, CHANGE, MEMBER, OTHER, batch, told


def test_an_entry_that_several_bundles_tell_is_told_once_and_the_whole_one_counts() -> None:
    rough = ChangeEntry(
        id=CHANGE,
        act_id=ACT,
        record_kind="Site",
        record_id=MEMBER,
        after={"lat_deg": 51.2},
        withheld=("lat_deg",),
    )
    whole = ChangeEntry(
        id=CHANGE, act_id=ACT, record_kind="Site", record_id=MEMBER, after={"lat_deg": 51.234}
    )
    for entries in ((rough, whole, rough), (whole, rough)):
        assert told(AN_ACT, *entries).changes == {CHANGE: whole}


def test_the_lines_of_a_batch_are_put_together_in_the_order_of_their_keys() -> None:
    found = told(batch(OTHER), batch(MEMBER, columns=("id", "name"), rows=[[MEMBER, "Anna"]]), batch(OTHER))
    one = found.batches[BATCH]
    once_each(one)
    assert one.ids == [MEMBER, OTHER]
    assert one.columns == ("id", "name")
    assert [list(row) for row in one.rows] == [[MEMBER, "Anna"], [OTHER, None]]
    assert found.touched() == {("Member", MEMBER), ("Member", OTHER)}
