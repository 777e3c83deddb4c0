"""The observing record from the command line: entries, corrections, doubts, finding again."""

from datetime import timedelta

import pytest

from tests.cli.conftest import EVENING, Run


def test_an_entry_keeps_all_that_programmes_ask_for(at_heron: Run) -> None:
    entry = at_heron(
        "saw", "M", "81", "-n", "oval glow", "--averted", "--by", "star-hop", "--filter", "none", "--rating", "4",
        "--sketch", "book 3, page 12", "--at", "21:05", "--json",
    ).document["entries"][0]  # fmt: skip
    assert entry["target"] == "M 81"
    assert entry["magnification"] == 40.0  # 1000 mm / 25 mm
    told = ("vision", "found_by", "filter", "rating", "sketch", "description", "observer")
    assert [entry[name] for name in told] == [
        "averted", "star-hop", "none", 4, "book 3, page 12", "oval glow", "Ines",
    ]  # fmt: skip
    where = at_heron("sky", "where", "M 81", "--site", "Mill Field", "--at", "21:05", "--json").document
    assert entry["alt_deg"] == pytest.approx(where["alt_deg"], abs=0.1)


def test_what_is_not_told_is_unknown(at_heron: Run) -> None:
    (entry,) = at_heron("saw", "Jupiter", "--json").document["entries"]
    assert {entry[name] for name in ("vision", "filter", "rating", "sketch")} == {None}


def test_each_observer_has_an_entry_of_their_own(at_heron: Run) -> None:
    entries = at_heron("saw", "M", "81", "-o", "Ines", "-o", "Bram Ostler", "--json").document["entries"]
    assert [entry["observer"] for entry in entries] == ["Ines", "Bram Ostler"]
    assert at_heron("observation", "edit", "2", "--text", "only the core").code == 0
    listed = at_heron("observation", "list", "--json").document
    assert [entry["description"] for entry in listed] == [None, "only the core"]


def test_a_correction_keeps_the_old_words_and_can_be_undone(at_heron: Run) -> None:
    assert at_heron("saw", "M", "81", "-n", "round").code == 0
    assert at_heron("observation", "edit", "1", "--text", "oval", "--rating", "3").code == 0
    page = at_heron("observation", "show", "1", "--json").document
    assert page["entry"]["description"] == "oval"
    changed = {c["what"]: (c["before"], c["after"]) for c in page["corrections"]}
    assert changed == {"description": ("round", "oval"), "rating": (None, 3)}
    assert "description was 'round'" in at_heron("observation", "show", "1").out
    assert at_heron("undo").code == 0
    page = at_heron("observation", "show", "1", "--json").document
    assert page["entry"]["description"] == "round"
    assert page["corrections"][0]["undone"] is True


def test_the_same_object_observer_and_minute_is_pointed_out_and_kept(at_heron: Run) -> None:
    assert "already" not in at_heron("saw", "M", "81", "--at", "21:05").err
    assert "on record already for the same minute" in at_heron("saw", "M81", "--at", "21:05").err
    assert "already" not in at_heron("saw", "M", "81", "--at", "21:05", "-o", "Bram Ostler").err
    assert len(at_heron("observation", "list", "--json").document) == 3


def test_a_target_below_the_horizon_is_questioned(at_heron: Run) -> None:
    answer = at_heron("saw", "Antares", "--at", "20:00")
    assert answer.code == 2
    assert "below the horizon of Mill Field at 20:00" in answer.err
    assert "--sure" in answer.err
    assert at_heron("observation", "list", "--json").document == []
    assert (
        at_heron("saw", "Antares", "--at", "20:00", "--sure", "--json").document["entries"][0]["alt_deg"] < -1
    )


def test_a_magnification_that_nothing_gives_is_questioned(at_heron: Run) -> None:
    answer = at_heron("saw", "M", "81", "--magnification", "70")
    assert (answer.code, "Long tube with Wide 25 gives 40x" in answer.err) == (2, True)
    assert (
        at_heron("saw", "M", "81", "--magnification", "70", "--sure", "--json").document["entries"][0][
            "magnification"
        ]
        == 70
    )
    barlow = at_heron("saw", "M", "81", "--magnification", "80")
    assert (barlow.code, "Barlow lens of 2x" in barlow.err) == (0, True)


def test_a_wrong_date_after_midnight_is_named_with_the_right_one(run: Run) -> None:
    for words in (("night", "start", "Mill Field", "--on", "2026-03-01"),):
        assert run(*words).code == 0
    answer = run("saw", "M", "81", "--at", "2026-03-01T01:10:00Z")
    assert answer.code == 2
    assert "Did you mean 2026-03-02T01:10Z?" in answer.err
    assert (
        run("saw", "M", "81", "--at", "01:10", "--json").document["entries"][0]["at_utc"]
        == "2026-03-02T01:10:00Z"
    )


@pytest.mark.parametrize(
    ("text", "scale", "other"),
    [
        ("2", "antoniadi (seeing, 1 (best) to 5)", "pickering"),
        ("seeing 2", "antoniadi (seeing, 1 (best) to 5)", "pickering"),
        ("transparency 5", "transparency-1-7 (transparency, 1 to 7 (best))", "scales run in opposite ways"),
    ],
)
def test_a_seeing_without_its_scale_is_questioned(at_heron: Run, text: str, scale: str, other: str) -> None:
    answer = at_heron("night", "note", "--sky", text)
    assert answer.code == 2
    assert "has no scale" in answer.err
    assert scale in answer.err
    assert other in answer.err


def test_words_are_found_whatever_their_case_and_accents(at_heron: Run) -> None:
    for words in (
        ("saw", "M", "81", "-n", "Naïve GLOW, 100% sure"),
        ("saw", "M", "82", "-n", "naive streak"),
        ("night", "note", "--note", "naïve visitors"),
        ("snag", "add", "level", "a Naive leg sank"),
    ):
        assert at_heron(*words).code == 0, words
    kinds = [hit["kind"] for hit in at_heron("find", "NAIVE", "--json").document]
    assert sorted(kinds) == ["night", "observation", "observation", "snag"]
    assert [hit["about"] for hit in at_heron("find", "glow", "naïve", "--json").document] == ["M 81"]
    assert [hit["about"] for hit in at_heron("find", "100%", "--json").document] == ["M 81"]
    assert at_heron("find", "1_0%", "--json").document == []
    assert at_heron("observation", "edit", "1", "--text", "plain").code == 0
    assert at_heron("find", "glow", "--json").document == []


def test_what_is_not_found_is_said_of_what_was_looked_through_and_not_of_all_that_is_on_record(
    at_heron: Run,
) -> None:
    """Long tube is on record; that it "was not found on record" sent a caller away."""
    assert at_heron("find", "Long", "tube").err.splitlines() == [
        "'Long tube' is in no note of a night, set-up or arrival, and in no observation, snag or service.",
        'Is it an item or a kit? Then: obslog store show "Long tube"',
    ]


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("saw", "M", "81", "--rating", "6"), 2),
        (("saw", "M", "81", "--magnification", "0"), 2),
        (("saw", "M", "81", "-o", "Nobody"), 2),
        (("observation", "edit", "1"), 2),
        (("observation", "edit", "9", "--text", "x"), 1),
        (("observation", "show", "9"), 1),
        (("find", " "), 2),
    ],
)
def test_wrong_input_is_refused_in_two_lines(at_heron: Run, words: tuple[str, ...], code: int) -> None:
    answer = at_heron(*words)
    assert (answer.code, answer.out, len(answer.err.splitlines())) == (code, "", 2)


def test_a_target_behind_the_trees_of_the_site_is_questioned(at_heron: Run) -> None:
    """Sirius stood 20 deg up in the south-south-west at 20:30: below a wall of 40 deg, above one of 5."""
    assert at_heron("site", "edit", "Mill Field", "--horizon", "90:5,180:40,270:40").code == 0
    answer = at_heron("saw", "Sirius", "--at", "20:30")
    assert answer.code == 2
    assert "where the horizon of Mill Field hides 40°" in answer.err
    assert at_heron("saw", "Sirius", "--at", "20:30", "--sure").code == 0
    assert at_heron("site", "edit", "Mill Field", "--horizon", "0:5").code == 0
    assert at_heron("saw", "Sirius", "--at", "20:31").code == 0


def test_a_site_shows_its_horizon_and_refuses_what_is_none(at_heron: Run) -> None:
    shown = at_heron("site", "edit", "Mill Field", "--horizon", "270:10 0:12.5,90:5", "--json").document
    assert shown["horizon"] == "0:12.5,90:5,270:10"
    assert "0:12.5,90:5,270:10" in at_heron("site", "show", "Mill Field").out
    answer = at_heron("site", "edit", "Mill Field", "--horizon", "north:10")
    assert answer.code == 2
    assert "azimuth:altitude" in answer.err


def test_an_entry_is_added_to_a_past_night_with_all_options_of_saw(at_heron: Run) -> None:
    assert at_heron("night", "end").code == 0
    later = EVENING + timedelta(days=2)
    added = at_heron(
        "observation", "add", "M", "81", "--night", "2026-03-02", "--site", "mill field", "--mount", "heron",
        "--at", "21:05", "-n", "oval glow", "--averted", "--by", "star-hop", "--rating", "4", "--not-seen",
        "-o", "Bram Ostler", "--json", at=later,
    ).document["entries"][0]  # fmt: skip
    told = ("night", "at", "target", "sighting", "vision", "found_by", "rating", "observer", "magnification")
    assert [added[name] for name in told] == [
        "2026-03-02", "21:05", "M 81", "not seen", "averted", "star-hop", 4, "Bram Ostler", 40.0,
    ]  # fmt: skip
    answer = at_heron("observation", "add", "M", "81", "--night", "2026-03-02", at=later)
    assert answer.error_lines == [
        "The night of 2026-03-02 at Mill Field is over.",
        "Say when it was: --at 21:40.",
    ]
    assert at_heron("undo", at=later).out == "Undone: saw M 81\n"
    assert at_heron("observation", "list", "--night", "2026-03-02", "--json", at=later).document == []


def test_an_entry_is_removed_and_comes_back(at_heron: Run) -> None:
    assert at_heron("saw", "M", "81", "--at", "21:05").code == 0
    answer = at_heron("observation", "edit", "1", "--remove", "--rating", "3")
    assert (answer.code, answer.error_lines) == (
        2, ["An entry is changed or removed, not both.", "Give --remove alone."],
    )  # fmt: skip
    answer = at_heron("observation", "edit", "1", "--remove")
    assert answer.out == "Removed:  1.  21:05  seen M 81  Ines  (night of 2026-03-02 at Mill Field)\n"
    assert at_heron("observation", "list", "--json").document == []
    assert at_heron("undo").out == "Undone: remove observation 1\n"
    assert len(at_heron("observation", "list", "--json").document) == 1


def test_the_naked_eye_and_a_mount_of_none_have_no_magnification(at_heron: Run) -> None:
    for words in (("--by", "naked eye"), ("--by", "binoculars"), ("--eyepiece", "none"), ("--mount", "none")):
        (entry,) = at_heron("saw", "M", "45", *words, "--json").document["entries"]
        assert (entry["eyepiece"], entry["magnification"]) == (None, None)


def test_a_correction_of_the_observer_is_told(at_heron: Run) -> None:
    assert at_heron("saw", "M", "81").code == 0
    assert at_heron("observation", "edit", "1", "--observer", "Bram Ostler").code == 0
    assert "observer was 'Ines'" in at_heron("observation", "show", "1").out
