"""Which nights the club goes out, who comes, and who sets up what: two years of evenings, as plain plans."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from statistics import NormalDist

import numpy as np

from .club import MEMBERS, SITES, Site
from .seasons import dark_hours, moon_darkness
from .truth import DAYS

Random = np.random.Generator


@dataclass(frozen=True, slots=True)
class Outing:
    """Going out to one site: nights in the two years, chance of a clear sky by month (January first).

    `weights` says how readily a member comes along; a member not named does not.
    """

    site: Site
    nights: int
    clear: tuple[float, ...]
    weights: dict[str, float]
    mounts: dict[str, float]


@dataclass(frozen=True, slots=True)
class SetupPlan:
    observer: str
    mount: str
    start_utc: datetime
    end_utc: datetime


@dataclass(frozen=True, slots=True)
class NightPlan:
    night: date
    site: Site
    dark_from: datetime
    dark_until: datetime
    present: tuple[str, ...]
    setups: tuple[SetupPlan, ...]


NORTHERN = [member.name for member in MEMBERS if member.name not in ("Ngaire Holloway", "Mateo Luz-Ibarra")]
HOME_CLEAR = (0.25, 0.30, 0.40, 0.50, 0.45, 0.30, 0.35, 0.45, 0.50, 0.40, 0.30, 0.22)
HOME_MOUNTS = {
    "Old Grumble": 0.6, "Silver Heron": 1.3, "Bramble": 1.7, "Anvil": 1.4, "Thistledown": 1.0,
    "Harbour Light": 0.8, "Tortoise": 0.9, "Marigold": 0.9, "Pepperpot": 1.1, "Nightjar": 0.7,
}  # fmt: skip

OUTINGS = (
    Outing(SITES[0], 92, HOME_CLEAR, dict.fromkeys(NORTHERN, 1.0) | {"Leocadia Furtado": 0.3}, HOME_MOUNTS),
    Outing(
        SITES[1],
        47,
        HOME_CLEAR,
        dict.fromkeys(NORTHERN, 0.6)
        | {"Tomasz Wilga": 1.2, "Noor El-Tayeb": 1.0, "Leocadia Furtado": 0.2, "Amara Nwosu-Bell": 0.2},
        HOME_MOUNTS | {"Tortoise": 0.2, "Pepperpot": 0.5},
    ),
    Outing(
        SITES[2],
        24,
        # Two journeys a year.
        (0.0, 0.0, 0.0, 0.75, 0.0, 0.0, 0.0, 0.0, 0.0, 0.85, 0.0, 0.0),
        dict.fromkeys(["Maud Ellery", "Sven Aklestad", "Jun Kitaoka", "Beatrix Oomen"], 0.6)
        | {"Leocadia Furtado": 3.0, "Hamish Dunbar-Voss": 0.5, "Idris Penhallow": 0.3},
        {"Nightjar": 1.2, "Thistledown": 1.2, "Bramble": 0.6, "Harbour Light": 0.5, "Anvil": 0.4},
    ),
    Outing(
        SITES[3],
        28,
        (0.55, 0.55, 0.5, 0.45, 0.4, 0.4, 0.4, 0.4, 0.4, 0.45, 0.5, 0.5),
        {"Ngaire Holloway": 2.0, "Mateo Luz-Ibarra": 1.2, "Hamish Dunbar-Voss": 3.0},
        {"Long Paddock": 1.5, "Kelp": 1.0, "Nightjar": 1.5},
    ),
)

# Who reaches for which mount: everything not named counts 1.
PREFERENCES = {
    ("Caspian Rook", "Old Grumble"): 40.0,
    ("Idris Penhallow", "Old Grumble"): 25.0,
    ("Beatrix Oomen", "Old Grumble"): 8.0,
    ("Tomasz Wilga", "Old Grumble"): 0.15,
    ("Maud Ellery", "Old Grumble"): 0.4,
    ("Hamish Dunbar-Voss", "Old Grumble"): 0.5,
    ("Tomasz Wilga", "Silver Heron"): 20.0,
    ("Maud Ellery", "Silver Heron"): 2.0,
    ("Caspian Rook", "Silver Heron"): 0.1,
    ("Idris Penhallow", "Silver Heron"): 0.2,
    ("Hamish Dunbar-Voss", "Anvil"): 3.0,
    ("Maud Ellery", "Tortoise"): 4.0,
    ("Amara Nwosu-Bell", "Marigold"): 5.0,
    ("Amara Nwosu-Bell", "Pepperpot"): 3.0,
    ("Fenella Quayle", "Pepperpot"): 3.0,
    ("Noor El-Tayeb", "Harbour Light"): 4.0,
    ("Jun Kitaoka", "Nightjar"): 3.0,
    ("Beatrix Oomen", "Thistledown"): 3.0,
    ("Leocadia Furtado", "Thistledown"): 2.0,
    ("Sven Aklestad", "Bramble"): 3.0,
    ("Priya Raghunath", "Bramble"): 3.0,
    ("Noor El-Tayeb", "Bramble"): 2.0,
    ("Hamish Dunbar-Voss", "Bramble"): 2.0,
    ("Caspian Rook", "Bramble"): 0.2,
    ("Idris Penhallow", "Bramble"): 0.3,
    ("Caspian Rook", "Anvil"): 0.3,
}
# The equipment officer's long holiday: he took Nightjar across the world and brought it back.
LONG_VISIT_SITE = SITES[3]
LONG_VISITORS = {"Hamish Dunbar-Voss", "Nightjar"}
LONG_VISIT_DAYS = range(430, 500)

TRAVEL_DAYS = 4
SHORTEST_DARKNESS = timedelta(hours=1, minutes=40)


def clear_nights(outing: Outing, first_day: date, rng: Random) -> list[date]:
    """The nights on which the site was used: clear, rather moonless, rather at weekends, in order.

    Weather holds: today's is like yesterday's with correlation 0.6, so that there are gaps and runs.
    """
    weather, evenings, weights = 0.0, [], []
    threshold_of = normal_quantiles(outing.clear)
    for day in range(DAYS):
        night = first_day + timedelta(days=day)
        weather = 0.6 * weather + 0.8 * float(rng.standard_normal())
        if weather > threshold_of[night.month - 1]:
            continue
        dark = dark_hours(night, outing.site)
        if dark is None or dark[1] - dark[0] < SHORTEST_DARKNESS:
            continue
        weekend = 2.2 if night.weekday() in (4, 5) else 1.0
        evenings.append(night)
        weights.append((0.12 + moon_darkness(night) ** 1.5) * weekend)
    chance = np.array(weights) / np.sum(weights)
    count = min(outing.nights, len(evenings))
    chosen = rng.choice(len(evenings), size=count, replace=False, p=chance)
    return [evenings[index] for index in sorted(chosen)]


def normal_quantiles(chances: tuple[float, ...]) -> list[float]:
    """Where the weather must lie below to be clear with each chance."""
    return [NormalDist().inv_cdf(min(max(chance, 1e-9), 1 - 1e-9)) for chance in chances]


def plan_nights(first_day: date, rng: Random) -> list[NightPlan]:
    """All evenings in order of date and site; a mount or a member needs four days between countries."""
    evenings = sorted(
        (
            (night, index)
            for index, outing in enumerate(OUTINGS)
            for night in clear_nights(outing, first_day, rng)
        ),
    )
    last_out: dict[str, tuple[date, Site]] = {}
    plans = []
    for night, index in evenings:
        outing = OUTINGS[index]
        busy = {name for name, last in last_out.items() if is_elsewhere(night, outing.site, *last)}
        if ((night - first_day).days in LONG_VISIT_DAYS) != (outing.site is LONG_VISIT_SITE):
            busy |= LONG_VISITORS
        plan = plan_night(night, outing, busy, rng)
        if plan is not None:
            for name in (*plan.present, *(setup.mount for setup in plan.setups)):
                last_out[name] = (night, plan.site)
            plans.append(plan)
    return plans


def is_elsewhere(night: date, site: Site, last_night: date, last_site: Site) -> bool:
    """Whether somebody or something last out there and then cannot be here tonight."""
    days = (night - last_night).days
    return days == 0 or (site.zone != last_site.zone and days < TRAVEL_DAYS)


def plan_night(night: date, outing: Outing, busy: set[str], rng: Random) -> NightPlan | None:
    """Who comes and who sets up what; None where nobody is free."""
    dark = dark_hours(night, outing.site)
    people = [name for name in outing.weights if name not in busy]
    mounts = [name for name in outing.mounts if name not in busy]
    if dark is None or not people or not mounts:
        return None
    wanted = int(rng.choice([1, 2, 3, 4], p=[0.26, 0.40, 0.24, 0.10]))
    observers = pick(people, [outing.weights[name] for name in people], wanted, rng)
    setups = []
    for observer in observers:
        if not mounts:
            break
        liking = [outing.mounts[mount] * PREFERENCES.get((observer, mount), 1.0) for mount in mounts]
        mount = pick(mounts, liking, 1, rng)[0]
        mounts.remove(mount)
        setups.append(plan_setup(observer, mount, dark, rng))
    others = [name for name in people if name not in observers]
    guests = pick(others, [outing.weights[name] for name in others], int(rng.integers(0, 4)), rng)
    present = (*observers[: len(setups)], *guests)
    return NightPlan(night, outing.site, dark[0], dark[1], present, tuple(setups))


def plan_setup(observer: str, mount: str, dark: tuple[datetime, datetime], rng: Random) -> SetupPlan:
    """From when until when this member observes: most begin soon after dusk, some arrive late."""
    start_dark, end_dark = dark
    spare = (end_dark - start_dark - timedelta(minutes=85)).total_seconds() / 60.0
    late = min(float(rng.exponential(35.0)), max(spare, 0.0))
    start = start_dark + timedelta(minutes=round(late), seconds=int(rng.integers(0, 60)))
    stay = timedelta(minutes=int(rng.integers(80, 200)))
    return SetupPlan(observer, mount, start, min(start + stay, end_dark - timedelta(minutes=3)))


def pick(names: list[str], weights: list[float], count: int, rng: Random) -> list[str]:
    """At most `count` different names, drawn by weight."""
    count = min(count, len(names))
    if not count:
        return []
    chance = np.array(weights, dtype=np.float64)
    chosen = rng.choice(len(names), size=count, replace=False, p=chance / chance.sum())
    return [names[index] for index in chosen]
