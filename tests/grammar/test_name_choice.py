"""A name is chosen by any beginning that it alone has; a whole name wins, and of several that fit none is taken."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from obslog.grammar.name_choice import SeveralNamesFit, begins_a_word, chosen_name

SITES = ["Long Paddock", "Terraço dos Furtado", "Fen Edge", "Mill Field", "Old Mill"]
WORDS = st.text(st.sampled_from("abÀéßøñ25"), min_size=1, max_size=4)
NAMES = st.lists(WORDS, min_size=1, max_size=3).map(" ".join)


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("Fen Edge", "Fen Edge"),
        ("fen", "Fen Edge"),
        ("EDGE", "Fen Edge"),
        ("f", "Fen Edge"),
        ("long pad", "Long Paddock"),
        ("lo pad", "Long Paddock"),
        ("longpad", "Long Paddock"),
        ("ter fur", "Terraço dos Furtado"),
        ("terraco", "Terraço dos Furtado"),
        ("dos", "Terraço dos Furtado"),
        ("mill", "Mill Field"),  # the name begins so; of the other only a word
        ("old mill", "Old Mill"),
    ],
)
def test_any_beginning_of_a_name_or_of_its_words_chooses_it(typed: str, name: str) -> None:
    assert chosen_name(typed, SITES) == name


@pytest.mark.parametrize("typed", ["", "   ", "?", "fern", "fur ter", "en", "Fen Edge 2", "pad long"])
def test_what_begins_no_name_chooses_none(typed: str) -> None:
    assert chosen_name(typed, SITES) is None


def test_of_several_that_fit_none_is_chosen_and_they_are_listed() -> None:
    with pytest.raises(SeveralNamesFit) as caught:
        chosen_name("he", ["Heron", "Bracken", "Hern Hill"])
    assert caught.value.message == "'he' may be Heron or Hern Hill."
    assert caught.value.hint == "Type more of it."
    assert caught.value.exit_code == 2
    assert caught.value.fitting == ("Heron", "Hern Hill")


def test_of_many_the_first_are_listed_and_the_others_counted() -> None:
    with pytest.raises(SeveralNamesFit) as caught:
        chosen_name("e", [f"E{number}" for number in range(9)])
    assert caught.value.message == "'e' may be E0, E1, E2, E3, E4, E5 or one of 3 more."


def test_a_whole_name_wins_over_those_that_it_begins() -> None:
    assert chosen_name("heron", ["Heron", "Heron Two", "Old Heron"]) == "Heron"


def test_the_accents_decide_only_between_names_that_differ_by_nothing_else() -> None:
    assert chosen_name("Bràcken", ["Bracken", "Bràcken"]) == "Bràcken"
    assert chosen_name("bracken", ["Bracken", "Bràcken"]) == "Bracken"
    with pytest.raises(SeveralNamesFit):
        chosen_name("brác", ["Bracken", "Bràcken"])


@pytest.mark.parametrize(
    ("typed", "name"), [("grandmothers", "Grandmother's refractor"), ("ost", "Bram-Ostler")]
)
def test_signs_do_not_count(typed: str, name: str) -> None:
    assert chosen_name(typed, [name]) == name


def test_a_name_of_signs_alone_is_found_whole() -> None:
    assert chosen_name("???", ["???", "Heron"]) == "???"


@pytest.mark.parametrize(
    ("typed", "begins"), [("", True), ("pad", True), ("long p", True), ("addock", False)]
)
def test_whether_a_name_begins_so_at_any_word(typed: str, begins: bool) -> None:
    assert begins_a_word(typed, "Long Paddock") is begins


@given(st.lists(NAMES, min_size=1, max_size=6), st.data())
def test_any_beginning_that_only_one_name_has_chooses_it(names: list[str], data: st.DataObject) -> None:
    name = data.draw(st.sampled_from(names))
    typed = name[: data.draw(st.integers(1, len(name)))].strip()
    others = [other for other in names if other != name]
    assume(not any(begins_a_word(typed, other) for other in others))
    assert chosen_name(typed, names) == name


@given(st.lists(NAMES, min_size=1, max_size=6), st.data())
def test_the_beginning_of_any_word_that_only_one_name_has_chooses_it(
    names: list[str], data: st.DataObject
) -> None:
    name = data.draw(st.sampled_from(names))
    word = data.draw(st.sampled_from(name.split()))
    typed = word[: data.draw(st.integers(1, len(word)))]
    assume(not any(begins_a_word(typed, other) for other in names if other != name))
    assert chosen_name(typed, names) == name


@given(st.lists(NAMES, min_size=1, max_size=6, unique_by=str.casefold), st.data())
def test_a_whole_name_always_chooses_itself(names: list[str], data: st.DataObject) -> None:
    name = data.draw(st.sampled_from(names))
    assert chosen_name(name.swapcase() if data.draw(st.booleans()) else name, names) == name


@given(NAMES, WORDS, WORDS)
def test_a_beginning_that_two_names_share_chooses_neither(shared: str, one: str, other: str) -> None:
    first, second = f"{shared}{one}", f"{shared}{other}"
    assume(len({first.casefold(), second.casefold()}) == 2)
    with pytest.raises(SeveralNamesFit):
        chosen_name(shared, [first, second])
