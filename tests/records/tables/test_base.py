"""Tags in the order in which people count."""

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from obslog.records.tables.base import tag_order

tags = st.from_regex(r"[A-Za-z \-]{0,3}([0-9]{1,4}[a-z\-]{0,2}){0,2}", fullmatch=True)


def test_tags_are_counted_and_not_spelled() -> None:
    said = ["M-10", "M-9", "m-1", "T-2", "0100", "20", "M-9b"]
    assert sorted(said, key=tag_order) == ["20", "0100", "m-1", "M-9", "M-9b", "M-10", "T-2"]


@given(st.lists(tags))
def test_any_tags_have_an_order(said: list[str]) -> None:
    in_order = sorted(said, key=tag_order)  # a number beside a text would not compare
    assert all(tag_order(one) <= tag_order(other) for one, other in pairwise(in_order))
