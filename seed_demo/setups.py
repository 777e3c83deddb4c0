"""What each set-up truly is: head errors, home position, and what was keyed in wrongly."""

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

import numpy as np

from .club import MOUNTS, Mount, Site
from .evenings import NightPlan, Random, SetupPlan
from .seasons import summer_time_hours
from .truth import HABITS, MOUNT_TRUTHS, SITE_TRUTHS, Habits, SetupKey, SetupTruth, era_on, scatter_on

SIDEREAL_PER_SOLAR = 1.00273791
SIDEREAL_HOURS_PER_DAY = 24 * (SIDEREAL_PER_SOLAR - 1)
# Beyond this the first star is nowhere near, and even the patient start again.
PATIENCE_HOURS = 3.0

MOUNT_OF = {mount.name: mount for mount in MOUNTS}
HABITS_OF = {habits.name: habits for habits in HABITS}
GROUND_OF = {truth.name: truth for truth in SITE_TRUTHS}
MOUNT_TRUTH_OF = {truth.name: truth for truth in MOUNT_TRUTHS}


@dataclass(frozen=True, slots=True)
class Setup:
    """A set-up with its hours; `given_up` where the observer met a slip and started again."""

    truth: SetupTruth
    site: Site
    mount: Mount
    habits: Habits
    start_utc: datetime
    end_utc: datetime
    given_up: bool = False


def setups_of_night(plan: NightPlan, day: int, rng: Random) -> list[Setup]:
    """All set-ups of a night; one that was given up is followed by its second try."""
    return [setup for wanted in plan.setups for setup in tries(plan, wanted, day, rng)]


def tries(plan: NightPlan, wanted: SetupPlan, day: int, rng: Random) -> list[Setup]:
    mount, habits = MOUNT_OF[wanted.mount], HABITS_OF[wanted.observer]
    truth = drawn_truth(plan, wanted, day, rng)
    slip, error_hours = drawn_slip(plan.night, plan.site, wanted.start_utc, habits, rng)
    first = Setup(truth, plan.site, mount, habits, wanted.start_utc, wanted.end_utc)
    if slip is None:
        return [first]
    slipped = replace(first, truth=replace(truth, slip=slip, sidereal_error_hours=error_hours))
    # An alt-azimuth mount cannot shift a wrong clock away: it turns about the wrong axis.
    if mount.mount_type != "altaz" and abs(error_hours) < PATIENCE_HOURS:
        return [slipped]
    again = replace(
        first,
        truth=replace(truth, key=replace(truth.key, setup=2)),
        start_utc=wanted.start_utc + timedelta(minutes=int(rng.integers(9, 22))),
    )
    return [replace(slipped, given_up=True), again]


def drawn_truth(plan: NightPlan, wanted: SetupPlan, day: int, rng: Random) -> SetupTruth:
    habits, era = HABITS_OF[wanted.observer], era_on(wanted.mount, day)
    mount = MOUNT_TRUTH_OF[wanted.mount]
    polar_sd = float(np.hypot(habits.polar_sd_arcmin, GROUND_OF[plan.site.name].polar_sd_arcmin))
    altitude, azimuth = rng.normal(0.0, polar_sd * mount.polar_share, 2)
    home_first, home_second = rng.normal(0.0, habits.home_sd_arcmin, 2)
    altitude += mount.scale_error_arcmin * habits.trusts_scale
    if MOUNT_OF[wanted.mount].mount_type != "altaz":
        azimuth += habits.azimuth_habit_arcmin
    return SetupTruth(
        SetupKey(plan.night, plan.site.name, wanted.mount, 1),
        wanted.observer,
        era.tube,
        float(altitude),
        float(azimuth),
        float(home_first),
        float(home_second),
        era.cone_arcmin,
        era.squareness_arcmin,
        era.sag_arcmin,
        scatter_on(era, day),
    )


def drawn_slip(
    night: date, site: Site, start_utc: datetime, habits: Habits, rng: Random
) -> tuple[str | None, float]:
    """What was keyed in wrongly, if anything, and by how many sidereal hours that turns the sky."""
    summer_hours = summer_time_hours(start_utc, site.zone)
    luck = rng.random(3)
    if summer_hours and luck[0] < habits.forgets_summer_time:
        return "summer time", summer_hours * SIDEREAL_PER_SOLAR
    if night.day <= 12 and night.day != night.month and luck[1] < habits.swaps_day_and_month:
        believed = date(night.year, night.day, night.month)
        return "day and month", within_half_a_day((believed - night).days * SIDEREAL_HOURS_PER_DAY)
    if luck[2] < habits.turns_longitude_sign:
        return "longitude sign", within_half_a_day(-2.0 * site.lon_deg / 15.0)
    return None, 0.0


def within_half_a_day(hours: float) -> float:
    return (hours + 12.0) % 24.0 - 12.0
