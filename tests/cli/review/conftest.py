"""The program where a mount was mended."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from tests.cli.program import Program, written_once
from tests.cli.review.mended_club import MOUNTS, NIGHTS, OBSERVERS, SERVICED, write_sheet


@pytest.fixture
def mended(program: Program) -> Program:
    """The program two days after the last of the 40 nights; the gears were rebuilt before the 21st."""
    program.now = datetime.combine(NIGHTS[-1] + timedelta(days=2), datetime.min.time(), UTC)
    return written_once(program, type_mended)


def type_mended(program: Program) -> None:
    tarn = ("--lat", "54.6", "--lon", "-3.1", "--elevation-m", "180", "--tz", "Europe/London")
    program.must("site", "add", "Tarn", *tarn)
    program.must("tube", "add", "Long tube", "--aperture-mm", "212", "--focal-mm", "1000")
    for mount in MOUNTS:
        program.must("mount", "add", mount, "--type", "fork", "--controller", "shift", "--refraction")
    for observer in OBSERVERS:
        program.must("member", "add", observer)
    sheet = Path(program.environment["OBSLOG_DB"]).with_name("autumn.csv")
    write_sheet(sheet)
    program.must("import", "arrivals", str(sheet))
    program.must("service", "add", "Mended", "gears rebuilt", "--on", str(SERVICED), "--mechanical")
