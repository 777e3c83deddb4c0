"""What of an observation is doubtful when it is typed."""

import re
from datetime import UTC, datetime, timedelta
from uuid import uuid4

import pytest

from obslog.club.night.plausibility import (
    BeforeItsSetup,
    BehindHorizon,
    BelowHorizon,
    OtherMagnification,
    OtherSideOfPier,
    altitude_deg,
    magnification_of,
    over_pier_remark,
    pier_remark,
    question_altitude,
    question_magnification,
    question_pier,
    question_time,
)
from obslog.grammar.target_names import Target, target_named
from obslog.records.tables.logbook_tables import Eyepiece, Setup, Site, Tube
from obslog.vocabulary.mounts import MountType, PierSide

AT = datetime(2026, 3, 2, 21, 40, tzinfo=UTC)
FIELD = Site(name="Field", name_key="field", lat_deg=52.2, lon_deg=0.12, zone="Europe/London")
POLE = Target(name="Pole", known=True, ra_hours=0.0, dec_deg=90.0)


def tube(focal_mm: float | None) -> Tube:
    return Tube(name="Long tube", name_key="long tube", focal_mm=focal_mm)


def eyepiece(focal_mm: float | None) -> Eyepiece:
    return Eyepiece(name="Wide", name_key="wide", focal_mm=focal_mm)


def test_the_celestial_pole_stands_as_high_as_the_latitude() -> None:
    """The pole of 2000 is 0.15 degrees from that of 2026: 26 years of 20.04 arcseconds a year."""
    height = altitude_deg(POLE, AT, FIELD)
    assert height is not None
    assert abs(height - 52.2) < 0.25
    assert altitude_deg(Target(name="comet", known=False), AT, FIELD) is None
    nowhere = Site(name="Nowhere", name_key="nowhere")
    assert altitude_deg(POLE, AT, nowhere) is None


def test_what_is_below_the_horizon_or_behind_it_is_questioned() -> None:
    with pytest.raises(BelowHorizon, match="° below the horizon of Field at 21:40"):
        question_altitude(target_named("Altair"), AT, FIELD)
    question_altitude(POLE, AT, FIELD)
    walled = Site(
        name="Yard", name_key="yard", lat_deg=52.2, lon_deg=0.12, zone="Europe/London", horizon="0:60,180:60"
    )
    with pytest.raises(BehindHorizon, match=r"52° up at 21:40, where the horizon of Yard hides 60°"):
        question_altitude(POLE, AT, walled)


def test_a_time_long_before_its_set_up_is_questioned_with_what_to_do() -> None:
    setup = Setup(night_id=uuid4(), mount_id=uuid4(), started_utc=AT)
    question_time(AT - timedelta(minutes=30), setup, FIELD)
    with pytest.raises(BeforeItsSetup) as caught:
        question_time(AT - timedelta(minutes=31), setup, FIELD)
    assert "obslog setup edit --start TIME" in caught.value.hint
    setup.started_utc = None
    question_time(AT - timedelta(hours=5), setup, FIELD)


@pytest.mark.parametrize(
    ("tube_mm", "eyepiece_mm", "expected"),
    [
        (1000, 25, 40.0),
        (1000, 24, 41.7),
        (None, 25, None),
        (1000, None, None),
        (50_000, 1, None),
        (10, 25, None),
    ],
)
def test_a_magnification_is_the_ratio_of_the_focal_lengths_where_it_can_be(
    tube_mm: float | None, eyepiece_mm: float | None, expected: float | None
) -> None:
    assert magnification_of(tube(tube_mm), eyepiece(eyepiece_mm)) == expected


def test_a_magnification_is_explained_by_a_usual_lens_or_questioned() -> None:
    """1000 mm and 25 mm give 40 times; a Barlow lens of 2 makes 80, a reducer of 0.5 makes 20, nothing makes 70."""
    assert question_magnification(41, tube(1000), eyepiece(25)) is None
    assert question_magnification(70, None, eyepiece(25)) is None
    assert "a Barlow lens of 2x" in str(question_magnification(80, tube(1000), eyepiece(25)))
    assert "a reducer of 0.5x" in str(question_magnification(20, tube(1000), eyepiece(25)))
    with pytest.raises(OtherMagnification, match="gives 40x, and no usual lens makes that 70x"):
        question_magnification(70, tube(1000), eyepiece(25))


# By hand: at 21:40 UTC on 2 March 2026 sidereal time at Greenwich is 8 h 22 min; hour angles are that less the right
# ascension. Capella (5 h 17 min) +3.1 h, Regulus (10 h 8 min) -1.8 h, Jupiter (7 h 6 min) +1.3 h; Pollux (7 h 45 min)
# +0.6 h is near the meridian; Vega (18 h 37 min) -10.3 h is below the pole.
@pytest.mark.parametrize(
    ("name", "side", "words"),
    [
        ("Capella", PierSide.WEST, "3.1 h west of the meridian at 21:40: the tube is then on the east side"),
        ("Regulus", PierSide.EAST, "1.8 h east of the meridian at 21:40: the tube is then on the west side"),
        ("Jupiter", PierSide.WEST, "1.3 h west of the meridian"),
        ("Capella", PierSide.EAST, None),
        ("Regulus", PierSide.WEST, None),
        ("Regulus", None, None),
        ("Pollux", PierSide.EAST, None),
        ("Pollux", PierSide.WEST, None),
        ("Vega", PierSide.EAST, None),
        ("Vega", PierSide.WEST, None),
        ("no such star", PierSide.WEST, None),
    ],
)
def test_a_tube_on_the_side_of_its_target_is_questioned(
    name: str, side: PierSide | None, words: str | None
) -> None:
    def question(mount_type: MountType, site: Site = FIELD) -> None:
        question_pier(side, target_named(name), AT, site, mount_type)

    question(MountType.FORK)
    question(MountType.ALTAZ)
    question(MountType.GERMAN, Site(name="Nowhere", name_key="nowhere"))
    if words is None:
        question(MountType.GERMAN)
        return
    with pytest.raises(OtherSideOfPier, match=words) as caught:
        question(MountType.GERMAN)
    assert (caught.value.exit_code, "add --sure" in caught.value.hint) == (2, True)


@pytest.mark.parametrize(("name", "told"), [("Vega", True), ("Capella", False), ("no such star", False)])
def test_a_side_that_does_not_count_is_told_to_whoever_types_it(name: str, told: bool) -> None:
    """Vega is 10 h 15 min from the meridian then: the tube has swung over the pier."""
    target = target_named(name)
    said = over_pier_remark(PierSide.EAST, target, AT, FIELD, MountType.GERMAN)
    assert (said is not None) is told
    assert said is None or re.match(r"Vega stood 10\.[23] h from the meridian", said)
    assert over_pier_remark(None, target, AT, FIELD, MountType.GERMAN) is None
    assert over_pier_remark(PierSide.EAST, target, AT, FIELD, MountType.FORK) is None


def test_the_side_of_the_pier_is_the_same_question_in_the_south() -> None:
    """At 33 degrees south, on the meridian of Greenwich, the hour angles are the same."""
    south = Site(name="Cape", name_key="cape", lat_deg=-33.0, lon_deg=0.12, zone="Europe/London")
    question_pier(PierSide.WEST, target_named("Regulus"), AT, south, MountType.GERMAN)
    with pytest.raises(OtherSideOfPier):
        question_pier(PierSide.EAST, target_named("Regulus"), AT, south, MountType.GERMAN)


def test_a_mount_without_a_side_of_the_pier_is_told_so() -> None:
    assert pier_remark(PierSide.EAST, "Heron", MountType.GERMAN) is None
    assert pier_remark(None, "Thistle", MountType.ALTAZ) is None
    told = pier_remark(PierSide.EAST, "Thistle", MountType.ALTAZ)
    assert told == "Thistle is an altaz mount: a side of the pier means nothing for it."
    assert "a fork mount" in (pier_remark(PierSide.WEST, "Bracken", MountType.FORK) or "")
