"""People's own text on a page and in a picture."""

from hypothesis import given
from hypothesis import strategies as st

from obslog.report.plain_text import LONGEST_LABEL, label, seen


def test_a_short_name_stays_as_it_is() -> None:
    assert label("Silver Heron") == "Silver Heron"


def test_a_long_name_ends_in_an_ellipsis() -> None:
    assert label("x" * 10_000) == "x" * (LONGEST_LABEL - 1) + "…"


def test_signs_that_steer_are_not_drawn() -> None:
    assert label("He\x1b[31mron\n\u202eback\x00") == "He [31mron back"


@given(st.text(), st.integers(2, 60))
def test_a_label_is_one_line_that_can_be_encoded_and_fits(text: str, most: int) -> None:
    shown = label(text, most)
    assert len(shown) <= most
    assert len(shown.splitlines()) <= 1
    shown.encode("utf-8")


def test_a_note_keeps_its_lines_and_loses_what_steers() -> None:
    assert seen("one\ntwo\x1b[31m\tthree\u202e\ud800\ufffe") == "one\ntwo[31m three\ufffd"


@given(st.text())
def test_what_is_seen_can_be_encoded_and_is_the_same_a_second_time(text: str) -> None:
    once = seen(text)
    once.encode("utf-8")
    assert seen(once) == once
