"""The pole star, the dark hours and the Moon in words, the same on every screen."""

import math
from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from obslog.times import computed_local

if TYPE_CHECKING:
    from obslog.club.sky.pole import PoleNow
    from obslog.club.sky.sun_and_moon import SunMoon

FULLY_DARK, ALWAYS_UP = "night", "never sets"
SUN_ALT_DEG = {
    "sunset": -50 / 60, "civil_dusk": -6.0, "nautical_dusk": -12.0, "astronomical_dusk": -18.0,
    "astronomical_dawn": -18.0, "nautical_dawn": -12.0, "civil_dawn": -6.0, "sunrise": -50 / 60,
}  # fmt: skip
"""The Sun's altitude at each: the words must not load the mathematics that twilight.py has them from."""


FOUND_AT_A_GLANCE_MAG = 3.0
# Common practice: lower than that, air and what stands on the horizon hide the pole star.
LOWEST_POLE_STAR_DEG = 5.0


def from_straight_up(dial_hours: float) -> str:
    """A direction on a clock's face, of which straight up is 12, in degrees from straight up and the nearest hour."""
    degrees = math.floor(dial_hours * 30 + 0.5) % 360
    hour = math.floor(dial_hours + 0.5) % 12 or 12
    if degrees == 0:
        return "straight up, at 12 o'clock"
    if degrees == 180:
        return "straight down, at 6 o'clock"
    turn = f"{degrees}° clockwise" if degrees < 180 else f"{360 - degrees}° anticlockwise"
    return f"{turn} of straight up, {'near' if degrees % 30 else 'at'} {hour} o'clock"


def pole_views(pole: "PoleNow") -> list[tuple[str, str]]:
    """Where the pole star stands about the pole in each of the three views."""
    return [
        ("by eye", from_straight_up(pole.dial_by_eye_hours)),
        ("in a straight polar scope", from_straight_up(pole.dial_inverted_hours)),
        ("in a right-angle polar scope", from_straight_up(pole.dial_mirrored_hours)),
    ]


def pole_words(pole: "PoleNow") -> str:
    """Where the pole star stands about the pole, a faint one with its magnitude; near the equator: of no use."""
    star = pole.star
    if pole.magnitude > FOUND_AT_A_GLANCE_MAG:
        star = f"{star} ({pole.designation}, magnitude {pole.magnitude:.1f})"
    if pole.alt_deg < LOWEST_POLE_STAR_DEG:
        stands = f"{pole.alt_deg:.1f}° up" if pole.alt_deg > 0 else "below the horizon"
        return (
            f"{star} is {stands}, too low to set the axis by; time the drift of stars (obslog pointing drift)"
        )
    views = "; ".join(f"{view} {where}" for view, where in pole_views(pole))
    return f"{star} is {pole.distance_arcmin:.0f}' from the pole: {views}"


def twilight_words(sky: "SunMoon", name: str, zone: ZoneInfo) -> str:
    """When a sunset, dusk, dawn or sunrise comes; else whether it stays light or dark instead."""
    instant = sky.twilight_utc[name]
    if instant is not None:
        return computed_local(instant, zone)
    if sky.lowest_sun_alt_deg > SUN_ALT_DEG[name]:
        return f"does not come: the Sun stays higher, {sky.lowest_sun_alt_deg:.1f}° at its lowest"
    if sky.highest_sun_alt_deg < SUN_ALT_DEG[name]:
        return f"does not come: the Sun stays lower, {sky.highest_sun_alt_deg:.1f}° at its highest"
    return "not before the next noon"


def horizon_words(
    rises: Sequence[datetime], sets: Sequence[datetime], course: str, zone: ZoneInfo
) -> tuple[str, str]:
    """When something rises and when it sets from one noon to the next; else where it is instead."""
    if rises or sets:
        up_already, stays_up = "not in this night: it is up already", "not in this night: it stays up"
        return (
            ", ".join(computed_local(t, zone) for t in rises) or up_already,
            ", ".join(computed_local(t, zone) for t in sets) or stays_up,
        )
    where = "it is up throughout" if course == ALWAYS_UP else "it stays below the horizon"
    return (f"not in this night: {where}",) * 2


def darkness_words(sky: "SunMoon", zone: ZoneInfo) -> str:
    """From when to when it is fully dark, or how dark it gets."""
    if sky.sun_never_sets:
        return "the Sun does not set"
    dusk, dawn = (sky.twilight_utc[f"astronomical_{name}"] for name in ("dusk", "dawn"))
    if sky.darkest != FULLY_DARK:
        return f"never fully dark, {sky.darkest} at the darkest"
    if dusk is None and dawn is None:
        return "fully dark throughout"
    begin = f" {computed_local(dusk, zone)}" if dusk else ""
    end = f" to {computed_local(dawn, zone)}" if dawn else ""
    return f"fully dark{begin}{end}"


def dark_words(sky: "SunMoon", zone: ZoneInfo) -> str:
    """The dark hours, then sunset and sunrise."""
    dark = darkness_words(sky, zone)
    if sky.sun_never_sets:
        return dark
    if sky.sun_never_rises:
        return f"{dark}; the Sun does not rise"
    comings = ((name, sky.twilight_utc[name]) for name in ("sunset", "sunrise"))
    sun = ", ".join(f"{name} {computed_local(when, zone)}" for name, when in comings if when is not None)
    return f"{dark}; {sun}" if sun else dark


def moon_words(sky: "SunMoon", zone: ZoneInfo, at_utc: datetime | None = None, *, at: str = "") -> str:
    """The Moon's phase, where it is now, and when it rises and sets between sunset and sunrise.

    What is over at `at_utc` is told as such: `rose 21:25`; without it, as on paper, all is told as to come, and `at`
    says when it is where it is told to be.
    """
    where = f"{sky.moon_alt_deg:.0f}° up{at}" if sky.moon_alt_deg > 0 else f"below the horizon{at}"
    rises, sets = (
        [(t, at_utc is not None and t < at_utc) for t in times]
        for times in (sky.moon_rises_utc, sky.moon_sets_utc)
    )
    comings = [("rose" if over else "rises", t) for t, over in rises]
    comings += [("set" if over else "sets", t) for t, over in sets]
    sunset, sunrise = sky.twilight_utc["sunset"], sky.twilight_utc["sunrise"]
    tonight = [
        (what, t)
        for what, t in sorted(comings, key=lambda pair: pair[1])
        if (sunset is None or t >= sunset) and (sunrise is None or t <= sunrise)
    ]
    told = "".join(f", {what} {computed_local(t, zone)}" for what, t in tonight)
    return f"{sky.phase.name}, {sky.phase.illuminated * 100:.0f} % lit, {where}{told}"
