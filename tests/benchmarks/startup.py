"""How long commands take as whole processes, against the bare imports they cannot do without."""

import os
import resource
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path

from tests.benchmarks.measuring import Report

RUNS = 8
SKY, SKY_AND_RECORDS = "import skyfield.api", "import skyfield.api, sqlalchemy.orm"
SKY_AND_SUMS = "import skyfield.api, scipy.stats"
DEMO_EVENING = "2026-03-02T21:00Z"
QUICK_START = (
    "site add 'Mill Field' --lat 52.2 --lon 0.12 --tz Europe/London",
    "mount add Heron --type german --controller shift",
    "tube add Long --aperture-mm 212 --focal-mm 1000",
)


def seconds_of(command: Sequence[str], environment: dict[str, str]) -> float:
    """Processor time of one run, user and system."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(command, env=environment, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def ratio(
    report: Report, label: str, limit: float, ours: list[list[str]], bare: str, environment: dict[str, str]
) -> None:
    """Run ours and the bare import in turn, the first pair to warm both, and report the ratio of the best of each."""
    python = [sys.executable, "-c", bare]
    pairs = [(seconds_of(command, environment), seconds_of(python, environment)) for command in ours]
    mine, theirs = (min(times) for times in zip(*pairs[1:], strict=True))
    report.add(f"{label}, whole process", f"`{bare}`", mine / theirs, at_most=limit)


def main(report: Report) -> None:
    obslog = [sys.executable, "-m", "obslog"]
    with tempfile.TemporaryDirectory() as folder:
        environment = environment_of(Path(folder), "bench.db")
        for words in QUICK_START:
            subprocess.run(
                f"{sys.executable} -m obslog {words}",
                shell=True,
                env=environment,
                check=True,
                capture_output=True,
            )
        night = (datetime.now(UTC) - timedelta(days=3)).date().isoformat()
        for command in (
            ["night", "start", "mill field", "--on", night],
            ["setup", "start", "heron", "--at", "19:00"],
        ):
            subprocess.run([*obslog, *command], env=environment, check=True, capture_output=True)
        ratio(report, "obslog --help", 1.7, [[*obslog, "--help"]] * RUNS, "import typer", environment)
        checks = [
            [*obslog, "check", "Vega", "3E", "2N", "--at", f"20:{minute:02d}"] for minute in range(RUNS)
        ]
        ratio(report, "a quick verb", 1.75, checks, "import sqlalchemy.orm", environment)
        where = [[*obslog, "sky", "where", "Vega", "--site", "mill field"]] * RUNS
        ratio(report, "sky where", 1.8, where, SKY_AND_RECORDS, environment)
        for command in (["checklist", "heron"], ["brief", "--mount", "heron"]):
            ours = [[*obslog, *command, "--site", "mill field"]] * RUNS
            ratio(report, command[0], 4, ours, SKY_AND_SUMS, environment)
        _in_the_demo_club(report, Path(folder))


def environment_of(folder: Path, database: str) -> dict[str, str]:
    """A database of its own, and modules compiled once, as an installed program's are."""
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    return kept | {"OBSLOG_DB": str(folder / database), "PYTHONPYCACHEPREFIX": str(folder / "compiled")}


def _in_the_demo_club(report: Report, folder: Path) -> None:
    """The long commands, in a club of two years, ten mounts and all objects."""
    obslog = [sys.executable, "-m", "obslog"]
    path = folder / "demo.db"
    environment = environment_of(folder, path.name)
    made = [*obslog, "demo", "--into", str(path)]
    subprocess.run(made, env=environment, check=True, capture_output=True)
    when = [[*obslog, "sky", "when", "M 31", "--site", "Owlpenny Edge", "--at", DEMO_EVENING]] * RUNS
    ratio(report, "sky when through the year", 1.8, when, SKY_AND_RECORDS, environment)
    ratio(report, "the same", 3, when, SKY, environment)
    targets = [[*obslog, "targets", "--site", "Owlpenny Edge", "--at", DEMO_EVENING]] * RUNS
    ratio(report, "targets in the demo club", 3, targets, SKY, environment)
    for words, limit in (("brief", 4), ("checklist", 4), ("targets", 4)):
        mount = ["Bramble"] if words == "checklist" else []
        ours = [[*obslog, words, *mount, "--site", "Owlpenny Edge", "--at", DEMO_EVENING]] * RUNS
        ratio(report, f"{words} in the demo club", limit, ours, SKY_AND_SUMS, environment)
