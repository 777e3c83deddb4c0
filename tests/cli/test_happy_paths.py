"""Every command does its work, for people and for scripts."""

from pathlib import Path

import pytest

from tests.cli.program import Program


def keys(document: dict[str, object]) -> set[str]:
    return set(document)


NAMED = {"name", "note", "retired_on", "retired_why"}


@pytest.mark.parametrize(
    ("words", "own_keys"),
    [
        (
            ["site", "add", "Dune", "--lat", "52 12 N", "--lon", "-3.1", "--tz", "Europe/London"],
            {"lat_deg", "lon_deg", "elevation_m", "zone"},
        ),
        (["member", "add", "Zoë O'Brien"], set()),
        (
            ["mount", "add", "Otter", "--type", "altaz", "--controller", "model", "--refraction"],
            {"mount_type", "controller", "refraction"},
        ),
        (["tube", "add", "Stub", "--aperture-mm", "77", "--focal-mm", "489"], {"aperture_mm", "focal_mm"}),
        (
            ["eyepiece", "add", "Stop", "--focal-mm", "25", "--field-deg", "53", "--field-stop-mm", "21.6"],
            {"focal_mm", "field_deg", "field_stop_mm"},
        ),
        (["item", "add", "Red torch", "--category", "lamp"], {"sort"}),
    ],
)
def test_a_thing_is_added_listed_shown_edited_and_retired(
    program: Program, words: list[str], own_keys: set[str]
) -> None:
    kind, _, name = words[:3]
    added = program.document(*words)
    assert own_keys | NAMED <= keys(added)
    assert added["name"] == name
    assert program.document(kind, "show", name.upper()) == added
    assert program.document(kind, "list") == [added]
    assert name in program.must(kind, "list").out
    edited = program.document(kind, "edit", name, "--rename", "Other", "--note", "lent out")
    assert (edited["name"], edited["note"]) == ("Other", "lent out")
    assert program.document(kind, "retire", "other", "--why", "worn")["retired_why"] == "worn"
    assert program.document(kind, "list") == []
    assert program.document(kind, "list", "--all")[0]["retired_on"] == "2026-03-02"


def test_an_empty_list_says_what_to_do(program: Program) -> None:
    answer = program.must("mount", "list")
    assert answer.out == ""
    assert "obslog mount add" in answer.err


def test_piped_fields_are_name_and_value_with_a_tab_between(in_club: Program) -> None:
    lines = in_club.must("site", "show", "Mill Field").out.splitlines()
    assert dict(line.split("\t") for line in lines)["zone"] == "Europe/London"


def test_piped_tables_have_the_same_number_of_cells_in_every_line(outside: Program) -> None:
    outside.must("check", "Vega", "lost", "--note", "tab\there\nand a line end")
    table = outside.must("setup", "show").out.split("\n\n")[1]
    assert {line.count("\t") for line in table.splitlines()} == {8}
    assert len(table.splitlines()) == 4


@pytest.mark.parametrize("role", ["sync", "check", "goto"])
def test_an_arrival_is_recorded_in_one_line(outside: Program, role: str) -> None:
    answer = outside.must(role, "alf", "Lyr", "3E", "2N")
    assert answer.out == f"3.  21:40  {role}  Vega  3.0E 2.0N  (Heron)\n"
    assert answer.err == ""


def test_an_arrival_as_json_has_offset_in_both_directions(outside: Program) -> None:
    recorded = outside.document("goto", "M", "31", "0.5f", "W")
    # Field by the eyepiece's apparent field: 53 deg / (1000 mm / 25 mm) = 1.325 deg = 79.5'; half of it is 39.75'.
    assert recorded["arrival"]["offset_east_arcmin"] == pytest.approx(-39.75)
    assert recorded["arrival"]["offset_north_arcmin"] == 0
    assert recorded["arrival"]["at_utc"] == "2026-03-02T21:40:00Z"
    assert recorded["remarks"] == []


def test_an_unknown_object_is_kept_and_remarked_upon_where_it_is_to_be_kept(outside: Program) -> None:
    answer = outside.must("goto", "Regulos", "edge", "--as-written")
    assert "Regulos" in answer.out
    assert "Did you mean Regulus" in answer.err


def test_edit_and_undo_put_slips_right(outside: Program) -> None:
    assert outside.must("edit", "--where", "3W 4N").out.endswith("3.0W 4.0N  (Heron, night of 2026-03-02)\n")
    assert outside.must("undo").out.startswith("Undone: ")
    assert outside.document("setup", "show")["arrivals"][1]["offset"] == "3.0E 4.0N"


def test_an_arrival_is_removed_and_named(outside: Program) -> None:
    count = len(outside.document("setup", "show")["arrivals"])
    removed = outside.must("edit", "2", "--remove").out
    assert removed == "Removed: 2.  21:38  check  Procyon  (Heron, night of 2026-03-02)\n"
    assert len(outside.document("setup", "show")["arrivals"]) == count - 1
    outside.must("undo")
    removed = outside.document("edit", "2", "--remove")["removed"]
    assert removed["offset"] == "3.0E 4.0N"
    assert outside("edit", "1", "--remove", "--note", "why").code == 2


def test_what_is_questioned_at_the_keyboard_is_taken_with_sure(outside: Program) -> None:
    answer = outside("sync", "Altair", "3E")
    assert (answer.code, len(answer.error_lines)) == (2, 2)
    assert "below the horizon" in answer.error_lines[0]
    assert outside.document("sync", "Altair", "3E", "--sure")["arrival"]["target"] == "Altair"


def test_an_empty_note_takes_the_note_away(outside: Program) -> None:
    outside.must("edit", "--note", "wind")
    outside.must("edit", "--note", "")
    assert outside.document("setup", "show")["arrivals"][1]["note"] is None


def test_the_night_is_shown_with_its_objects_and_ended(outside: Program) -> None:
    (seen,) = outside.document("saw", "M", "81", "-n", "oval glow", "--by", "star-hop")["entries"]
    assert (seen["target"], seen["sighting"]) == ("M 81", "seen")
    outside.must("night", "note", "--sky", "antoniadi 2", "--note", "dew")
    page = outside.document("night", "show")
    assert (page["night"], page["site"], page["present"], page["open"]) == (
        "2026-03-02", "Mill Field", ["Ines"], True,
    )  # fmt: skip
    assert [o["target"] for o in page["observations"]] == ["M 81"]
    assert page["setups"][0]["arrivals"] == 2
    assert outside.document("night", "end")["open"] is False
    assert outside.document("night", "list")[0]["arrivals"] == 2
    assert "2026-03-02\tMill Field\t1\t2" in outside.must("night", "list").out


def test_a_snag_is_added_listed_and_mended(outside: Program) -> None:
    snag = outside.document("snag", "add", "power", "plug", "came", "loose")
    assert (snag["step"], snag["text"], snag["about"]) == ("power", "plug came loose", "Heron")
    assert snag["reference"] in outside.must("snag", "list").out
    assert outside.document("snag", "fix", snag["reference"], "tied", "down")["remedy"] == "tied down"
    assert outside.document("snag", "list") == []
    assert len(outside.document("snag", "list", "--all")) == 1


def test_a_service_is_added_and_listed(in_club: Program) -> None:
    done = in_club.document("service", "add", "Heron", "worm", "cleaned", "--mechanical", "--by", "Ines")
    assert (done["done_on"], done["mechanical"]) == ("2026-03-02", True)
    assert in_club.document("service", "list", "Heron") == [done]
    assert "worm cleaned" in in_club.must("service", "list").out


def test_the_trend_has_the_agreed_keys(outside: Program) -> None:
    trend = outside.document("pointing", "trend", "Heron")
    assert {"mount", "setups", "slope", "alarms", "verdict"} <= keys(trend)
    (setup,) = trend["setups"]
    assert {"night", "setup", "arrivals", "half_land_within_arcmin", "low_arcmin", "high_arcmin"} <= keys(
        setup
    )
    assert (trend["mount"], trend["slope"], trend["verdict"]) == ("Heron", None, "too few nights")
    assert "Too few nights" in outside.must("pointing", "trend", "heron").out


def test_the_checklist_is_there_for_people_and_for_scripts(in_club: Program) -> None:
    made = in_club.document("checklist", "Heron", "--site", "Mill Field", "--at", "2026-07-02T21:00:00Z")
    assert (made["mount"], made["site"], made["local"]) == ("Heron", "Mill Field", "2026-07-02 22:00")
    text = in_club.must("checklist", "Heron", "--site", "Mill Field", "--short").out
    assert "Sun" in text.splitlines()[0]
    assert [step["title"] for step in made["steps"]] == [
        line.split(". ", 1)[1].split(" [")[0] for line in text.splitlines()[2:] if line.lstrip()[:1].isdigit()
    ]


def test_a_checklist_may_be_for_a_time_of_this_evening_in_utc(in_club: Program) -> None:
    made = in_club.document("checklist", "Heron", "--site", "Mill Field", "--at", "22:15 UTC")
    assert made["at_utc"] == "2026-03-02T22:15:00Z"


def test_the_database_is_named_copied_and_checked(in_club: Program, tmp_path: Path) -> None:
    assert in_club.document("db", "where") == {"database": in_club.environment["OBSLOG_DB"]}
    copy = tmp_path / "copy.db"
    in_club.must("db", "backup", str(copy))
    in_club.environment["OBSLOG_DB"] = str(copy)
    assert in_club.document("db", "check") == {
        "complaints": [],
        "kept": {"computed_again": 0, "differ": []},
        "findings": [],
        "repaired": [],
        "copy": None,
    }
    assert [m["name"] for m in in_club.document("mount", "list")] == ["Bracken", "Heron", "Thistle"]


def test_an_option_goes_before_the_environment(program: Program, tmp_path: Path) -> None:
    other = tmp_path / "other.db"
    assert program.must("--db", str(other), "member", "add", "Ines").err == f"New database: {other}\n"
    assert program.document("member", "list") == []
    assert program("--db", str(other), "member", "show", "Ines").code == 0


def test_the_version_is_said(program: Program) -> None:
    from obslog import __version__

    assert program.must("--version").out == f"obslog {__version__}\n"


def test_the_same_line_twice_is_refused_the_second_time(outside: Program) -> None:
    outside.must("check", "Vega", "1E")
    second = outside("check", "Vega", "1E")
    assert second.code == 2
    assert "on record already, as number 3" in second.err
    outside.must("check", "Vega", "1E", "--at", "21:39")
