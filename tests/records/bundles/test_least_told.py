"""Of a text that is told twice, that from which more was taken out counts; what is told otherwise is another text."""

from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from obslog.exchange.bundles.entries import ActEntry, ChangeEntry, Entry, Image
from obslog.records.bundles.least_told import least_change, with_less, without_more
from obslog.records.bundles.told import once_each
from obslog.records.nameless import NEUTRAL, TAKEN_OUT
from obslog.records.redaction.words import Words
from tests.records.bundles.told_entries import ACT, BATCH, CHANGE, MEMBER, OTHER, batch, told
from tests.records.merging.laptops import BEGUN


@given(st.lists(st.sampled_from(["Ines", "Bram", "lent", "to", "01632 960"]), min_size=1, max_size=8))
def test_a_text_without_a_word_is_taken_whatever_stands_around_it(parts: list[str]) -> None:
    text = " ".join(parts)
    less = Words({"Ines": NEUTRAL, "01632 960": TAKEN_OUT}).replaced(text)
    assert without_more(text, less) == less
    assert without_more(less, text) == less
    assert without_more(less, less) == less


@pytest.mark.parametrize(
    "told",
    ["lent to Bram", f"stolen by {NEUTRAL}", f"lent to {NEUTRAL} again", f"lent to Ines{NEUTRAL}", "", "lent to "],
)  # fmt: skip
def test_a_text_that_is_told_otherwise_stays(told: str) -> None:
    assert without_more("lent to Ines", told) == "lent to Ines"


def test_a_text_made_to_take_long_takes_no_longer() -> None:
    text = "a " * 5000
    assert without_more(text, f"a {NEUTRAL} " * 2000 + "b") == text


def test_names_of_things_stay_as_they_are() -> None:
    image = {"name": "Ines's lamp", "note": "from Ines", "value": 3}
    less = {"name": f"{NEUTRAL}'s lamp", "note": f"from {NEUTRAL}", "value": 4}
    assert with_less(image, less) == {"name": "Ines's lamp", "note": f"from {NEUTRAL}", "value": 3}


def an_act(sentence: str, who: str) -> ActEntry:
    return ActEntry(id=ACT, at_utc=BEGUN, sentence=sentence, who=who)


def a_change(note: str, withheld: tuple[str, ...] = ()) -> ChangeEntry:
    after: Image = {"note": note} if withheld else {"note": note, "lat_deg": 51.2}
    return ChangeEntry(
        id=CHANGE, act_id=ACT, record_kind="Site", record_id=MEMBER, after=after, withheld=withheld
    )


def test_bundles_taken_in_together_say_the_same_in_whatever_order_they_come() -> None:
    several: list[tuple[Entry, ...]] = [
        (an_act("join Ines to Zora", "Zora"), a_change("Ines and Zora")),
        (an_act(f"join Ines to {NEUTRAL}", "Zora"), a_change(f"Ines and {NEUTRAL}")),
        (an_act(f"join {NEUTRAL} to {NEUTRAL}", NEUTRAL), a_change(f"{NEUTRAL} and {NEUTRAL}")),
    ]
    for bundles in permutations(several):
        found = told(*(entry for bundle in bundles for entry in bundle))
        assert found.acts == {ACT: an_act(f"join {NEUTRAL} to {NEUTRAL}", NEUTRAL)}
        assert found.changes == {CHANGE: a_change(f"{NEUTRAL} and {NEUTRAL}")}


def test_what_is_told_whole_has_no_more_of_who_left_than_what_is_told_in_part() -> None:
    whole, in_part = a_change("from Ines"), a_change(f"from {NEUTRAL}", withheld=("lat_deg",))
    for one, other in permutations((whole, in_part)):
        assert least_change(one, other) == a_change(f"from {NEUTRAL}")


def test_records_of_a_batch_too() -> None:
    rows = (
        [[MEMBER, "from Ines"], [OTHER, f"from {NEUTRAL}"]],
        [[MEMBER, f"from {NEUTRAL}"], [OTHER, "from Ines"]],
    )
    for one, other in permutations(rows):
        columns = ("id", "note")
        found = told(
            batch(MEMBER, OTHER, columns=columns, rows=one), batch(MEMBER, OTHER, columns=columns, rows=other)
        )
        once_each(found.batches[BATCH])
        assert [list(row) for row in found.batches[BATCH].rows] == [
            [MEMBER, f"from {NEUTRAL}"],
            [OTHER, f"from {NEUTRAL}"],
        ]
