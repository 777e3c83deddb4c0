"""Each question reads its answers as people give them, and says back what was understood."""

from typing import Any

import pytest

from obslog.cli.register.start_questions import (
    TOPICS,
    NotInTheList,
    StartQuestion,
    UnreadableElevation,
    WhichEquatorial,
)
from obslog.club.register.first_things import NEEDED
from obslog.errors import WrongInput
from obslog.vocabulary.mounts import Controller, MountType


def question(kind: str, label: str) -> StartQuestion:
    return next(question for question in TOPICS[kind].questions if question.label == label)


def test_each_kind_is_asked_for_all_that_it_needs_its_name_first() -> None:
    assert list(TOPICS) == list(NEEDED)
    for kind, topic in TOPICS.items():
        asked = [column for question in topic.questions for column in question.columns]
        needed = [column for column in asked if column != "elevation_m"]  # the one that may stay unknown
        assert tuple(needed) == NEEDED[kind]
        assert needed[0] == "name"


def test_each_question_says_what_it_is_for_in_whole_sentences() -> None:
    for topic in TOPICS.values():
        for text in (topic.purpose, *(question.purpose for question in topic.questions)):
            assert text[0].isupper()
            assert text.endswith((".", "!"))


@pytest.mark.parametrize(
    ("kind", "label", "text", "known", "answer"),
    [
        ("site", "Name", "Fen Edge", {}, {"name": "Fen Edge"}),
        ("site", "Place", "N52.2 E0.12", {}, {"lat_deg": 52.2, "lon_deg": 0.12}),
        ("site", "Time zone", "1", {"lat_deg": 52.2, "lon_deg": 0.12}, {"zone": "Europe/London"}),
        ("site", "Time zone", "lond", {}, {"zone": "Europe/London"}),
        ("site", "Elevation", "20", {}, {"elevation_m": 20.0}),
        ("site", "Elevation", "-3,5 m", {}, {"elevation_m": -3.5}),
        ("site", "Elevation", "0", {}, {"elevation_m": 0.0}),
        ("site", "Elevation", "100 ft", {}, {"elevation_m": 30.5}),  # a foot is 0.3048 m
        ("mount", "Type", "1", {}, {"mount_type": MountType.GERMAN}),
        ("mount", "Type", "Fork", {}, {"mount_type": MountType.FORK}),
        ("mount", "Type", "alt-azimuth", {}, {"mount_type": MountType.ALTAZ}),
        ("mount", "Type", "German EQ mount", {}, {"mount_type": MountType.GERMAN}),
        ("mount", "Type", "GEM", {}, {"mount_type": MountType.GERMAN}),
        ("mount", "Type", "dobsonian", {}, {"mount_type": MountType.ALTAZ}),
        ("mount", "Type", "Alt-az mount", {}, {"mount_type": MountType.ALTAZ}),
        ("mount", "Controller", "mod", {}, {"controller": Controller.MODEL}),
        ("mount", "Controller", "none", {}, {"controller": Controller.NONE}),
        ("mount", "Controller", "3", {}, {"controller": Controller.NONE}),
        ("tube", "Aperture", "200 f/5", {}, {"aperture_mm": 200.0, "focal_mm": 1000.0}),
        ("tube", "Aperture", "200", {}, {"aperture_mm": 200.0}),
        ("tube", "Focal length", "f/5", {"aperture_mm": 200.0}, {"focal_mm": 1000.0}),
        ("eyepiece", "Focal length", "25 mm 52°", {}, {"focal_mm": 25.0, "field_deg": 52.0}),
        ("eyepiece", "Focal length", "25", {}, {"focal_mm": 25.0}),
        ("eyepiece", "Apparent field", "52°", {}, {"field_deg": 52.0}),
    ],
)
def test_an_answer_is_read(
    kind: str, label: str, text: str, known: dict[str, Any], answer: dict[str, Any]
) -> None:
    assert question(kind, label).read(text, known) == answer


@pytest.mark.parametrize(
    ("kind", "label", "text", "failure"),
    [
        ("mount", "Type", "equatorial", WhichEquatorial),  # two of the three are
        ("mount", "Type", "EQ mount", WhichEquatorial),
        ("mount", "Type", "EQ5", WhichEquatorial),
        ("mount", "Type", "4", NotInTheList),
        ("mount", "Type", "0", NotInTheList),
        ("mount", "Controller", "x", NotInTheList),
        ("site", "Elevation", "high", UnreadableElevation),
        ("site", "Time zone", "1", WrongInput),  # no list is shown before the place is known
    ],
)
def test_what_cannot_be_read_is_refused(kind: str, label: str, text: str, failure: type[WrongInput]) -> None:
    with pytest.raises(failure):
        question(kind, label).read(text, {})


@pytest.mark.parametrize(
    ("kind", "label", "known", "words"),
    [
        ("site", "Place", {"lat_deg": -45.87, "lon_deg": 170.5}, "45.87° south, 170.5° east"),
        ("site", "Time zone", {"zone": "Europe/London"}, "Europe/London (UTC, in summer UTC+1)"),
        ("site", "Elevation", {"elevation_m": 0.0}, "0 m above the sea"),
        ("tube", "Aperture", {"aperture_mm": 200.0}, "aperture 200 mm"),
        (
            "tube",
            "Aperture",
            {"aperture_mm": 200.0, "focal_mm": 1000.0},
            "aperture 200 mm, focal length 1000 mm, f/5",
        ),
        (
            "eyepiece",
            "Focal length",
            {"focal_mm": 25.0, "field_deg": 52.0},
            "focal length 25 mm, apparent field 52°",
        ),
    ],
)
def test_an_answer_is_said_back(kind: str, label: str, known: dict[str, Any], words: str) -> None:
    assert question(kind, label).said(known) == words


def test_zones_are_listed_with_country_and_hours_once_the_place_is_known() -> None:
    listed = question("site", "Time zone").listed
    assert listed({}) == []
    assert list(listed({"lat_deg": 52.2, "lon_deg": 0.12}))[:2] == [
        ("Europe/London", "Britain (UK); UTC, in summer UTC+1"),
        ("Europe/Amsterdam", "Netherlands; UTC+1, in summer UTC+2"),
    ]


def test_a_fork_is_led_to_the_type_that_its_wedge_or_the_want_of_one_makes_it() -> None:
    said = dict(question("mount", "Type").listed({}))
    assert "on a wedge" in said[MountType.FORK]
    assert "a fork without a wedge" in said[MountType.ALTAZ]
