"""Nights from the command line: started, noted, ended, listed, shown."""

from tests.cli.program import Program


def test_a_note_adds_to_the_night(outside: Program) -> None:
    outside.must("night", "note", "--note", "dew", "--with", "Bram Ostler")
    page = outside.document("night", "note", "--note", "fox", "--sky", "sky-meter 21.3")
    assert (page["note"], page["present"]) == ("dew\nfox", ["Bram Ostler", "Ines"])
    assert page["sky"] == [{"scale": "sky-meter", "value": 21.3}]
    assert "sky-meter 21.3" in outside.must("night", "show").out


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
