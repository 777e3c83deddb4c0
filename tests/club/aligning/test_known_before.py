"""What is known of a mount before the first star, and from what."""

from datetime import date

import numpy as np
import pytest

from obslog.club.aligning.known_before import stood_words, what_is_known
from obslog.club.upkeep.services import add_service
from obslog.records.database import Database
from obslog.vocabulary.mounts import MountType
from tests.club.performance.test_mount_fit import NOW, take_in


def test_without_a_record_everything_is_as_usual(club: Database) -> None:
    _, basis, named = what_is_known(club, "heron", None)
    assert basis == ["no set-up of it is on record: errors of the usual size are assumed"]
    assert named == ("Heron", None)


def test_a_service_makes_the_mechanics_unknown_and_the_habit_stays(sqlite_database: Database) -> None:
    take_in(sqlite_database, "german_one_sync")
    known, basis, named = what_is_known(sqlite_database, "Heron", None)
    assert basis[0] == "cone error, squareness and sag from its own 8 set-ups"
    assert named == ("Heron", "Long tube")
    add_service(sqlite_database, "mount", "Heron", "rebuilt", NOW, on=date(2026, 5, 1), mechanical=True)
    rebuilt, basis, _ = what_is_known(sqlite_database, "Heron", None)
    assert basis[0].startswith("serviced on 2026-05-01 and not set up since")
    wider = np.diagonal(rebuilt.mechanical_covariance) > np.diagonal(known.mechanical_covariance)
    assert wider.all()
    assert basis[1].startswith("over 8 set-ups its polar axis stood")


@pytest.mark.parametrize(
    ("mount_type", "mean", "words"),
    [
        # Signs: polar altitude + is too high, azimuth + too far east; a base leans north + and east +.
        (MountType.GERMAN, (4.0, -9.0), "its polar axis stood 4 ± 2' too high and 9 ± 3' too far west"),
        (MountType.FORK, (-4.0, 9.0), "its polar axis stood 4 ± 2' too low and 9 ± 3' too far east"),
        (MountType.ALTAZ, (4.0, -9.0), "its base leaned 4 ± 2' to the north and 9 ± 3' to the west"),
    ],
)
def test_how_an_axis_stands_is_told_by_directions_not_signs(
    mount_type: MountType, mean: tuple[float, float], words: str
) -> None:
    assert stood_words(np.array(mean), np.array([2.0, 3.0]), mount_type) == words
