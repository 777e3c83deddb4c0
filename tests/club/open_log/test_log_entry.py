"""One observation as an entry: what has a place of its own, and the rest in words."""

from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any

import pytest

from obslog.club.bring_in.intake import Intake
from obslog.club.open_log.log_entry import EntryOf, LogEntry
from obslog.club.open_log.log_names import LogNames
from obslog.exchange.open_log.records import (
    Log,
    LogEyepiece,
    LogFilter,
    LogLens,
    LogObservation,
    LogResult,
    LogScope,
)
from obslog.records.database import Database
from tests.club.open_log.nights import NOW

LOG = Log(
    scopes={
        "s": LogScope(id="s", model="Long tube", aperture_mm=212.0, focal_mm=1000.0),
        "b": LogScope(id="b", model="Ten by fifty", kind="B", aperture_mm=50.0, magnification=10.0),
        "e": LogScope(id="e", model="eye", kind="A"),
    },
    eyepieces={"w": LogEyepiece(id="w", model="Wide 25", focal_mm=25.0)},
    lenses={"l": LogLens(id="l", model="Doubler", factor=2.0)},
    filters={"f": LogFilter(id="f", model="x" * 250)},
)


@pytest.fixture
def names(sqlite_club: Database) -> Iterator[LogNames]:
    with sqlite_club.read() as session:
        made = LogNames(intake=Intake(session=session, rows=(), now=NOW), log=LOG, file="log.xml")
        made.load()
        yield made


def entry(names: LogNames, words: str = "", id: str | None = None, **told: Any) -> LogEntry:
    seen = LogObservation(
        id=id,
        observer=None,
        target=None,
        begin=datetime(2026, 3, 2, tzinfo=UTC),
        results=(LogResult(description=words),),
        **told,
    )
    return EntryOf(LOG, names, "log.xml", None)(seen, [])


@pytest.mark.parametrize(
    ("told", "magnification"),
    [
        ({"scope": "s", "eyepiece": "w"}, 40.0),  # 1000 mm / 25 mm
        ({"scope": "s", "eyepiece": "w", "lens": "l"}, 80.0),
        ({"scope": "s", "eyepiece": "w", "magnification": 41.0}, 41.0),
        ({"scope": "b"}, 10.0),
        ({"scope": "s"}, None),
        ({"scope": "s", "eyepiece": "w", "id": "observation-019a0b1c-2d3e-7f40-8a5b-6c7d8e9f0a1b"}, None),
    ],
)
def test_a_magnification_follows_from_what_was_used_where_none_is_told(
    names: LogNames, told: dict[str, Any], magnification: float | None
) -> None:
    assert entry(names, **told).columns["magnification"] == magnification


@pytest.mark.parametrize(("scope", "found_by"), [("e", "naked eye"), ("b", "binoculars"), ("s", None)])
def test_eye_and_binoculars_are_no_tubes(names: LogNames, scope: str, found_by: str | None) -> None:
    found = entry(names, scope=scope)
    assert found.columns["found_by"] == found_by
    assert (found.tube is None) is (found_by is not None)


def test_our_own_lines_are_columns_again_and_what_they_cannot_say_is_words(names: LogNames) -> None:
    lines = "a glow\n\nNot in the standard:\nsighting: suspected\nvision: sideways\nrating: 9\nmount: Heron\nset-up: 2"
    found = entry(names, lines)
    assert (found.columns["sighting"], found.columns["vision"], found.columns["rating"]) == (
        "suspected",
        None,
        None,
    )
    assert (found.mount and found.mount[1], found.ordinal) == ("Heron", 2)
    assert found.columns["description"] == "a glow\n\nFrom log.xml:\nvision: sideways\nrating: 9"


def test_a_filter_too_long_for_its_field_is_kept_in_words(names: LogNames) -> None:
    found = entry(names, filter="f")
    assert found.columns["filter"] is None
    assert f"filter: {'x' * 250}" in found.columns["description"]


def test_of_several_pictures_the_first_is_the_sketch(names: LogNames) -> None:
    found = entry(names, images=("one.png", "two.png"))
    assert found.columns["sketch"] == "one.png"
    assert found.columns["description"] == "From log.xml:\nimage: two.png"
