"""The table of verbs: each has an act, a summary, and a short beginning that only it has."""

import pytest

from obslog.club.evening.acts import ACTS, LOOKING, SETTING
from obslog.club.evening.verbs import ALSO_SAID, INSTEAD, VERBS
from obslog.grammar.lines import UnknownVerb, read_line

# What one types at most, without Enter, for an act that is done many times a night.
KEYSTROKES = {
    "sy vega 3E2N pw": ("sync", 15),
    "ch vega 3E2N": ("check", 12),
    "g m31 edge": ("goto", 10),
    "sa m81; soft oval": ("saw", 18),
    "u": ("undo", 4),
    "ti power 12.6 12.1": ("tick", 25),
    "pole": ("pole", 10),
    "br": ("brief", 10),
}


def test_each_verb_has_one_act() -> None:
    assert sorted([*ACTS, *LOOKING, *SETTING]) == sorted(VERBS)


@pytest.mark.parametrize("name", VERBS)
def test_a_summary_is_a_sentence(name: str) -> None:
    verb = VERBS[name]
    for text in filter(None, (verb.summary, verb.more)):
        assert text.endswith(".")
        assert text[0].isupper()
    assert len(max(VERBS, key=len)) + len("  ") + len(verb.summary) <= 40, "a line of help at 40 columns"
    assert len(verb.more) < 95
    assert name in verb.written


@pytest.mark.parametrize("name", VERBS)
def test_examples_are_lines_of_the_verb(name: str) -> None:
    for example in VERBS[name].examples:
        assert read_line(example, tuple(VERBS)).verb == name


@pytest.mark.parametrize("line", KEYSTROKES)
def test_what_is_done_often_takes_few_keys(line: str) -> None:
    verb, most = KEYSTROKES[line]
    assert read_line(line, tuple(VERBS)).verb == verb
    assert len(line) <= most


def test_check_is_meant_where_checklist_fits_too() -> None:
    assert read_line("ch vega", tuple(VERBS)).verb == "check"
    assert read_line("checkl", tuple(VERBS)).verb == "checklist"


def test_a_beginning_of_two_verbs_is_asked_about() -> None:
    with pytest.raises(UnknownVerb) as caught:
        read_line("whe m13", tuple(VERBS))
    assert "where or when" in caught.value.message


@pytest.mark.parametrize(
    ("typed", "verb", "words"),
    [
        ("start night mill", "night", ("start", "mill")),
        ("20:10 Begin set-up heron", "setup", ("start", "heron")),
        ("set up start heron", "setup", ("start", "heron")),
        ("finish night", "night", ("end",)),
        ("seen m42", "saw", ("m42",)),
        ("exit", "quit", ()),
        ("not seen m33", "not-seen", ("m33",)),
        ("?", "help", ()),
        ("tonight", "brief", ()),
    ],
)
def test_what_people_type_in_place_of_a_verb_is_heard(typed: str, verb: str, words: tuple[str, ...]) -> None:
    line = read_line(typed, tuple(VERBS), ALSO_SAID)
    assert (line.verb, line.words) == (verb, words)


def test_what_is_heard_otherwise_leads_to_verbs_and_hides_none() -> None:
    assert {meant[0] for meant in ALSO_SAID.values()} <= set(VERBS)
    assert not {said[0] for said in ALSO_SAID if len(said) == 1} & set(VERBS)
    for word in INSTEAD:
        with pytest.raises(UnknownVerb):
            read_line(word, tuple(VERBS), ALSO_SAID)
