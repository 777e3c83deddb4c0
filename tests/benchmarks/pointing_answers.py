"""Times what is asked of a fit, and the own trends of a club: `python -m tests.benchmarks pointing_answers`.

The error budget against the fit that it draws from, with all that this one leaves out looked for; that look against the
joint fit alone; and the own trends of all mounts in a club of twenty years against whose error it is there.
"""

from collections.abc import Callable
from datetime import UTC, date, datetime
from tempfile import TemporaryDirectory

import numpy as np
from numpy.random import default_rng

from obslog.club.over_time.own_trends import own_of_club
from obslog.club.performance.error_sources import sources_of
from obslog.club.performance.snapshot import Snapshot, snapshot_of
from obslog.pointing.budget.budget import budget
from obslog.pointing.joint_fit.fit import fit_pointing
from obslog.pointing.misfit.circumstances import Circumstances
from obslog.pointing.misfit.examined import Examined, examine
from obslog.records.database import Database
from obslog.records.kept_results import forget_results
from obslog.records.opening import open_database
from tests.benchmarks.big_club import Size, make_club
from tests.benchmarks.measuring import Report, in_turn
from tests.pointing.joint_fit.pointing_clubs import Club, simulate
from tests.pointing.misfit.disturbed_clubs import GERMAN

SIZES = 10, 300, 1_200
CHECKS, WRONG_SHARE = 5, 0.03
LAST_NIGHT, NOW = date(2026, 3, 2), datetime(2026, 3, 3, tzinfo=UTC)
CLUB = Size(setups=7_000)


def main(report: Report) -> None:
    for setups in SIZES:
        _of_a_fit(report, setups)
    _of_a_club(report)


def _of_a_fit(report: Report, setups: int) -> None:
    club = simulate(default_rng(1), GERMAN, setups=setups, checks=CHECKS, wrong_share=WRONG_SHARE)
    fit, whole = looked_at(club), budget_of(club)
    eras = np.zeros(setups, dtype=np.int64)
    alone, looked, split = in_turn([lambda: fit_pointing(GERMAN, club.arrivals, eras), fit, whole], 3)
    report.add(f"pointing fit of {setups:,} set-ups", "the joint fit alone", looked / alone)
    report.add(f"pointing budget of {setups:,} set-ups", "pointing fit of them", split / looked, at_most=1.5)


def looked_at(club: Club) -> Callable[[], Examined]:
    setups = club.polar.shape[0]
    eras, circumstances = np.zeros(setups, dtype=np.int64), in_turn_by_two(setups)
    return lambda: examine(GERMAN, club.arrivals, eras, circumstances)


def budget_of(club: Club) -> Callable[[], object]:
    examined = looked_at(club)
    return lambda: budget(GERMAN, club.arrivals, examined())


def in_turn_by_two(setups: int) -> Circumstances:
    observers: list[str | None] = ["Ines" if setup % 2 else "Bram" for setup in range(setups)]
    return Circumstances(observers=observers, temperature_c=np.full(setups, np.nan))


def _of_a_club(report: Report) -> None:
    """Both with nothing kept: reading, landings and mathematics."""
    with TemporaryDirectory() as folder:
        database = open_database(f"{folder}/club.db", NOW, lambda _: None)
        make_club(database, LAST_NIGHT, CLUB)
        whose, own = in_turn([lambda: _anew(database, sources_of), lambda: _anew(database, own_of_club)], 3)
        database.close()
    report.add(f"own trends of a club of {CLUB.setups:,} set-ups", "`pointing whose`", own / whose, at_most=3)
    report.add("the same, processor time", "", own, unit=" s")


def _anew(database: Database, asked: Callable[[Snapshot], object]) -> None:
    with database.write(NOW) as session:
        forget_results(session)
    with snapshot_of(database) as snapshot:
        asked(snapshot)
