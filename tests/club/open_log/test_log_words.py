"""What has no place of its own is told below the words, once."""

from datetime import UTC, datetime

from obslog.club.open_log.log_words import added_lines, chosen_result, result_lines, target_lines, with_lines
from obslog.exchange.open_log.records import LogObservation, LogResult, LogTarget

AT = datetime(2026, 3, 2, tzinfo=UTC)
ENGLISH, GERMAN = (
    LogResult(description="a glow", language="en", rating=2),
    LogResult(description="x", language="de"),
)
SEEN = LogObservation(id=None, observer=None, target=None, begin=AT, results=(ENGLISH, GERMAN))


def test_the_result_of_the_language_or_the_first() -> None:
    assert chosen_result(SEEN, "DE") is GERMAN
    assert chosen_result(SEEN, "fr") is ENGLISH
    assert chosen_result(SEEN, None) is ENGLISH
    assert result_lines(SEEN, ENGLISH) == ["rating of the standard: 2", "in de: x"]


def test_of_a_known_object_only_notes_and_another_name_are_told() -> None:
    target = LogTarget(id="t", name="Nebel", kind="deepSkyGX", notes="big", other=("hubble type: Sb",))
    assert target_lines(target, known=True, by_alias=True, own_notes=None) == ["object: Nebel", "notes: big"]
    assert target_lines(target, known=True, by_alias=False, own_notes="big") == []


def test_of_an_unknown_object_all_is_told() -> None:
    target = LogTarget(
        id="t",
        name="Blot",
        kind="deepSkyPN",
        aliases=("Spot",),
        ra_deg=15.5,
        dec_deg=-3.0,
        other=("mag star: 14",),
    )
    assert target_lines(target, known=False, by_alias=False, own_notes=None) == [
        "type: planetary nebula",
        "also called: Spot",
        "place: right ascension 15.5°, declination -3°",
        "mag star: 14",
    ]


def test_lines_stand_below_the_words_under_the_name_of_the_file() -> None:
    assert with_lines("a glow", ["end: now\nish"], "log.xml") == "a glow\n\nFrom log.xml:\nend: now ish"
    assert with_lines("a glow", [], "log.xml") == "a glow"


def test_a_note_gets_only_what_it_does_not_hold() -> None:
    assert added_lines(None, ["one", ""]) == "one"
    assert added_lines("one\ntwo", ["two"]) is None
    assert added_lines("one", ["one", "two"]) == "one\ntwo"
