"""From the sheet to the words: nights whose offsets were typed in degrees."""

import numpy as np

from obslog.club.performance.mount_fit import fit_mount
from obslog.records.database import Database
from tests.club.over_time.knocked_clubs import NIGHTS, put_mounts, steady

TYPED = [NIGHTS[5], NIGHTS[17]]


def test_nights_typed_in_degrees_are_named(sqlite_database: Database) -> None:
    typed = np.array([1 / 60 if night in TYPED else 1.0 for night in NIGHTS])
    mounts = {"Heron": steady()}
    put_mounts(sqlite_database, np.random.default_rng(4), mounts, polar_sd_arcmin=30.0, typed=typed)
    (told,) = [words for words in fit_mount(sqlite_database, "Heron").words if "degrees written" in words]
    assert told.startswith(f"offsets of the nights of {TYPED[0]} and {TYPED[1]}, ")
    assert told.endswith(
        f"Were degrees written for arcminutes? See obslog setup show Heron --night {TYPED[0]}"
    )


def test_of_nights_typed_in_arcminutes_nothing_is_said(sqlite_database: Database) -> None:
    put_mounts(sqlite_database, np.random.default_rng(4), {"Heron": steady()}, polar_sd_arcmin=30.0)
    assert not any("degrees written" in words for words in fit_mount(sqlite_database, "Heron").words)
