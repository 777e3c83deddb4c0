"""The page of what a club has: what is there, what is not, tonight, and commands that work as they stand."""

import shlex

import pytest

from tests.cli.program import Program


def fields(text: str) -> dict[str, str]:
    return dict(line.split("\t") for line in text.splitlines() if line.count("\t") == 1)


@pytest.fixture(autouse=True)
def _nothing_typed(monkeypatch: pytest.MonkeyPatch) -> None:
    import io

    monkeypatch.setattr("sys.stdin", io.StringIO(""))


def test_a_club_that_has_everything_is_asked_nothing_and_shown_it(in_club: Program) -> None:
    answer = in_club.must("start")
    assert answer.err == ""
    assert fields(answer.out) == {
        "site": "Kestrel Ridge; 32.4° south, 22.3° east; Africa/Johannesburg; elevation not known; and 1 more",
        "mount": "Bracken; fork; controller model; and 2 more",
        "tube": "Long tube; aperture 212 mm; focal length 1000 mm, f/4.72",
        "eyepiece": "Stop 20; focal length 20 mm; apparent field 61°; and 1 more",
        "member": "Bram Ostler; and 1 more",
    }


def test_tonight_is_that_of_the_other_commands(in_club: Program) -> None:
    tonight = in_club.document("start")["tonight"]
    sky = in_club.document("sky", "sun-moon", "--site", "Kestrel Ridge")
    assert tonight["twilight_utc"] == sky["twilight_utc"]
    assert "Tonight at Kestrel Ridge: fully dark " in in_club.must("start").out


def test_the_commands_that_come_next_work_as_they_are_printed(in_club: Program) -> None:
    shown = in_club.must("start").out
    lines = [line.strip() for line in shown.splitlines() if line.strip().startswith("obslog ")]
    assert len(lines) == 4
    for line in lines:
        in_club.must(*shlex.split(line)[1:])


def test_what_is_meant_anyhow_is_named_in_no_command_so_that_each_fits_a_line(program: Program) -> None:
    for line in (
        "site add|Mill Field|--lat 52.2 --lon 2.9 --tz Europe/London",
        "mount add Heron --type german --controller shift",
        "tube add|Long tube|--aperture-mm 212 --focal-mm 1000",
        "eyepiece add|Wide 25|--focal-mm 25 --field-deg 53",
        "member add Ines",
        "member me Ines",
    ):
        program.must(
            *(w for n, part in enumerate(line.split("|")) for w in ([part] if n % 2 else part.split()))
        )
    shown = program.must("start").out
    lines = [line.strip() for line in shown.splitlines() if line.strip().startswith("obslog ")]
    assert lines == ["obslog brief", "obslog night start", "obslog setup start Heron", "obslog prompt"]
    program.must("night", "start")
    begun = program.document("setup", "start", "Heron")
    assert (begun["tube"], begun["eyepiece"], begun["observer"]) == ("Long tube", "Wide 25", "Ines")
    program.must("member", "me", "--forget")
    program.must("member", "add", "Bram")
    assert "obslog night start --with Bram" in program.must("start").out


def test_what_is_missing_is_said_and_no_command_that_needs_it(program: Program) -> None:
    program.must("mount", "add", "Heron", "--type", "german", "--controller", "shift")
    program.must("site", "add", "Fen Edge", "--lat", "52.2", "--lon", "0.12", "--tz", "Europe/London")
    program.must("tube", "add", "Long tube", "--aperture-mm", "212", "--focal-mm", "1000")
    answer = program.must("start")
    assert fields(answer.out)["eyepiece"] == "none yet"
    assert "Go on with what is missing: obslog start" in answer.out
    assert "obslog setup start" not in answer.out


def test_scripts_are_told_what_is_missing(program: Program) -> None:
    document = program.document("start")
    assert (document["complete"], document["tonight"]) == (False, None)
    assert document["asked_for"][2] == {
        "kind": "tube",
        "name": None,
        "missing": ["name", "aperture_mm", "focal_mm"],
        "record": None,
    }
