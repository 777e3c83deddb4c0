"""The quick verbs: one short line each, in the dark."""

import shlex
from datetime import timedelta
from pathlib import Path

import pytest

from tests.cli.program import Program


def test_an_arrival_is_told_back_in_one_line(outside: Program) -> None:
    assert (
        outside.must("check", "alf", "Aur", "3E", "2N").out
        == "3.  21:40  check  Capella  3.0E 2.0N  (Heron)\n"
    )
    assert outside.must("goto", "M", "44", "edge").out == "4.  21:40  goto  M 44  edge  (Heron)\n"


def test_an_arrival_is_corrected_removed_and_brought_back(outside: Program) -> None:
    assert outside.document("edit", "1", "--where", "1W")["arrival"]["offset"] == "1.0W 0.0N"
    removed = outside.document("edit", "2", "--remove")
    assert (removed["mount"], removed["removed"]["target"]) == ("Heron", "Procyon")
    assert outside.document("undo") == {"undone": "remove arrival 2"}
    assert len(outside.document("setup", "show")["arrivals"]) == 2
    answer = outside("edit", "1", "--remove", "--where", "2E")
    assert (answer.code, "changed or removed, not both" in answer.err) == (2, True)


@pytest.mark.parametrize("observers", [["Ines"], ["Ines", "Bram Ostler"]])
def test_saw_has_one_shape_for_any_number_of_observers(outside: Program, observers: list[str]) -> None:
    words = [word for name in observers for word in ("--observer", name)]
    told = outside.document("saw", "M 44", *words)
    assert set(told) == {"entries", "remarks", "caution"}
    assert [entry["observer"] for entry in told["entries"]] == observers
    corrected = outside.document("observation", "edit", "1", "--note", "a swarm")
    assert set(corrected) == {"entries", "remarks", "caution"}


@pytest.mark.parametrize("option", ["-n", "--note", "--text"])
def test_the_short_option_for_words_is_the_same_everywhere(outside: Program, option: str) -> None:
    assert outside.document("saw", "M 44", option, "a swarm")["entries"][0]["description"] == "a swarm"
    if option != "--text":
        assert outside.document("check", "Vega", "--sure", option, "gusts")["arrival"]["note"] == "gusts"


def test_an_unknown_name_is_kept_and_remarked_where_it_is_to_be_kept(outside: Program) -> None:
    answer = outside.must("check", "Vegaa", "--as-written")
    assert (
        "Vegaa is not a known star or object; kept as written, its height unchecked. Did you mean Vega"
        in answer.err
    )


def test_bytes_that_are_no_text_are_wrong_input(outside: Program) -> None:
    answer = outside("snag", "add", "level", "a leg \udcff sank")
    assert (answer.code, len(answer.error_lines)) == (2, 2)


def test_what_cannot_be_undone_is_said(outside: Program) -> None:
    sheet = outside.must("export", "arrivals").out.replace("Regulus", "Capella").replace("Procyon", "Mizar")
    path = Path(outside.environment["OBSLOG_DB"]).with_name("sheet.csv")
    path.write_text(sheet, encoding="utf-8")
    assert (
        "2 arrivals added in 0 new set-ups and 0 new nights"
        in outside.must("import", "arrivals", str(path)).out
    )
    before = outside.document("setup", "show")["arrivals"]
    assert outside.must("undo").out == "Undone: import sheet.csv\n"
    assert len(outside.document("setup", "show")["arrivals"]) == len(before) - 2


@pytest.mark.parametrize("where", ["12E 5E", "1,200E 5N", "nanE 1N", "3N 4N"])
def test_no_part_of_an_offset_becomes_a_part_of_the_name(outside: Program, where: str) -> None:
    before = outside.document("setup", "show")["arrivals"]
    answer = outside("check", "Castor", *where.split())
    assert (answer.code, len(answer.error_lines)) == (2, 2)
    assert answer.error_lines[0].startswith(f"The offset {where!r} cannot be read")
    assert outside.document("setup", "show")["arrivals"] == before


def test_a_name_that_ends_in_a_number_keeps_it(outside: Program) -> None:
    told = outside.document("check", "Our 12", "3E", "2N", "--as-written")
    assert told["arrival"]["target"] == "Our 12"


def test_undo_and_redo_say_the_act(outside: Program) -> None:
    outside.must("goto", "M", "44", "edge")
    assert outside.must("undo").out == "Undone: goto M 44\n"
    assert outside.must("redo").out == "Done again: goto M 44\n"
    assert [a["target"] for a in outside.document("setup", "show")["arrivals"]] == [
        "Regulus",
        "Procyon",
        "M 44",
    ]
    outside.must("undo")
    assert outside.document("redo") == {"redone": "goto M 44"}


def test_redo_after_something_new_says_that_there_is_nothing(outside: Program) -> None:
    outside.must("undo")
    outside.must("saw", "M", "44")
    answer = outside("redo")
    assert (answer.code, answer.error_lines[0]) == (1, "There is nothing to redo.")


# Regulus stands at declination 12 degrees: an hour, 15 degrees of hour angle, is 15 x cos(12) = 14.7 degrees of the sky
AN_HOUR = "882E"
BEGUN = (["night", "start", "Mill Field"], ["setup", "start", "Heron", "--at", "20:10"])


def begun(program: Program) -> Program:
    for words in BEGUN:
        program.must(*words)
    return program


def test_a_first_star_an_hour_off_is_recorded_and_its_mistake_told(in_club: Program) -> None:
    answer = begun(in_club)("sync", "Regulus", AN_HOUR, "--at", "21:30")
    assert answer.code == 0
    assert "1.  21:30  sync  Regulus" in answer.out
    told = " ".join(answer.err.split())
    assert "Regulus stood 15° off; most likely" in told
    assert "summer time" in told
    see = told[told.index("See: obslog ") + len("See: obslog ") :]
    causes = in_club(*shlex.split(see))
    assert causes.code == 0
    assert "summer time" in causes.out.splitlines()[0]


def test_a_second_star_far_off_and_a_first_one_near_are_not_remarked_upon(in_club: Program) -> None:
    begun(in_club)
    assert in_club("sync", "Regulus", "170E", "--at", "21:30").err == ""
    assert in_club("check", "Procyon", AN_HOUR, "--at", "21:34").err == ""


LONG_PAST = [
    ("edit", "1", "--remove"),
    ("edit", "1", "--where", "3E 2N"),
    ("setup", "edit", "--start", "20:30"),
    ("observation", "edit", "1", "--remove"),
    ("observation", "edit", "1", "--text", "fox"),
]


@pytest.mark.parametrize("words", LONG_PAST, ids=" ".join)
def test_what_is_long_past_is_changed_only_where_its_night_is_named(
    outside: Program, words: tuple[str, ...]
) -> None:
    outside.must("saw", "M 44")
    outside.must("night", "end")
    outside.now += timedelta(days=3)
    before = outside.document("history", "--most", "1")
    answer = outside(*words)
    assert answer.code == 2
    assert "is over for more than a day." in answer.error_lines[0]
    assert "If you mean it, add --night 2026-03-02" in answer.error_lines[1]
    assert outside.document("history", "--most", "1") == before
    outside.must(*words, "--night", "2026-03-02")


@pytest.mark.parametrize("words", LONG_PAST, ids=" ".join)
def test_the_morning_after_it_need_not_be_named(outside: Program, words: tuple[str, ...]) -> None:
    outside.must("saw", "M 44")
    outside.must("night", "end")
    outside.now += timedelta(hours=12)
    outside.must(*words)
