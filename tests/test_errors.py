"""Failures say what was wrong and what to do, with an exit code that scripts can rely on."""

import shlex
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from obslog.errors import (
    NameTaken,
    ObslogError,
    OutOfRange,
    UnknownName,
    WrongInput,
    nearest_names,
    quoted,
    why_not_read,
)


def test_wrong_input_exits_with_2_and_what_could_not_be_done_with_1() -> None:
    assert ObslogError("what", "what to do").exit_code == 1
    assert WrongInput("what", "what to do").exit_code == 2


def test_a_failure_is_two_sentences_on_two_lines() -> None:
    for failure in (
        OutOfRange("Latitude", 95, -90, 90, "degrees"),
        UnknownName("mount", "Herron", ["Heron"]),
        UnknownName("mount", "Herron", []),
        NameTaken("mount", "Heron"),
    ):
        assert str(failure) == failure.message
        assert failure.message.endswith((".", "?"))
        assert failure.hint
        assert "\n" not in failure.message + failure.hint


@pytest.mark.parametrize(
    ("value", "told"),
    [(9999.0, "9999"), (9999.5, "9999.5"), (360.0000001, "360.0000001"), (-1.0, "-1"), (1e300, "1e+300"),
     (float("nan"), "nan"), (float("inf"), "inf"), ("1e3", "1e3"), (12, "12")],
)  # fmt: skip
def test_a_number_out_of_range_is_told_as_one_types_it(value: object, told: str) -> None:
    failure = OutOfRange("The magnification", value, 1, 5000)
    assert failure.message == f"The magnification {told} is not between 1 and 5000."


@pytest.mark.parametrize(
    ("what", "hint"),
    [
        ("The altitude", "Give the altitude as a number from 0 to 90 degrees."),
        ("Latitude", "Give latitude as a number from 0 to 90 degrees."),
        ("UTC offset", "Give UTC offset as a number from 0 to 90 degrees."),
    ],
)
def test_what_is_out_of_range_begins_a_sentence_with_a_capital_and_stands_inside_one_without(
    what: str, hint: str
) -> None:
    failure = OutOfRange(what, 95, 0, 90, "degrees")
    assert failure.message == f"{what} 95 is not between 0 and 90 degrees."
    assert failure.hint == hint


@pytest.mark.parametrize(
    ("name", "expected"),
    [("HERRON", ["Heron"]), ("brakcen", ["Bracken"]), ("heron", ["Heron"]), ("zzz", []), ("", [])],
)
def test_the_nearest_names_are_found_in_any_case(name: str, expected: list[str]) -> None:
    assert nearest_names(name, ["Heron", "Bracken", "Thistle"]) == expected


@given(st.text(st.characters(exclude_categories=["Cs", "Cc"]), min_size=1))
def test_a_name_is_quoted_as_a_shell_reads_it(name: str) -> None:
    assert shlex.split(quoted(name)) == [name]


@pytest.mark.parametrize(
    ("name", "typed"),
    [
        ("Heron", "Heron"),
        ("Zoë", "Zoë"),
        ("Mill Field", '"Mill Field"'),
        ("Grandmother's refractor", '"Grandmother\'s refractor"'),
        ("100% club", '"100% club"'),
        ("big & small", '"big & small"'),
        ("cash $5", "'cash $5'"),
        ("", '""'),
    ],
)
def test_double_quotes_stand_where_every_shell_reads_them(name: str, typed: str) -> None:
    assert quoted(name) == typed


@pytest.mark.parametrize(
    ("name", "typed"),
    [
        (r"C:\Users\Ines\club.db", r"C:\Users\Ines\club.db"),
        (r"C:\Users\José Sá\club.db", r'"C:\Users\José Sá\club.db"'),
        ("Grandmother's refractor", '"Grandmother\'s refractor"'),
        ("cash $5", "'cash $5'"),
        ("Ines' $5 ‘loan’", "'Ines'' $5 ‘‘loan’’'"),
        ("so “called” it", "'so “called” it'"),
        ("Heron!", '"Heron!"'),
    ],
)
def test_on_windows_a_backslash_is_left_alone_and_powershell_reads_the_quotes(name: str, typed: str) -> None:
    """Source: Microsoft's about_Quoting_Rules, of curled quotes too; tried on no Windows."""
    assert quoted(name, "win32") == typed


@pytest.mark.parametrize("words", [(21, "Is a directory"), (13, "Permission denied")])
def test_a_folder_is_told_to_be_one_on_every_system(tmp_path: Path, words: tuple[int, str]) -> None:
    """Windows opens no folder, and calls that a lack of rights."""
    assert why_not_read(OSError(*words), tmp_path) == "it is a folder"
    assert why_not_read(OSError(13, "Permission denied"), tmp_path / "sheet.csv") == "permission denied"
    assert why_not_read(ValueError("line contains NUL"), tmp_path / "sheet.csv") == "line contains nul"


def test_a_kind_without_a_list_command_names_where_its_words_are() -> None:
    error = UnknownName("scale", "antonadi", ["antoniadi"], see="See them all: obslog scales")
    assert error.hint == "Did you mean antoniadi? See them all: obslog scales"
    assert (
        UnknownName("scale", "x", [], see="See them all: obslog scales").hint == "See them all: obslog scales"
    )


def test_a_first_name_brings_up_the_whole_name() -> None:
    known = ["Sven Aklestad", "Noor El-Tayeb", "Steven", "Maud Ellery"]
    assert nearest_names("sven", known)[0] == "Sven Aklestad"
    assert nearest_names("Noor", known) == ["Noor El-Tayeb"]


def test_what_adds_a_name_is_not_taken_for_the_name_that_was_meant() -> None:
    near = UnknownName("mount", "Herron", ["Heron"], "obslog mount add Herron")
    assert near.hint == "Did you mean Heron? To add a new one: obslog mount add Herron"
    far = UnknownName("mount", "Herron", [], "obslog mount add Herron")
    assert far.hint == "To add it: obslog mount add Herron"
