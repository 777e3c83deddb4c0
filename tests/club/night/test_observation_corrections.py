"""An entry of the observing record is corrected, and what it said before is kept."""

from datetime import datetime

import pytest

from obslog.club.night.observation_corrections import (
    NoSuchObservation,
    edit_observation,
    remove_observation,
    show_observation,
)
from obslog.club.night.observation_lines import list_observations
from obslog.club.night.observations import ObservationEntry, record_observations
from obslog.club.night.open_night import NightChoice
from obslog.club.night.plausibility import BelowHorizon
from obslog.club.register.undo import undo
from obslog.errors import NothingToChange
from obslog.records.database import Database
from obslog.vocabulary.observations import FindingMethod

OPEN = NightChoice()


@pytest.fixture
def seen(evening: Database, now: datetime) -> Database:
    """The evening with one entry: M 81, an oval glow."""
    record_observations(evening, "M 81", ObservationEntry(description="oval glow", at="21:00"), now)
    return evening


def test_only_what_is_said_changes_and_the_old_words_are_kept(seen: Database, now: datetime) -> None:
    before = show_observation(seen, 1, OPEN).entry
    edit_observation(seen, 1, ObservationEntry(rating=3), now)
    edit_observation(seen, 1, ObservationEntry(description="round"), now)
    page = show_observation(seen, 1, OPEN)
    assert (page.entry.target, page.entry.at, page.entry.rating) == ("M 81", before.at, 3)
    assert [(c.what, c.before, c.after, c.undone) for c in page.corrections] == [
        ("rating", None, 3, False),
        ("description", "oval glow", "round", False),
    ]
    undo(seen, now)
    page = show_observation(seen, 1, OPEN)
    assert (page.entry.description, page.corrections[1].undone) == ("oval glow", True)


def test_another_object_or_time_has_another_altitude(seen: Database, now: datetime) -> None:
    before = show_observation(seen, 1, OPEN).entry.alt_deg
    edit_observation(seen, 1, ObservationEntry(), now, target="M 44")
    assert show_observation(seen, 1, OPEN).entry.alt_deg != before


def test_a_correction_that_cannot_be_meant_changes_nothing(seen: Database, now: datetime) -> None:
    before = show_observation(seen, 1, OPEN)
    with pytest.raises(BelowHorizon):
        edit_observation(seen, 1, ObservationEntry(), now, target="Altair")
    with pytest.raises(NothingToChange):
        edit_observation(seen, 1, ObservationEntry(), now)
    for number in (0, 2):
        with pytest.raises(NoSuchObservation, match="numbered 1 to 1"):
            edit_observation(seen, number, ObservationEntry(rating=3), now)
    assert show_observation(seen, 1, OPEN) == before


def test_an_entry_is_taken_off_the_record_and_comes_back(seen: Database, now: datetime) -> None:
    record_observations(seen, "M 44", ObservationEntry(at="21:10"), now)
    before = list_observations(seen, OPEN)
    assert remove_observation(seen, 1, now).removed == before[0]
    assert [(line.number, line.target) for line in list_observations(seen, OPEN)] == [(1, "M 44")]
    with pytest.raises(NoSuchObservation):
        remove_observation(seen, 2, now)
    undo(seen, now)
    assert list_observations(seen, OPEN) == before


def test_an_entry_that_was_with_the_naked_eye_loses_what_it_had_of_the_setup(
    seen: Database, now: datetime
) -> None:
    entry = edit_observation(seen, 1, ObservationEntry(found_by=FindingMethod.NAKED_EYE), now).entries[0]
    assert (entry.eyepiece, entry.magnification) == (None, None)
    undo(seen, now)
    edit_observation(seen, 1, ObservationEntry(magnification=43.0), now)  # within a tenth of 40: taken
    entry = edit_observation(seen, 1, ObservationEntry(found_by=FindingMethod.BINOCULARS), now).entries[0]
    assert (entry.eyepiece, entry.magnification) == ("Wide 25", 43.0)  # what was said of it stays
    entry = edit_observation(seen, 1, ObservationEntry(eyepiece="none"), now).entries[0]
    assert (entry.eyepiece, entry.magnification) == (None, None)


def test_another_eyepiece_and_observer_are_told_by_their_names(seen: Database, now: datetime) -> None:
    edit_observation(seen, 1, ObservationEntry(eyepiece="none"), now, observer="Bram Ostler")
    told = {c.what: (c.before, c.after) for c in show_observation(seen, 1, OPEN).corrections}
    assert (told["observer"], told["eyepiece"]) == (("Ines", "Bram Ostler"), ("Wide 25", None))
