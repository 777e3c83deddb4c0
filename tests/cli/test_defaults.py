"""What is not typed is as it was last, and you are you: said back on standard error beside one JSON document."""

from pathlib import Path

import pytest

from tests.cli.program import Program


@pytest.fixture
def ended(outside: Program) -> Program:
    """The club after a night at Mill Field, with a set-up of Heron by Ines."""
    outside.must("night", "end")
    return outside


def test_a_night_and_a_set_up_begin_as_they_did_last(ended: Program) -> None:
    night = ended.must("night", "start", "--json")
    assert (night.document["site"], night.err) == ("Mill Field", "site: Mill Field (the last used)\n")
    begun = ended.must("setup", "start", "her", "--json")
    assert [begun.document[key] for key in ("mount", "tube", "eyepiece", "observer")] == [
        "Heron", "Long tube", "Wide 25", None,
    ]  # fmt: skip
    assert begun.error_lines == ["tube: Long tube (the last used)", "eyepiece: Wide 25 (the last used)"]


def test_what_is_told_is_not_said_again(ended: Program) -> None:
    assert ended.must("night", "start", "mill").err == ""
    words = ("setup", "start", "Heron", "-t", "long", "-e", "stop", "-o", "in")
    assert ended.must(*words).err == ""


def test_none_leaves_it_open(ended: Program) -> None:
    ended.must("night", "start")
    begun = ended.document("setup", "start", "Heron", "-t", "none", "-e", "none", "-o", "none")
    assert (begun["tube"], begun["eyepiece"], begun["observer"]) == (None, None, None)


@pytest.mark.parametrize(
    "words",
    [
        ("sky", "where", "Vega"),
        ("sky", "pole"),
        ("sky", "sun-moon"),
        ("pointing", "mistakes", "--star", "Vega", "--at", "21:30", "--east", "-15", "--north", "0.2"),
        ("pointing", "drift", "Procyon 21:40 10 2.5N", "Alphard 22:00 10 1S"),
        ("checklist", "her"),
    ],
)
def test_the_site_is_that_of_the_open_night(outside: Program, words: tuple[str, ...]) -> None:
    outside.must("night", "start", "kest")
    outside.must("night", "end", "--site", "kest")
    answer = outside.must(*words, "--json")
    assert answer.err == "site: Mill Field (of the open night)\n"
    assert answer.document == outside.document(*words, "--site", "Mill Field")


def test_where_there_is_one_mount_it_is_meant(outside: Program) -> None:
    assert "No mount is named." in outside("pointing", "stars").err
    for name in ("Bracken", "Thistle"):
        outside.must("mount", "retire", name)
    for words in (("pointing", "stars"), ("pointing", "run-plan"), ("checklist",), ("setup", "start")):
        answer = outside.must(*words, "--json")
        assert answer.document["mount"] == "Heron"
        assert "mount: Heron (the only one)" in answer.error_lines


def test_what_goes_wrong_is_told_alone(outside: Program) -> None:
    assert len(outside("sky", "where", "Vegaa").error_lines) == 2


def test_lending_and_removing_ask_for_every_name(outside: Program) -> None:
    outside.must("member", "me", "ines")
    for words in (("loan", "out", "Heron"), ("loan", "out"), ("member", "leave"), ("mount", "retire")):
        answer = outside(*words)
        assert (answer.code, "Missing argument" in answer.err) == (2, True)


def test_who_one_is_is_kept_said_and_forgotten(in_club: Program) -> None:
    assert in_club.document("member", "me") == {"me": None, "on_record": False, "from_environment": False}
    assert "obslog member me NAME" in in_club.must("member", "me").err
    assert in_club.must("member", "me", "ost").out == "You are Bram Ostler.\n"
    assert in_club.document("member", "me")["me"] == "Bram Ostler"
    in_club.environment["OBSLOG_ME"] = "in"
    assert in_club.must("member", "me").out == "You are Ines, as OBSLOG_ME says.\n"
    del in_club.environment["OBSLOG_ME"]
    in_club.must("member", "me", "--forget")
    assert in_club.document("member", "me")["me"] is None
    assert in_club("member", "me", "Ines", "--forget").code == 2
    assert in_club("member", "me", "Nobody").code == 2
    assert in_club.document("member", "me")["me"] is None


def test_what_one_does_is_ones_own(in_club: Program) -> None:
    in_club.must("member", "me", "ost")
    in_club.must("night", "start", "mill")
    seen = in_club.document("saw", "M", "81")
    assert seen["entries"][0]["observer"] == "Bram Ostler"
    assert in_club.document("snag", "add", "power", "fuse", "--mount", "thi")["member"] == "Bram Ostler"
    assert in_club.document("checklist", "thi", "--tick", "level")["member"] == "Bram Ostler"
    assert in_club.document("setup", "start", "her")["observer"] == "Bram Ostler"
    progress = in_club.must("progress", "messier", "--json")
    assert (progress.document["member"], progress.err) == ("Bram Ostler", "member: Bram Ostler (you)\n")
    in_club.must("setup", "start", "her", "--observer", "ines")
    assert in_club.document("saw", "M", "82")["entries"][0]["observer"] == "Ines", "the set-up's observer"
    assert in_club.document("snag", "add", "power", "dim")["member"] == "Ines"
    assert in_club.document("saw", "M", "82", "-o", "ost")["entries"][0]["observer"] == "Bram Ostler"


def test_without_me_nobody_is_guessed_among_several(in_club: Program) -> None:
    in_club.must("night", "start", "mill")
    assert in_club.document("saw", "M", "81")["entries"][0]["observer"] is None
    answer = in_club("progress", "messier")
    assert answer.error_lines == [
        "No member is named.",
        'Give --member NAME; those in use are "Bram Ostler", Ines.',
    ]


def test_a_wrong_variable_is_an_error_only_where_it_is_used(in_club: Program) -> None:
    in_club.environment["OBSLOG_ME"] = "Vera"
    in_club.must("night", "start", "mill", "--with", "ines")
    in_club.must("mount", "list")
    in_club.must("saw", "M", "81", "-o", "ines")
    answer = in_club("saw", "M", "82")
    assert (answer.code, answer.error_lines[0]) == (2, "OBSLOG_ME is 'Vera', and no member is named so.")


def test_settings_that_cannot_be_read_are_told_in_two_lines(in_club: Program) -> None:
    folder = Path(in_club.environment["OBSLOG_CONFIG"])
    folder.mkdir()
    (folder / "settings.json").write_text("{", encoding="utf-8")
    in_club.must("night", "start", "mill", "--with", "ines")
    answer = in_club("saw", "M", "81")
    assert (answer.code, len(answer.error_lines)) == (1, 2)
