"""What cannot be said of a mount yet, and the two stars that would settle it."""

from datetime import UTC, datetime

import pytest

from obslog.club.aligning import undetermined_terms
from obslog.club.aligning.known_before import what_is_known
from obslog.club.aligning.undetermined_terms import settling_words
from obslog.club.register.named_records import add
from obslog.club.register.observing_site import observing_site
from obslog.pointing.planning.observable import ObservableLimits
from obslog.records.database import Database
from obslog.vocabulary.mounts import Controller, MountType

EVENING = datetime(2026, 3, 2, 21, tzinfo=UTC)


@pytest.fixture
def new_mount(database: Database, now: datetime) -> Database:
    add(database, "site", "Tarn", {"lat_deg": 54.6, "lon_deg": -3.1, "zone": "Europe/London"}, now)
    add(database, "mount", "Heron", {"mount_type": MountType.GERMAN, "controller": Controller.SHIFT}, now)
    return database


def test_of_a_mount_without_a_record_everything_is_unsaid_and_two_other_stars_are_named(
    new_mount: Database,
) -> None:
    words = settling_words(
        new_mount, "heron", None, observing_site(new_mount, "tarn"), EVENING, ObservableLimits()
    )
    assert words is not None
    assert words.startswith("cone error, squareness and sag not determined yet")
    first = words.split("check ")[1].split(" and then ")[0]
    second = words.split(" and then ")[1].split(";")[0]
    sync = words.rstrip(".").split("Sync on ")[1]
    assert len({first, second, sync}) == 3


def test_a_mount_that_is_known_well_enough_needs_no_star(
    new_mount: Database, monkeypatch: pytest.MonkeyPatch
) -> None:
    known, basis, names = what_is_known(new_mount, "heron", None)
    known.mechanical_covariance[:] = known.mechanical_covariance / 100
    monkeypatch.setattr(undetermined_terms, "what_is_known", lambda *_: (known, basis, names))
    assert (
        settling_words(
            new_mount, "heron", None, observing_site(new_mount, "tarn"), EVENING, ObservableLimits()
        )
        is None
    )
