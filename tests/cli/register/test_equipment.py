"""Mounts, tubes, eyepieces and other items: their lists and pages, read back at every width against what was typed."""

from collections.abc import Iterator

import pytest

from tests.cli.program import Program, written_once
from tests.cli.screens import Row, Shown, screens

LISTS = {
    "mount": ("name", "type", "controller", "refraction"),
    "tube": ("name", "aperture mm", "focal mm"),
    "eyepiece": ("name", "focal mm", "field °", "field stop mm"),
    "item": ("name", "category", "note"),
}
TYPED = [
    "mount add zebra --type altaz --controller model --refraction --note|heavy; two people|",
    "mount add Heron --type german --controller shift",
    "mount add Bracken --type fork --controller model --no-refraction",
    "mount add Anvil --type german --controller model",
    "mount retire Anvil --why|bent axis|--on 2026-02-01",
    "tube add|Long tube|--aperture-mm 212.5 --focal-mm 12345",
    "tube add|Finder tube|--aperture-mm 50 --focal-mm 180.25",
    "eyepiece add|Wide 25|--focal-mm 25 --field-deg 53.5 --field-stop-mm 21.6",
    "eyepiece add|Stop 9|--focal-mm 9.75 --field-deg 100",
    "item add Torch --category light --note red",
    "item add Battery --category battery",
    "item add Rag",
]
ROWS = {
    "mount": [
        ["Bracken", "fork", "model", "no"],
        ["Heron", "german", "shift", "no"],
        ["zebra", "altaz", "model", "yes"],
    ],
    "tube": [["Finder tube", "50", "180.25"], ["Long tube", "212.5", "12345"]],
    "eyepiece": [["Stop 9", "9.75", "100", ""], ["Wide 25", "25", "53.5", "21.6"]],
    "item": [["Battery", "battery", ""], ["Rag", "accessory", ""], ["Torch", "light", "red"]],
}


@pytest.fixture
def kept(program: Program) -> Program:
    """The program with what `TYPED` puts on record, out of order and with gaps."""
    return written_once(program, type_kept)


def type_kept(program: Program) -> None:
    for line in TYPED:
        program.must(*words_of(line))


def words_of(line: str) -> Iterator[str]:
    """The words of a command line; between bars stands what is quoted in a shell."""
    for n, part in enumerate(line.split("|")):
        yield from [part] if n % 2 else part.split()


def shown_at_each_width(program: Program, *words: str) -> Iterator[Shown]:
    return screens(program.environment, program.now, *words)


@pytest.mark.parametrize("kind", LISTS)
def test_a_list_stands_by_name_with_its_numbers_and_without_the_retired(kept: Program, kind: str) -> None:
    for shown in shown_at_each_width(kept, kind, "list"):
        assert [list(row.values()) for row in shown.rows(*LISTS[kind])] == ROWS[kind]
        assert "Anvil" not in shown.words
        assert shown.notes == ""


def test_the_retired_stand_among_the_others_where_they_are_asked_for(kept: Program) -> None:
    for shown in shown_at_each_width(kept, "mount", "list", "--all"):
        rows = shown.rows(*LISTS["mount"], "retired")
        assert [(row["name"], row["retired"]) for row in rows] == [
            ("Anvil", "2026-02-01"), ("Bracken", ""), ("Heron", ""), ("zebra", ""),
        ]  # fmt: skip


PAGES: list[tuple[str, str, Row]] = [
    ("mount", "ZEBRA", {"name": "zebra", "note": "heavy; two people", "type": "altaz", "controller": "model",
                        "refraction": "yes"}),
    ("mount", "anvil", {"name": "Anvil", "type": "german", "controller": "model", "refraction": "no",
                        "retired": "2026-02-01", "because": "bent axis"}),
    ("tube", "long tube", {"name": "Long tube", "aperture mm": "212.5", "focal mm": "12345"}),
    ("eyepiece", "stop 9", {"name": "Stop 9", "focal mm": "9.75", "field °": "100", "field stop mm": "unknown"}),
    ("eyepiece", "Wide 25", {"name": "Wide 25", "focal mm": "25", "field °": "53.5", "field stop mm": "21.6"}),
    ("item", "Torch", {"name": "Torch", "note": "red", "category": "light"}),
    ("item", "Rag", {"name": "Rag", "category": "accessory"}),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "name", "page"), PAGES)
def test_a_page_has_all_that_is_on_record_and_says_what_is_unknown(
    kept: Program, kind: str, name: str, page: Row
) -> None:
    for shown in shown_at_each_width(kept, kind, "show", name):
        assert shown.fields() == page
        assert shown.lines[0].split()[0] == "name"


@pytest.mark.parametrize(
    ("line", "page"),
    [
        ("mount add Wren --type fork --controller shift",
         {"name": "Wren", "type": "fork", "controller": "shift", "refraction": "no"}),
        ("tube edit|long tube|--focal-mm 1500",
         {"name": "Long tube", "aperture mm": "212.5", "focal mm": "1500"}),
        ("eyepiece retire|Stop 9|--on 2026-03-01",
         {"name": "Stop 9", "focal mm": "9.75", "field °": "100", "field stop mm": "unknown", "retired": "2026-03-01"}),
        ("item retire Rag", {"name": "Rag", "category": "accessory", "retired": "2026-03-02"}),
    ],
)  # fmt: skip
def test_what_was_added_changed_or_retired_is_shown_as_it_is_then(
    kept: Program, line: str, page: Row
) -> None:
    out = kept.must(*words_of(line)).out
    assert Shown(None, out, "").fields() == page


@pytest.mark.parametrize("kind", LISTS)
def test_of_what_is_not_on_record_yet_it_is_said_how_to_add_it(program: Program, kind: str) -> None:
    for shown in shown_at_each_width(program, kind, "list"):
        assert (shown.out, shown.notes) == (
            "", f"There is no {kind} yet. Add one: obslog {kind} add --help"
        )  # fmt: skip
    assert program.document(kind, "list") == []
