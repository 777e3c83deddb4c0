"""What is wrong with the words of a command line, and what was likely meant."""

import pytest

from obslog.cli.commands import COMMANDS
from obslog.club.evening.verbs import VERBS
from tests.cli.program import Program
from tests.cli.test_wrong_input import refused, words


@pytest.mark.parametrize(
    ("line", "said", "hint"),
    [
        ("brief --site|Mill Field|Bramble", "Bramble",
         "Is it a mount? Then --mount Bramble. See its help: obslog brief --help"),
        ("snag list|Old Grumble|", "Old Grumble",
         'Is it a mount? Then --mount "Old Grumble". See its help: obslog snag list --help'),
        ("brief Old Grumble --site x", "Old Grumble",
         'Is it a mount? Then --mount "Old Grumble". See its help: obslog brief --help'),
        ("mount show Heron Wren", "Wren",
         'Is it one name? Then in quotes: "Heron Wren". See its help: obslog mount show --help'),
        ("member add Oona Maria", "Maria",
         'Is it one name? Then in quotes: "Oona Maria". See its help: obslog member add --help'),
        ("night show 2026-03-02", "2026-03-02",
         "Is it a night? Then --night 2026-03-02. See its help: obslog night show --help"),
        ("night show yesterday", "yesterday",
         "Is it a night? Then --night yesterday. See its help: obslog night show --help"),
        ("edit 3 2E 2N", "2E 2N",
         'Is it where it stood? Then --where "2E 2N". See its help: obslog edit --help'),
        ("edit 3 edge", "edge",
         "Is it where it stood? Then --where edge. See its help: obslog edit --help"),
        ("night start mill --sky antoniadi 2", "2",
         'Is it the reading of the sky? Then in quotes: --sky "antoniadi 2". See its help: obslog night start --help'),
        ("night note dew on the tube", "dew on the tube",
         'Is it a note? Then --note "dew on the tube". See its help: obslog night note --help'),
        ("db where here", "here", "See its help: obslog db where --help"),
    ],
)  # fmt: skip
def test_what_is_too_much_is_told_with_what_it_was_likely_meant_for(
    in_club: Program, line: str, said: str, hint: str
) -> None:
    answer = refused(in_club, *words(line))
    assert answer.code == 2
    assert answer.error_lines == [f"Not expected here: {said}", hint]


@pytest.mark.parametrize(
    ("line", "hint"),
    [
        ("edit capella --where 4E",
         'See its help: obslog edit --help, or do as in: obslog edit 3 --where "3W 2N"'),
        ("observation show m81",
         "See its help: obslog observation show --help, or do as in: obslog observation show 2"),
    ],
)  # fmt: skip
def test_a_word_where_a_number_is_asked_for_is_answered_with_a_line_that_has_one(
    in_club: Program, line: str, hint: str
) -> None:
    answer = refused(in_club, *words(line))
    assert answer.error_lines == ["Invalid value for 'NUMBER': it must be a whole number", hint]


@pytest.mark.parametrize(
    ("line", "said", "example"),
    [
        ("page mount Heron", "Missing option '--out'.", "obslog page mount Heron --out heron.html"),
        ("progress", "Missing argument 'LIST'.", "obslog progress messier --member Ines"),
        ("mount add Otter --type fork", "Missing option '--controller': one of shift, model, none.",
         "obslog mount add Heron --type german --controller shift"),
    ],
)  # fmt: skip
def test_what_is_missing_is_told_with_its_words_and_a_line_to_copy(
    in_club: Program, line: str, said: str, example: str
) -> None:
    answer = refused(in_club, *words(line))
    assert answer.code == 2
    assert answer.error_lines[0] == said
    assert f"--help, or do as in: {example}" in answer.error_lines[1]


@pytest.mark.parametrize(
    ("line", "hint"),
    [
        ("member rename 52 Runa", "To change what is on record: obslog member edit NAME --rename NEW"),
        ("eyepiece correct Wide", "To change what is on record: obslog eyepiece edit NAME --help"),
        ("mount delete Heron",
         "To take it out of use: obslog mount retire NAME; to take back what was just typed: obslog undo"),
        ("loan rename x", "See its help: obslog loan --help"),
    ],
)  # fmt: skip
def test_another_word_for_a_command_is_answered_with_ours_and_not_with_one_of_like_letters(
    in_club: Program, line: str, hint: str
) -> None:
    answer = refused(in_club, *words(line))
    assert answer.error_lines[0].startswith("No such command ")
    assert answer.error_lines[1] == hint


def test_a_verb_of_the_prompt_is_answered_with_the_prompt_and_what_does_as_much_outside(
    in_club: Program,
) -> None:
    verbs = [verb for verb in VERBS if verb not in COMMANDS and verb != "help"]
    assert {"next", "list", "where", "quit"} <= set(verbs)
    for verb in verbs:
        answer = refused(in_club, verb)
        assert answer.error_lines[0] == f"No such command '{verb}'."
        prompt, _, outside = answer.error_lines[1].partition("; outside of it: obslog ")
        assert prompt == "It is typed at the prompt of: obslog prompt"
        if outside:
            command, _, option = outside.partition(" --")
            option = f"--{option.partition(' ')[0]}" if option else ""
            assert option in in_club.must(*words(command), "--help").out


def test_a_verb_of_the_prompt_is_no_word_of_a_group(in_club: Program) -> None:
    assert "prompt" not in refused(in_club, "mount", "next").error_lines[1]


@pytest.mark.parametrize(
    ("line", "hint"),
    [
        ("trend Heron", "Did you mean obslog pointing trend?"),
        ("restore", "Did you mean obslog db restore?"),
        ("arrivals", "Did you mean obslog import arrivals or obslog export arrivals?"),
        ("show", "See its help: obslog --help"),  # many groups have one
        ("page trend", "See its help: obslog page --help"),
    ],
)
def test_a_command_without_its_group_is_told_whole(in_club: Program, line: str, hint: str) -> None:
    answer = refused(in_club, *words(line))
    assert answer.error_lines[0].startswith("No such command ")
    assert answer.error_lines[1] == hint
