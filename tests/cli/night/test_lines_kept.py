"""What a quick verb's words put on record, and what of them is refused with nothing kept."""

from typing import Any

import pytest

from tests.cli.program import Program


def arrivals(outside: Program) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = outside.document("setup", "show")["arrivals"]
    return found


def seen(outside: Program) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = outside.document("observation", "list")
    return found


@pytest.mark.parametrize(
    ("words", "target", "east", "north"),
    [
        ("Aldebaran 3,5E 2N", "Aldebaran", 3.5, 2.0),
        ("Aldebaran 3°E 2N", "Aldebaran", 180.0, 2.0),
        ("Castor E3 N2", "Castor", 3.0, 2.0),
        ("Regulus E12 N5", "Regulus", 12.0, 5.0),
        ("Castor 3E2N", "Castor", 3.0, 2.0),
        ("Castor 30arcsec W", "Castor", -0.5, 0.0),
        # 3 s x 16 x 15.041" = 721.97" = 12.033'; the same east is shortened by the cosine of +31.888 degrees, 0.8491,
        # to 4 s x 16 x 15.041" x 0.8491 = 13.622' (Castor: Hipparcos catalogue, HIP 36850).
        ("Castor 4s E @16x 3s N @16x", "Castor", 13.622, 12.033),
    ],
)
def test_offsets_as_people_write_them(
    outside: Program, words: str, target: str, east: float, north: float
) -> None:
    told = outside.document("goto", *words.split())["arrival"]
    assert told["target"] == target
    assert told["offset_east_arcmin"] == pytest.approx(east, abs=2e-3)
    assert told["offset_north_arcmin"] == pytest.approx(north, abs=2e-3)
    assert arrivals(outside)[-1] == told


@pytest.mark.parametrize(
    ("words", "target", "landing"),
    [("m31 edge", "M 31", "edge"), ("M 31 center", "M 31", "centred"), ("M31 Centered", "M 31", "centred")],
)
def test_landings_as_people_write_them(outside: Program, words: str, target: str, landing: str) -> None:
    told = outside.document("sync", *words.split())["arrival"]
    assert (told["target"], told["landing"], told["offset_east_arcmin"]) == (target, landing, None)


@pytest.mark.parametrize(
    ("words", "mend"),
    [
        ("Castor 3E 4W", "Write it like 3E 2N"),
        ("Castor 4s E @16x 3s N @8x", "Write it like 3E 2N"),
        ("Castor centerd", "Did you mean centred?"),
        ("Castor 1,234E", "Write it like 3E 2N"),
        ("Castor windy", "a remark goes with --note"),
        ("Castor at 21:10 3E", "Give the time with --at 21:10."),
        ("Castor pier north", "pier east or pier west"),
        ("Vegaa 3E", "Did you mean Vega"),
        ("my double star", "--as-written"),
        ("Castor 30q E", "30arcsec E"),
    ],
)
def test_what_is_no_place_is_refused_and_nothing_is_kept(outside: Program, words: str, mend: str) -> None:
    before = arrivals(outside)
    answer = outside("check", *words.split())
    assert (answer.code, len(answer.error_lines)) == (2, 2)
    assert mend in answer.error_lines[1]
    assert arrivals(outside) == before


def test_settings_are_words_too(outside: Program) -> None:
    typed = "check Castor pw 3E 2N eyepiece Wide 25 by bram ostler field 42 centring 0,3 --note thin"
    told = outside.document(*typed.split())["arrival"]
    assert (told["pier_side"], told["field_arcmin"], told["note"]) == ("west", 42.0, "thin")
    assert told["offset"] == "3.0E 2.0N"


def test_a_setting_told_in_two_ways_must_be_the_same(outside: Program) -> None:
    assert outside("check", "Castor", "pw", "--pier", "east").code == 2
    assert outside.document("check", "Castor", "pw", "--pier", "west")["arrival"]["pier_side"] == "west"


def test_an_unknown_name_is_kept_where_it_is_to_be_or_has_its_place(outside: Program) -> None:
    assert outside.document("check", "my", "star", "3E", "--as-written")["arrival"]["target"] == "my star"
    placed = outside.document("check", "field", "star", "edge", "--ra", "8", "--dec", "40")["arrival"]
    assert (placed["target"], placed["landing"]) == ("field star", "edge")
    assert outside("edit", "1", "--target", "Regullus").code == 2
    assert (
        outside.document("edit", "1", "--target", "my pair", "--as-written")["arrival"]["target"] == "my pair"
    )


@pytest.mark.parametrize(
    ("words", "target", "sighting", "text"),
    [
        (["m31", "big", "oval", "glow"], "M 31", "seen", "big oval glow"),
        (["M", "31", "big oval glow"], "M 31", "seen", "big oval glow"),
        (["M", "81", "5", "stars"], "M 81", "seen", "5 stars"),
        (["M", "33", "not", "seen"], "M 33", "not seen", None),
        (["M", "33", "suspected"], "M 33", "suspected", None),
        (["M 81; oval; bright"], "M 81", "seen", "oval; bright"),
    ],
)
def test_what_was_seen(
    outside: Program, words: list[str], target: str, sighting: str, text: str | None
) -> None:
    (entry,) = outside.document("saw", *words)["entries"]
    assert (entry["target"], entry["sighting"], entry["description"]) == (target, sighting, text)
    assert seen(outside) == [entry]


def test_how_it_was_seen(outside: Program) -> None:
    typed = "saw M 81 averted 40x filter UHC rating 4 sketch book-3 by Ines"
    (entry,) = outside.document(*typed.split(), "oval glow")["entries"]
    told = ("vision", "magnification", "filter", "rating", "sketch", "observer", "description")
    assert [entry[name] for name in told] == ["averted", 40.0, "UHC", 4, "book-3", "Ines", "oval glow"]


@pytest.mark.parametrize(
    ("words", "mend"),
    [
        ("Sombrerro big glow", "Did you mean Sombrero Galaxy?"),
        ("the whole sky was green", "--as-written"),
        ("Saturn Nebla blue", "Write Saturn Nebula"),
        ("M 31 dust lane suspected", "or the text in quotes"),
        ("M 31 filter UHC oval glow", "Put the text in quotes"),
    ],
)
def test_no_sentence_is_kept_as_a_name(outside: Program, words: str, mend: str) -> None:
    answer = outside("saw", *words.split())
    assert (answer.code, len(answer.error_lines)) == (2, 2)
    assert mend in answer.error_lines[1]
    assert seen(outside) == []


@pytest.mark.parametrize(
    ("words", "text"),
    [
        (("M", "31", "dust lane suspected"), "dust lane suspected"),
        (("M", "31", "filter", "UHC", "oval glow"), "oval glow"),
        (("Saturn", "Nebla blue"), "Nebla blue"),
    ],
)
def test_what_is_put_in_quotes_as_the_hint_says_is_the_text(
    outside: Program, words: tuple[str, ...], text: str
) -> None:
    (entry,) = outside.document("saw", *words, "--sure")["entries"]
    assert entry["description"] == text


def test_an_unknown_object_is_kept_as_written(outside: Program) -> None:
    (entry,) = outside.document("saw", "my double star", "close pair", "--as-written")["entries"]
    assert (entry["target"], entry["description"], entry["alt_deg"]) == ("my double star", "close pair", None)
    assert outside("observation", "edit", "1", "--target", "Regullus").code == 2
    assert outside.document("observation", "edit", "1", "--target", "M 44")["entries"][0]["target"] == "M 44"


def test_a_side_of_the_pier_that_is_not_usual_is_questioned(outside: Program) -> None:
    """By hand: at 21:40 UTC on 2 March sidereal time at Greenwich is 8 h 22 min, so that Capella (5 h 17 min) is in the

    west, and Regulus (10 h 8 min) in the east.
    """
    before = arrivals(outside)
    answer = outside("check", "Capella", "3E", "pw")
    assert (answer.code, "on the east side of the pier" in answer.err) == (2, True)
    assert arrivals(outside) == before
    assert outside("edit", "1", "--pier", "east").code == 2
    assert outside.document("edit", "1", "--pier", "west")["arrival"]["pier_side"] == "west"
    assert outside.document("check", "Capella", "3E", "pe")["arrival"]["pier_side"] == "east"
    assert outside.document("goto", "Capella", "pw", "--sure")["arrival"]["pier_side"] == "west"


def test_of_a_mount_without_a_side_of_the_pier_it_is_said(outside: Program) -> None:
    outside.must("setup", "start", "Thistle", "--observer", "Ines")
    told = outside.must("check", "Capella", "3E", "pw", "--mount", "Thistle")
    assert "Thistle is an altaz mount: a side of the pier means nothing for it." in told.err
