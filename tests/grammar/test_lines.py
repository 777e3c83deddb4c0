"""A line of an evening is cut where people cut it."""

import pytest

from obslog.grammar.lines import EmptyLine, Line, UnknownVerb, read_line

VERBS = ("sync", "check", "goto", "saw", "snag", "sky")


@pytest.mark.parametrize(
    ("typed", "line"),
    [
        ("sync Vega 3E 2N", Line(verb="sync", words=("Vega", "3E", "2N"))),
        ("21:05 saw M 81; oval glow", Line(at="21:05", verb="saw", words=("M", "81"), text="oval glow")),
        ("  g m31 edge  ", Line(verb="goto", words=("m31", "edge"))),
        ("SA m81;oval !", Line(verb="saw", words=("m81",), text="oval", sure=True)),
        ("check Vega !", Line(verb="check", words=("Vega",), sure=True)),
        ("2105 sy Vega", Line(at="2105", verb="sync", words=("Vega",))),
        ("saw M 42; wings; the trapezium", Line(verb="saw", words=("M", "42"), text="wings; the trapezium")),
    ],
)
def test_a_line_is_time_verb_words_and_text(typed, line):
    assert read_line(typed, VERBS) == line


def test_a_beginning_that_several_verbs_have_is_asked_about():
    with pytest.raises(UnknownVerb, match="'s' may be sync or saw or snag or sky"):
        read_line("s Vega", VERBS)


def test_a_word_that_is_no_verb_is_refused_with_the_nearest():
    with pytest.raises(UnknownVerb) as refused:
        read_line("chekc Vega", VERBS)
    assert refused.value.hint == "Did you mean check?"


@pytest.mark.parametrize("typed", ["", "   ", "21:05", "; text alone", "!"])
def test_a_line_without_a_verb_is_refused(typed):
    with pytest.raises(EmptyLine):
        read_line(typed, VERBS)
