"""Briefs made by hand: an evening at a place two hours east of Greenwich, with numbers that are easy to tell apart."""

from datetime import UTC, date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from obslog.club.aligning.sync_star_plan import Expected, StarStep
from obslog.club.checklist.briefing import Brief, BriefTarget, MountBrief
from obslog.club.checklist.equipment_notices import Notice
from obslog.club.checklist.look_first import LookFirst
from obslog.club.night.snags import SnagLine
from obslog.club.sky.pole import PoleNow
from obslog.club.sky.sun_and_moon import SunMoon
from obslog.club.targets.eyepiece_choice import EyepieceAdvice
from obslog.club.upkeep.services import ServiceLine
from obslog.sky.evening.rising import Course
from obslog.sky.places.moon import MoonPhase, PhaseName
from obslog.vocabulary.mounts import PierSide
from obslog.vocabulary.steps import Step

ZONE = ZoneInfo("Africa/Johannesburg")  # two hours ahead of UTC all the year round


def at(hour: int, minute: int, day: int = 2) -> datetime:
    """An instant by the place's own clocks in March 2026."""
    return datetime(2026, 3, day, hour, minute, tzinfo=ZONE).astimezone(UTC)


def sun_moon(**changed: Any) -> SunMoon:
    values: dict[str, Any] = {
        "night": date(2026, 3, 2), "darkest": "night", "sun_never_sets": False, "sun_never_rises": False,
        "twilight_utc": {
            "sunset": at(18, 40), "civil_dusk": at(19, 5), "nautical_dusk": at(19, 35),
            "astronomical_dusk": at(20, 6), "astronomical_dawn": at(4, 17, 3), "nautical_dawn": at(4, 48, 3),
            "civil_dawn": at(5, 18, 3), "sunrise": at(5, 43, 3),
        },
        "lowest_sun_alt_deg": -44.2, "highest_sun_alt_deg": 61.4, "moon_course": Course.RISES_AND_SETS,
        "phase": MoonPhase(
            name=PhaseName.WAXING_GIBBOUS, elongation_deg=120.0, age_days=10.0, illuminated=0.624, bright_limb_deg=100.0
        ),
        "moon_rises_utc": [at(15, 1)], "moon_sets_utc": [at(2, 15, 3)], "moon_alt_deg": 33.6,
        "next_phases": [], "caution": None,
    }  # fmt: skip
    return SunMoon(**(values | changed))


POLE = PoleNow(
    star="Polaris", designation="α UMi", magnitude=2.0, at_utc=at(21, 0),
    alt_deg=52.5, az_deg=0.2, pole_alt_deg=52.2, distance_arcmin=37.4,
    hour_angle_hours=3.0, position_angle_deg=300.0, dial_by_eye_hours=0.9, dial_inverted_hours=6.9,
    dial_mirrored_hours=11.1, clock_error_arcmin=[], caution=None,
)  # fmt: skip


def look_first(step: Step, probability: float, **changed: Any) -> LookFirst:
    values: dict[str, Any] = {
        "step": step, "title": f"Check {step}", "about": "mount", "name": "Heron",
        "evidence": f"{step} wrong often", "wrong": 3, "nights": 8, "rate": 0.4, "sd": 0.1, "low": 0.2, "high": 0.6,
        "worse_than": 0.1, "probability": probability, "last_night": date(2026, 2, 20), "last_text": "loose",
        "last_remedy": None,
    }  # fmt: skip
    return LookFirst(**(values | changed))


def snag(text: str, when: datetime, step: Step = Step.POWER) -> SnagLine:
    return SnagLine(
        reference="abc",
        at_utc=when,
        day=when.astimezone(ZONE).date(),
        step=step,
        text=text,
        about="Heron",
        member=None,
        site=None,
        fixed_utc=None,
        remedy=None,
    )


def star(order: int, name: str, alt_deg: float, az_deg: float, side: PierSide | None = None) -> StarStep:
    return StarStep(order=order, name=name, magnitude=1.0, alt_deg=alt_deg, az_deg=az_deg, pier_side=side)


def a_mount(name: str = "Heron", **changed: Any) -> MountBrief:
    values: dict[str, Any] = {
        "mount": name, "tube": "Long tube", "scale": "set the altitude scale to 51.4°",
        "stars": [
            star(1, "Capella", 71.4, 280.3, PierSide.EAST), star(2, "Regulus", 35.6, 121.7, PierSide.WEST),
        ],
        "expected_landing_arcmin": Expected(7.4, 15.6, None), "eyepiece": EyepieceAdvice("Wide 25", 73.4, 0.936),
        "forecast": None, "after_each": [Expected(41.4, 87.1, None), Expected(7.4, 15.6, None)],
        "basis": [], "not_planned": None, "look_first": [], "open_snags": [], "last_service": None, "notices": [],
    }  # fmt: skip
    return MountBrief(**(values | changed))


def a_brief(*mounts: MountBrief, **changed: Any) -> Brief:
    values: dict[str, Any] = {
        "site": "Mill Field", "member": "Ines", "night": date(2026, 3, 2), "at_utc": at(21, 0), "sync_utc": at(21, 0),
        "too_light": None,
        "sun_moon": sun_moon(), "pole": POLE, "mounts": list(mounts) or [a_mount()],
        "targets": [target(n) for n in range(2)], "cautions": ["Mind the Sun."],
    }  # fmt: skip
    return Brief(**(values | changed))


def target(place: int) -> BriefTarget:
    """Messier 40, 41 and so on, five minutes apart from 21:30, each a degree higher from 50.4 on."""
    return BriefTarget(f"M{40 + place}", f"M{40 + place} (cluster)", at(21, 30 + 5 * place), 50.4 + place)


def loan(words: str) -> Notice:
    return Notice("loan", "Heron", None, words)


def due(words: str) -> Notice:
    return Notice("service", "Heron", None, words)


def serviced(day: date, text: str) -> ServiceLine:
    return ServiceLine(kind="mount", name="Heron", done_on=day, text=text, mechanical=True, by=None)
