"""Wrong input: two lines, exit code 1 or 2, no traceback, and nothing written."""

import hashlib
import sqlite3
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest

from tests.cli.program import Answer, Program

SITE = ["--lat", "52.2", "--lon", "0.1", "--tz", "Europe/London"]


def content(path: str) -> str:
    """What a database holds, whatever the state of its files."""
    with closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True)) as connection:
        return hashlib.sha256("\n".join(connection.iterdump()).encode()).hexdigest()


def refused(program: Program, *words: str) -> Answer:
    """The answer to a line that must be refused in two lines, leaving everything as it was."""
    path = program.environment["OBSLOG_DB"]
    before = content(path)
    answer = program(*words)
    assert answer.code in (1, 2), answer
    assert answer.out == ""
    assert len(answer.error_lines) == 2, answer.err
    assert all(line.strip() for line in answer.error_lines)
    assert content(path) == before
    return answer


@pytest.mark.parametrize(
    ("line", "code", "said"),
    [
        ("site add Dune --lat 95 --lon 0 --tz Europe/London", 2, "Latitude 95"),
        ("site add Dune --lat 45 --lon 181 --tz Europe/London", 2, "Longitude 181"),
        ("site add Dune --lat 45 --tz Europe/London", 2, "--place"),
        ("site add Dune --place|52.2 0.12|--lon 3 --tz Europe/London", 2, "given twice"),
        ("site add Dune --place 52,12 --tz Europe/London", 2, "semicolon"),
        ("site edit|Mill Field|--place|0.12 52.2|", 2, "Did you mean 52.2° north, 0.12° east"),
        ("site add Dune --lat north --lon 0 --tz Europe/London", 2, "north"),
        ("site add Dune --lat nan --lon 0 --tz Europe/London", 2, "nan"),
        ("site add Dune --lat 45 --lon 0 --tz Europe/Lundon", 2, "Europe/London"),
        ("site add Dune --lat 40 --lon 74 --tz America/New_York", 2, "-74"),
        ("site add Dune --lat 45 --lon 0 --tz Europe/London --elevation-m 1e9", 2, "levation"),
        ("site edit|Mill Field|", 2, "Nothing was given"),
        ("site edit|Mill Field|--lat 95", 2, "Latitude 95"),
        ("member add INES", 2, "Another member is named"),
        ("eyepiece add|Wide 25|--focal-mm 25 --field-deg 53", 2, "Another eyepiece is named"),
        ("member add|  |", 2, "name"),
        ("member edit Inez --note x", 2, "Did you mean Ines"),
        ("member retire Ines --on 2027-01-01", 2, "2027-01-01"),
        ("member retire Ines --on 2026-02-30", 2, "2026-02-30"),
        ("mount add X --type dobson --controller shift", 2, "german"),
        ("mount show Heran", 2, "Did you mean Heron"),
        ("tube add X --aperture-mm 0 --focal-mm 1000", 2, "perture"),
        ("tube add X --aperture-mm inf --focal-mm 1000", 2, "inf"),
        ("eyepiece add X --focal-mm 25 --field-deg nan", 2, "nan"),
        ("item show torch", 2, "torch"),
        ("night start|Mill Feild|", 2, "Did you mean Mill Field"),
        ("night start|Mill Field|--on 2026-03-05", 2, "2026-03-05"),
        ("night start|Mill Field|--with Innes", 2, "Did you mean Ines"),
        ("night start|Mill Field|--sky|antoniadi 9|", 2, "9"),
        ("night start|Mill Field|--sky murky", 2, "murky"),
        ("night end", 1, "No night is open"),
        ("night show", 1, "night"),
        ("night list --most 0", 2, "--most"),
        ("setup start Heron", 1, "No night is open"),
        ("setup show", 1, "set-up"),
        ("sync Vega 1E", 1, "No set-up is open"),
        ("edit 1 --where 1E", 1, "set-up"),
        ("undo --nothing", 2, "--nothing"),
        ("saw M 31", 1, "No night is open"),
        ("snag add keyni clock", 2, "key-in"),
        ("snag fix zzz", 1, "zzz"),
        ("snag list --mount Heran", 2, "Did you mean Heron"),
        ("service add Heron oiled --on 2026-12-01", 2, "2026-12-01"),
        ("service add Heran oiled", 2, "Did you mean Heron"),
        ("pointing trend Heran", 2, "Did you mean Heron"),
        ("pointing trend Heron", 1, "no arrivals"),
        ("checklist Heron", 2, "--site"),
        ("checklist Heron --site Mull", 2, "Mull"),
        ("checklist Heron --site|Mill Field|--at 25:00", 2, "25:00"),
        ("checklist Heron --site|Mill Field|--member Innes", 2, "Did you mean Ines"),
        ("import arrivals not-there.csv", 1, "not-there.csv"),
        ("export arrivals --mount Heran", 2, "Did you mean Heron"),
        ("export arrivals --from March", 2, "March"),
        ("db backup no-such-folder/copy.db", 1, "no-such-folder"),
    ],
)
def test_wrong_input_in_the_club_house(in_club: Program, line: str, code: int, said: str) -> None:
    answer = refused(in_club, *words(line))
    assert answer.code == code
    assert said in answer.err


@pytest.mark.parametrize(
    ("line", "code", "said"),
    [
        ("sync Vega 3Q", 2, "3Q"),
        ("sync Vega nanE", 2, "nanE"),
        ("check Vega 1e999E", 2, "1e999E"),
        ("check Vega 99999E", 2, "99999"),
        ("check Vega 4s E", 2, "@"),
        ("check Foo 4s E @16x --as-written", 2, "declination"),
        ("check Foo 4s E @16x", 2, "--as-written"),
        ("check Vega 1E --field inf", 2, "inf"),
        ("check Vega 1E --field wide", 2, "it must be a valid number"),
        ("check Vega 1E --pier left", 2, "left"),
        ("check Vega 1E --ra 3", 2, "--dec"),
        ("check Vega 1E --ra nan --dec 1", 2, "nan"),
        ("check Vega 1E --at 23:59", 2, "has not come yet"),
        ("check Vega 1E --at 2026-03-01T21:00:00Z", 2, "not in the night"),
        ("check Vega 1E --at tea-time", 2, "tea-time"),
        ("check Vega 1E --mount Otter", 2, "Otter"),
        ("check Vega 1E --observer Innes", 2, "Did you mean Ines"),
        ("check Vega 1E --eyepiece|Wide 52|", 2, "Did you mean Wide 25"),
        ("check||1E", 2, "target"),
        ("edit 9 --where 1E", 1, "1 to 2"),
        ("edit", 2, "Nothing was given"),
        ("edit 2 --role look", 2, "look"),
        ("edit 2 --note|  |", 2, "note"),
        ("saw M 31 --by magic", 2, "magic"),
        ("saw M 31 --magnification 9999", 2, "magnification 9999 is not"),
        ("setup show --setup 7", 1, "set-up"),
        ("setup start Heron --tube|Lang tube|", 2, "Did you mean Long tube"),
    ],
)
def test_wrong_input_in_the_dark(outside: Program, line: str, code: int, said: str) -> None:
    answer = refused(outside, *words(line))
    assert answer.code == code
    assert said in answer.err


@pytest.mark.parametrize(
    ("line", "meant"),
    [
        ("nihgt list", "night"),
        ("sinc Vega", "sync"),
        ("night strat|Mill Field|", "start"),
        ("night list --mots 3", "--most"),
        ("setup start Heron --tub|Long tube|", "--tube"),
        ("checklist Heron --sight|Mill Field|", "--site"),
    ],
)
def test_a_slip_in_a_command_or_option_is_answered_with_the_one_meant(
    in_club: Program, line: str, meant: str
) -> None:
    answer = refused(in_club, *words(line))
    assert answer.code == 2
    assert meant in answer.error_lines[0]
    assert "--help" in answer.error_lines[1]


@pytest.mark.parametrize("group", [[], ["night"], ["pointing"], ["import"]])
def test_nothing_typed_shows_the_help(in_club: Program, group: list[str]) -> None:
    answer = in_club(*group)
    assert answer.code == 2
    assert answer.out == ""
    assert answer.err.startswith("Usage: obslog")


def test_a_local_time_that_came_twice_is_refused_with_both_readings(in_club: Program) -> None:
    # The clocks of London went back from 02:00 BST to 01:00 GMT at 01:00 UTC on 25 October 2026 (IANA time zone
    # database, rule EU: the last Sunday of October).
    in_club.now = in_club.now.replace(month=10, day=25, hour=3)
    in_club.must("night", "start", "Mill Field", "--on", "2026-10-24")
    in_club.must("setup", "start", "Heron", "--at", "23:00")
    answer = refused(in_club, "sync", "Vega", "1E", "--at", "01:30")
    assert "00:30Z" in answer.err
    assert "01:30Z" in answer.err
    assert "01:30" in in_club.must("sync", "Vega", "1E", "--at", "00:30Z").out


def test_a_local_time_that_never_came_is_refused(in_club: Program) -> None:
    # Forward at 01:00 UTC on 29 March 2026 (the same rule: the last Sunday of March).
    in_club.now = in_club.now.replace(month=3, day=29, hour=3)
    in_club.must("night", "start", "Mill Field", "--on", "2026-03-28")
    in_club.must("setup", "start", "Heron", "--at", "23:00")
    assert "never came" in refused(in_club, "sync", "Vega", "1E", "--at", "01:30").err


def test_the_morning_after_says_that_the_night_is_over(outside: Program) -> None:
    outside.now += timedelta(days=1)
    answer = refused(outside, "check", "Vega", "1E")
    assert "past its noon" in answer.err
    outside.must("check", "Vega", "1E", "--at", "21:39")


@pytest.mark.parametrize("content_of_file", [b"", b"my observing notes\n" * 100])
def test_a_file_that_is_no_database_is_not_touched(
    program: Program, tmp_path: Path, content_of_file: bytes
) -> None:
    file = tmp_path / "notes.txt"
    file.write_bytes(content_of_file)
    answer = program("--db", str(file), "member", "add", "Ines")
    assert (answer.code, len(answer.error_lines)) == (1, 2)
    assert file.read_bytes() == content_of_file


def test_an_export_never_writes_over_a_file(outside: Program, tmp_path: Path) -> None:
    sheet = tmp_path / "march.csv"
    sheet.write_text("mine")
    assert "there already" in refused(outside, "export", "arrivals", str(sheet)).err
    assert sheet.read_text() == "mine"


def test_a_failed_export_leaves_no_file_behind(outside: Program, tmp_path: Path) -> None:
    sheet = tmp_path / "march.csv"
    refused(outside, "export", "arrivals", str(sheet), "--mount", "Heran")
    assert not sheet.exists()


def test_a_backup_never_writes_over_a_file(outside: Program, tmp_path: Path) -> None:
    copy = tmp_path / "copy.db"
    copy.write_text("mine")
    refused(outside, "db", "backup", str(copy))
    assert copy.read_text() == "mine"


def test_the_unexpected_is_one_line_unless_the_whole_story_is_asked_for(
    in_club: Program, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_arguments: object, **_options: object) -> None:
        raise ZeroDivisionError("no such luck")

    monkeypatch.setattr("obslog.club.register.named_records.listed", fail)
    answer = in_club("mount", "list")
    assert (answer.code, len(answer.error_lines)) == (70, 2)
    assert "no such luck" in answer.err
    in_club.environment["OBSLOG_DEBUG"] = "1"
    told = in_club("mount", "list")
    assert told.code == 70
    assert told.error_lines[1].strip() == "Traceback (most recent call last):"
    assert told.error_lines[-2].strip() == "ZeroDivisionError: no such luck"


def words(line: str) -> list[str]:
    """A command line; between bars stands what is quoted in a shell."""
    parts = line.split("|")
    return [word for n, part in enumerate(parts) for word in ([part] if n % 2 else part.split())]
