"""What was seen, the sky, notes, snags, ticks and batteries, line by line."""

import pytest

from obslog.club.checklist.step_ticks import NoSuchStep
from obslog.club.evening.tending_lines import NothingSaid
from obslog.club.night.arrival_corrections import NoSuchArrival
from obslog.club.night.observation_corrections import NoSuchObservation
from obslog.club.night.open_night import NoOpenNight
from obslog.club.register import named_records
from obslog.club.routine.routine_loading import load_routine
from obslog.errors import NothingToChange, ObslogError, UnknownName, WrongInput
from obslog.grammar.sky_readings import UnreadableSky
from obslog.grammar.target_names import UnknownTarget
from obslog.grammar.told_words import UnreadableSetting
from obslog.records.database import Database
from tests.club.evening.typing import Typing
from tests.club.routine.own_step import OWN_STEP


@pytest.fixture
def typing(club: Database) -> Typing:
    return Typing(club).begun()


def test_what_was_seen_is_kept_with_how(typing: Typing) -> None:
    typing("21:05 sa m81; oval glow, brighter middle")
    typing("sus m82; a streak")
    typing("not-seen m51")
    assert typing.rows("SELECT target, sighting, description FROM observations ORDER BY id") == [
        ("M 81", "seen", "oval glow, brighter middle"),
        ("M 82", "suspected", "a streak"),
        ("M 51", "not seen", None),
    ]


def test_a_sentence_is_never_kept_as_the_name_of_an_object(typing: Typing) -> None:
    with pytest.raises(UnknownTarget):
        typing("saw something with a big oval glow")
    typing("saw m81 a big oval glow, averted")
    assert typing.rows("SELECT target, description, vision FROM observations") == [
        ("M 81", "a big oval glow", "averted")
    ]


def test_a_snag_belongs_to_its_step_by_any_beginning(typing: Typing) -> None:
    typing("sn key summer time was on; again")
    assert typing.rows("SELECT step, text FROM snags") == [("key-in", "summer time was on; again")]


def test_a_step_of_the_clubs_own_is_ticked_and_has_snags_as_any_other(typing: Typing) -> None:
    load_routine(typing.database, OWN_STEP, "routine.toml", typing.now)
    typing("ti dew both off")
    typing("sn bands one was still on")
    typing("sn level a leg sank")  # left out of the club's checklist, and still a step
    assert typing.rows("SELECT step, value, went_well FROM ticks") == [("dew-heaters", "both off", True)]
    assert typing.rows("SELECT step, text FROM snags ORDER BY id") == [
        ("dew-heaters", "one was still on"),
        ("level", "a leg sank"),
    ]
    with pytest.raises(NoSuchStep):
        typing("ti level")


def test_a_tick_keeps_its_value(typing: Typing) -> None:
    typing("ti battery 12.4")
    typing("ti power 12.6 12.1")
    typing("ti level wrong")
    assert typing.rows("SELECT step, value, went_well FROM ticks ORDER BY id") == [
        ("power", "12.4", True),
        ("power", "12.6 12.1", True),
        ("level", None, False),
    ]


@pytest.mark.parametrize(
    ("typed", "scale", "value"),
    [
        ("sqm 20,9", "sky-meter", 20.9),
        ("meter 20.9", "sky-meter", 20.9),
        ("sky meter 20.9", "sky-meter", 20.9),
        ("ant 2", "antoniadi", 2.0),
        ("cloud 3", "cloud-eighths", 3.0),
        ("naked-eye-limit 5.8", "naked-eye-limit", 5.8),
    ],
)
def test_the_sky_by_any_beginning_of_a_scale(typing: Typing, typed: str, scale: str, value: float) -> None:
    typing(f"sky {typed}")
    assert typing.rows("SELECT scale, value FROM sky_readings") == [(scale, value)]


def test_a_reading_without_a_scale_is_refused(typing: Typing) -> None:
    for line in ("sky 2", "sky s 3", "sky seeing 3 x", "sky"):
        with pytest.raises(WrongInput):
            typing(line)
    with pytest.raises(UnreadableSky):
        typing("sky nonsense 3")
    assert typing.rows("SELECT count(*) FROM sky_readings") == [(0,)]


def test_a_note_is_added_to_the_night(typing: Typing) -> None:
    typing("note dew by midnight; a fox")
    typing("note fog")
    assert typing.rows("SELECT note FROM nights") == [("dew by midnight; a fox\nfog",)]


def test_a_battery_by_a_word_of_its_name_or_the_only_one(typing: Typing) -> None:
    typing("batt lead 12.6 12.1")
    typing("battery 12,4V")
    rows = typing.rows("SELECT rest_volts, load_volts FROM battery_tests ORDER BY id")
    assert rows == [(12.6, 12.1), (12.4, None)]


def test_a_number_that_ends_a_batterys_name_is_not_its_volts(typing: Typing) -> None:
    """Whose name is Battery 3 was told that 12.4 V under load is more than 3 V at rest."""
    for name in ("Battery 3", "Battery 4"):
        named_records.add(typing.database, "item", name, {"sort": "battery"}, typing.now)
    typing("battery battery 3 12.4")
    typing("battery 4 12.6 12.1")
    rows = typing.rows("SELECT rest_volts, load_volts FROM battery_tests ORDER BY id")
    assert rows == [(12.4, None), (12.6, 12.1)]
    with pytest.raises(ObslogError, match="under load is more than"):
        typing("battery lead 12.1 12.6")


def test_without_a_night_nothing_is_noted(club: Database) -> None:
    for line in ("note fog", "sky ant 2", "saw m81"):
        with pytest.raises(NoOpenNight):
            Typing(club)(line)


def test_what_was_seen_is_corrected_by_its_number_or_the_last(typing: Typing) -> None:
    typing("21:05 sa m81; oval")
    typing("21:10 not-seen m51")
    typing("edit saw 1; round, not oval")
    typing("21:12 edit saw")
    query = "SELECT target, sighting, description, at_utc FROM observations ORDER BY id"
    assert [(*row[:3], str(row[3])[11:16]) for row in typing.rows(query)] == [
        ("M 81", "seen", "round, not oval", "21:05"),
        ("M 51", "not seen", None, "21:12"),
    ]
    assert typing("edit saw remove").value.removed.target == "M 51"
    assert typing.rows("SELECT count(*) FROM observations") == [(1,)]


def test_the_last_that_was_seen_is_the_last_typed_in_and_not_the_latest(typing: Typing) -> None:
    typing("21:20 sa m81; oval")
    typing("21:10 sa m51; dim")
    typing("edit saw; round")
    query = "SELECT target, description FROM observations ORDER BY target"
    assert typing.rows(query) == [("M 51", "round"), ("M 81", "oval")]
    assert typing("edit saw remove").value.removed.target == "M 51"
    assert typing("edit saw remove").value.removed.target == "M 81"
    for line in ("edit saw; more", "edit saw 0 remove"):
        with pytest.raises(NoSuchObservation):
            typing(line)


def test_a_number_that_is_none_is_no_other(typing: Typing) -> None:
    typing("sa m81")
    typing("g m81")
    with pytest.raises(NoSuchObservation, match="no observation 0"):
        typing("edit saw 0 remove")
    with pytest.raises(NoSuchArrival, match="no arrival 0"):
        typing("edit 0 remove")


def test_a_snag_needs_words(typing: Typing) -> None:
    with pytest.raises(NothingSaid, match="Nothing stands behind snag key"):
        typing("sn key")


def test_an_underscore_in_volts_is_a_slip_and_no_digit(typing: Typing) -> None:
    with pytest.raises(UnknownName, match=r"no battery named '1_2[.]6'"):
        typing("battery 1_2.6")


def test_what_was_added_to_the_night_is_named_when_it_is_undone(typing: Typing) -> None:
    typing("sky meter 20.9")
    typing("note dew")
    assert [typing("u").value["undone"] for _ in range(2)] == [
        "add a note to the night",
        "add the sky to the night",
    ]


def test_object_and_settings_of_what_was_seen_are_corrected_too(typing: Typing) -> None:
    typing("21:05 sa m81; oval")
    typing("edit saw 1 m82 rating 4 averted")
    query = "SELECT target, rating, vision, sighting, description FROM observations"
    assert typing.rows(query) == [("M 82", 4, "averted", "seen", "oval")]
    typing("edit saw not seen; clouds")
    assert typing.rows(query) == [("M 82", 4, "averted", "not seen", "clouds")]
    typing("edit saw ms82", target="M 81")
    assert typing.rows(query)[0][0] == "M 81"
    typing('edit saw "gran\'s smudge"!')
    assert typing.rows(query)[0][0] == "gran's smudge"
    with pytest.raises(UnknownTarget):
        typing("edit saw 1 ms82")
    with pytest.raises(UnreadableSetting):
        typing("edit saw 1 m82 round")
    with pytest.raises(NothingToChange):
        typing("edit saw 1")


@pytest.mark.parametrize(
    ("typed", "value", "went_well"),
    [
        ("ti level; wrong", None, False),
        ("ti key-in 52 12 N; read aloud", "52 12 N; read aloud", True),
        ("ti key-in 52 12 N; wrong", "52 12 N", False),
    ],
)
def test_no_word_of_a_tick_is_lost(typing: Typing, typed: str, value: str | None, went_well: bool) -> None:
    ticked = typing(typed).value
    assert (ticked.value, ticked.went_well) == (value, went_well)
