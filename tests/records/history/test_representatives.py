"""Whatever was joined, and in whatever order, all names of one record lead to one that stands."""

from hypothesis import given
from hypothesis import strategies as st

from obslog.records.history.representatives import representatives

pairs = st.lists(st.tuples(st.sampled_from("abcdefg"), st.sampled_from("abcdefg")))


@given(pairs, st.data())
def test_names_of_one_record_all_lead_to_the_one_that_stands(
    joined: list[tuple[str, str]], data: st.DataObject
) -> None:
    standing = representatives(joined)
    assert not set(standing.values()) & standing.keys()
    for gone, kept in joined:
        assert standing.get(gone, gone) == standing.get(kept, kept)
    assert representatives(data.draw(st.permutations(joined + joined))) == standing


def test_in_a_circle_the_smallest_stands_and_elsewhere_the_one_that_never_went() -> None:
    assert representatives([("b", "c"), ("c", "a"), ("a", "b")]) == {"b": "a", "c": "a"}
    assert representatives([("a", "b"), ("b", "c")]) == {"a": "c", "b": "c"}
    assert representatives([("a", "b"), ("a", "c")]) == {"a": "b", "c": "b"}
    assert representatives([]) == {}
