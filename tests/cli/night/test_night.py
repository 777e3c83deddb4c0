"""Nights from the command line: started, noted, ended, listed, shown."""

from datetime import timedelta

import pytest

from tests.cli.program import Program


def test_a_note_adds_to_the_night(outside: Program) -> None:
    outside.must("night", "note", "--note", "dew", "--with", "Bram Ostler")
    page = outside.document("night", "note", "--note", "fox", "--sky", "sky-meter 21.3")
    assert (page["note"], page["present"]) == ("dew\nfox", ["Bram Ostler", "Ines"])
    assert page["sky"] == [
        {"scale": "sky-meter", "value": 21.3, "at": "21:40", "at_utc": "2026-03-02T21:40:00Z"}
    ]
    assert "sky-meter 21.3 (21:40)" in outside.must("night", "show").out


def test_a_night_is_shown_with_its_objects(outside: Program) -> None:
    outside.must("saw", "M 44", "--note", "a swarm")
    page = outside.document("night", "show")
    assert [o["description"] for o in page["observations"]] == ["a swarm"]
    assert "a swarm" in outside.must("night", "show").out


def test_nights_are_counted_in_a_list(outside: Program) -> None:
    (line,) = outside.document("night", "list", "--most", "1")
    assert (line["night"], line["setups"], line["arrivals"], line["open"]) == ("2026-03-02", 1, 2, True)


def test_a_date_that_is_none_and_a_reading_out_of_range_are_wrong_input(outside: Program) -> None:
    for words in (
        ("night", "show", "--night", "2.3.2026"),
        ("night", "note", "--sky", "antoniadi 6"),
        ("night", "end", "--at", "20:00"),
    ):
        answer = outside(*words)
        assert (answer.code, answer.out, len(answer.error_lines)) == (2, "", 2), answer.err


def test_with_no_night_on_record_the_list_says_how_to_start_one(in_club: Program) -> None:
    assert "obslog night start SITE" in in_club.must("night", "list").err
    assert in_club.document("night", "list") == []


def test_the_sky_of_a_moment_is_kept_with_its_time(outside: Program) -> None:
    assert "antoniadi 3 (21:10)" in outside.must("night", "note", "--sky", "antoniadi 3", "--at", "21:10").out
    assert outside.document("night", "show")["sky"][0]["at_utc"] == "2026-03-02T21:10:00Z"
    answer = outside("night", "note", "--note", "dew", "--at", "21:10")
    assert (answer.code, answer.error_lines) == (
        2, ["--at says when the sky was read, and no reading was given.", "Add --sky SCALE NUMBER."],
    )  # fmt: skip


def test_a_note_to_a_night_that_is_over_says_so_and_asks_when_it_is_long_past(outside: Program) -> None:
    outside.must("night", "end")
    outside.now += timedelta(hours=14)
    answer = outside.must("night", "note", "--sky", "antoniadi 2")
    assert (
        answer.err == "No night is open: this went to the night of 2026-03-02 at Mill Field, which is over.\n"
    )
    assert "sky\tantoniadi 2\n" in answer.out  # nobody said when in the night that was
    outside.now += timedelta(hours=24, minutes=30)
    answer = outside("night", "note", "--note", "dew")
    assert (answer.code, answer.error_lines) == (
        2,
        [
            "No night is open, and the newest, of 2026-03-02 at Mill Field, is over for more than a day.",
            'If you mean it, add --night 2026-03-02; to start tonight\'s: obslog night start "Mill Field"',
        ],
    )
    assert outside.must("night", "note", "--note", "dew", "--night", "2026-03-02").err == ""


def test_a_night_is_shown_with_its_arrivals_and_snags(outside: Program) -> None:
    outside.must("snag", "add", "power", "plug loose")
    outside.must("setup", "start", "Bracken", "--observer", "Bram Ostler")
    outside.must("check", "M", "44", "edge", "--mount", "Bracken")
    for mount in ("Heron", "Bracken"):
        outside.must("setup", "end", mount)
    outside.must("snag", "add", "ground", "wet grass", "--site", "Mill Field")
    outside.must("snag", "add", "ground", "not here", "--site", "Kestrel Ridge")
    page = outside.document("night", "show")
    assert [(a["mount"], a["setup"], a["number"], a["role"], a["target"]) for a in page["arrivals"]] == [
        ("Bracken", 1, 1, "check", "M 44"),
        ("Heron", 1, 1, "sync", "Regulus"),
        ("Heron", 1, 2, "check", "Procyon"),
    ]
    assert [snag["text"] for snag in page["snags"]] == ["plug loose", "wet grass"]
    assert [line["arrivals"] for line in page["setups"]] == [1, 2]  # the old keys stay as they were
    shown = outside.must("night", "show").out
    for words in ("Heron, set-up 1 of the night", "Regulus\t12.0E 5.0N", "plug loose", "wet grass"):
        assert words in shown
    assert "not here" not in shown


@pytest.mark.parametrize("word", ["--night", "--on"])
def test_a_night_is_begun_by_the_word_by_which_it_is_shown(in_club: Program, word: str) -> None:
    in_club.must("night", "start", "Mill Field", word, "2026-02-27")
    assert in_club.document("night", "show", "--night", "2026-02-27")["night"] == "2026-02-27"


def test_an_ended_night_that_is_begun_once_more_says_that_it_was_opened_again(outside: Program) -> None:
    ended = outside.must("night", "end").out
    assert "opened again" not in ended
    (end,) = (line.split("\t")[1] for line in ended.splitlines() if line.startswith("to\t"))
    assert f"to\t{end}, then opened again\n" in outside.must("night", "start", "Mill Field").out
    assert "opened again" not in outside.must("night", "end").out
