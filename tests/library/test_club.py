"""A club that is opened from a program: what it gives, and that nothing of it changes."""

import csv
import io
import shutil
import sqlite3
import subprocess
import sys
from contextlib import closing
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from obslog import open_club
from obslog.cli.main import main
from obslog.errors import UnknownName
from obslog.exchange.arrivals_rows import COLUMNS
from obslog.grammar.typed_times import UnreadableDate
from obslog.records.database import Database
from obslog.records.driver_errors import NoSuchDatabase
from tests.test_docs import READ_AT

ROOT = Path(__file__).resolve().parents[2]


def sheet(club: Path, capsys: pytest.CaptureFixture[str], *words: str) -> list[dict[str, str]]:
    capsys.readouterr()
    assert main(["export", "arrivals", *words], lambda: READ_AT, {"OBSLOG_DB": str(club)}) == 0
    return list(csv.DictReader(io.StringIO(capsys.readouterr().out)))


def test_arrivals_are_the_rows_of_the_sheet(invented_club: Path, capsys: pytest.CaptureFixture[str]) -> None:
    rows = sheet(invented_club, capsys, "--mount", "Bramble")
    with open_club(invented_club) as club:
        arrivals = club.arrivals(mount="Bramble")
    assert arrivals.names == COLUMNS
    assert len(arrivals) == len(rows) > 100
    for arrival, row in zip(arrivals, rows, strict=True):
        assert str(arrival.night) == row["night"]
        assert arrival.utc.astimezone(UTC).isoformat().replace("+00:00", "Z") == row["utc"]
        for name in ("site", "observer", "tube", "role", "target", "pier_side", "landing"):
            assert (getattr(arrival, name) or "") == row[name]
        for name in ("offset_east_arcmin", "offset_north_arcmin", "field_arcmin", "ra_hours"):
            assert getattr(arrival, name) == (float(row[name]) if row[name] else None)


def test_arrivals_can_be_had_of_some_nights_and_of_a_site(invented_club: Path) -> None:
    with open_club(invented_club) as club:
        nights = club.nights()
        last, first = nights[0].night, nights[20].night
        some = club.arrivals(first=first, last=f"{last}")
        there = club.arrivals(site=nights[0].site)
    assert (min(one.night for one in some), max(one.night for one in some)) == (first, last)
    assert len(some) == sum(night.arrivals for night in nights if first <= night.night <= last)
    assert {one.site for one in there} == {nights[0].site}


def test_words_of_a_vocabulary_are_mere_texts(invented_club: Path) -> None:
    with open_club(invented_club) as club:
        arrivals, mounts, trend = club.arrivals(), club.mounts(), club.trend("Bramble")
    values = [
        arrivals[0].role,
        *(one.landing for one in arrivals if one.landing),
        mounts[0].mount_type,
        trend.verdict,
    ]
    assert {type(value) for value in values} == {str}


def test_nights_can_be_had_of_a_site_and_not_all(invented_club: Path) -> None:
    with open_club(invented_club) as club:
        assert len(club.nights(most=5)) == 5
        site = club.nights(most=1)[0].site
        assert {night.site for night in club.nights(site=site)} == {site}


def test_what_goes_wrong_ends_with_what_to_do(invented_club: Path) -> None:
    with open_club(invented_club) as club:
        with pytest.raises(UnknownName, match="no mount named 'Bramle'") as told:
            club.trend("Bramle")
        with pytest.raises(UnreadableDate):
            club.arrivals(first="last week")
    assert told.value.__notes__ == ["Did you mean Bramble?"]


def test_looking_changes_nothing_and_leaves_nothing(invented_club: Path, tmp_path: Path) -> None:
    place = Path(shutil.copy(invented_club, tmp_path / "club.db"))
    main(
        ["snag", "add", "cold"], lambda: READ_AT, {"OBSLOG_DB": str(place)}
    )  # what was kept is out of date now
    before = place.read_bytes()
    with open_club(place) as club:
        club.nights()
        club.arrivals()
        club.fit("Bramble")
        club.trend("Bramble")
    assert place.read_bytes() == before
    assert list(tmp_path.iterdir()) == [place]


def test_what_is_computed_is_kept_where_that_is_asked_for(invented_club: Path, tmp_path: Path) -> None:
    place = Path(shutil.copy(invented_club, tmp_path / "club.db"))
    with sqlite3.connect(place) as connection:
        connection.execute("DELETE FROM kept_results")
    connection.close()
    with open_club(place) as club:
        club.trend("Bramble")
    assert kept_results(place) == 0
    with open_club(place, read_only=False) as club:
        club.trend("Bramble")
    assert kept_results(place) > 0


def kept_results(place: Path) -> int:
    with closing(sqlite3.connect(place)) as connection:
        return int(connection.execute("SELECT count(*) FROM kept_results").fetchone()[0])


@pytest.mark.parametrize("read_only", [True, False])
def test_no_file_is_made_where_there_is_none(read_only: bool, tmp_path: Path) -> None:
    with pytest.raises(NoSuchDatabase, match="there is no such file"):
        open_club(tmp_path / "none.db", read_only=read_only)
    assert list(tmp_path.iterdir()) == []


def test_without_a_name_it_is_the_one_that_the_program_opens(
    invented_club: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("OBSLOG_DB", str(invented_club))
    with open_club() as club:
        assert repr(club) == f"<Club in {invented_club}, read only>"


def test_it_reads_what_is_on_a_server(postgres_database: Database, now: datetime) -> None:
    from obslog.club.night.nights import start_night
    from obslog.club.register.named_records import add

    add(
        postgres_database,
        "site",
        "Mill Field",
        {"lat_deg": 52.2, "lon_deg": 0.1, "zone": "Europe/London"},
        now,
    )
    start_night(postgres_database, "Mill Field", now)
    with open_club(postgres_database.engine.url.render_as_string(hide_password=False)) as club:
        (night,) = club.nights()
        assert (night.night, night.site, night.open) == (date(2026, 3, 2), "Mill Field", True)


def test_asking_for_the_program_loads_no_library() -> None:
    script = (
        "import sys, obslog\n"
        "alone = {name for name in sys.modules if name.startswith('obslog.')}\n"
        "from obslog import open_club\n"
        "print(sorted(alone), [name for name in ('numpy', 'sqlalchemy', 'pandas', 'typer') if name in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "[] []"


def test_what_is_not_there_is_not_there() -> None:
    import obslog

    with pytest.raises(AttributeError, match="no attribute 'open_clubs'"):
        obslog.open_clubs  # noqa: B018
