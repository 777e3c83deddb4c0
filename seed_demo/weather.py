"""What the sky was like, each value with its scale; never one scale turned into another."""

import numpy as np

from .evenings import NightPlan, Random
from .records import ConditionRecord
from .seasons import moon_darkness

# By site: darkest zenith on the sky meter, faintest star by eye, Bortle class, degrees C in January and July.
SITE_SKY = {
    "Lantern Ford green": (20.7, 5.4, 5, 3.0, 13.0),
    "Owlpenny Edge": (21.2, 5.9, 4, 0.0, 10.0),
    "Terraço dos Furtado": (21.6, 6.3, 3, 9.0, 20.0),
    "Whistlebark Bend": (21.8, 6.5, 2, 13.0, 2.0),
}


def conditions_of(plan: NightPlan, rng: Random) -> list[ConditionRecord]:
    """A handful of values for one night; which ones depends on who remembered."""
    meter, faintest, bortle, january_c, july_c = SITE_SKY[plan.site.name]
    darkness = moon_darkness(plan.night)
    season = 0.5 - 0.5 * np.cos(2 * np.pi * (plan.night.timetuple().tm_yday - 15) / 365.25)
    temperature = january_c + (july_c - january_c) * season + float(rng.normal(0.0, 3.5))
    seeing = float(rng.normal(0.0, 1.0))
    clear = float(rng.normal(0.0, 1.0))
    southern = plan.site.lat_deg < 0
    seeing_scale = ("pickering", 5.5 + 1.7 * seeing) if southern else ("antoniadi", 2.8 - 0.8 * seeing)
    offered = (
        (*seeing_scale, 0, 0.9),
        ("transparency-1-7", 4.8 + 0.9 * clear, 0, 0.6),
        ("naked-eye-limit", faintest - 1.6 * (1 - darkness) + 0.2 * clear, 1, 0.5),
        ("sky-meter", meter - 2.2 * (1 - darkness) + 0.1 * clear, 2, 0.4),
        ("bortle", bortle, 0, 0.15),
        ("cloud-eighths", max(0.0, 1.0 - 1.2 * clear), 0, 0.4),
        ("temperature-c", temperature, 0, 0.8),
        ("humidity-percent", 82.0 + 9.0 * float(rng.normal()), 0, 0.35),
        ("wind-beaufort", abs(1.2 + 1.1 * float(rng.normal())), 0, 0.3),
    )
    return [
        ConditionRecord(plan.night, plan.site.name, plan.dark_from, scale, within_scale(scale, value, places))
        for scale, value, places, chance in offered
        if rng.random() < chance
    ]


SCALE_ENDS = {
    "antoniadi": (1, 5),
    "pickering": (1, 10),
    "transparency-1-7": (1, 7),
    "cloud-eighths": (0, 8),
    "humidity-percent": (0, 100),
    "wind-beaufort": (0, 12),
}


def within_scale(scale: str, value: float, places: int) -> float:
    low, high = SCALE_ENDS.get(scale, (-60, 60))
    return float(min(max(round(value, places), low), high))
