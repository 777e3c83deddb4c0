"""How likely a mount's go-to puts an object into a field, from the landings it has on record."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from sqlalchemy.orm import Session

from obslog.club.performance.landing_errors import Landings
from obslog.club.performance.placed_arrivals import NEWEST_SETUPS
from obslog.club.performance.snapshot import Snapshot
from obslog.intervals import student_t_95
from obslog.records.tables.logbook_tables import Mount
from obslog.trends.landings.landing_scale import chance_inside, chance_inside_sd
from obslog.values import Interval


@dataclass(frozen=True, slots=True)
class LandingChance:
    """The chance of landing in a field, from so many set-ups, and the number of their arrivals."""

    inside: Interval
    arrivals: int


def landing_chance(session: Session, mount: Mount, field_arcmin: float) -> LandingChance | None:
    """The mean over the mount's newest set-ups since its last mechanical service; None where nothing is on record.

    Its interval is from the scatter of the set-ups (Student's t), or from how well each is known where they agree
    better than that; with one set-up, from that set-up's own landings.
    """
    snapshot = Snapshot(session)
    return chance_of_landing(snapshot.landings(mount.id), snapshot.services.get(mount.id, ()), field_arcmin)


def chance_of_landing(
    landings: Landings, services: Sequence[date], field_arcmin: float
) -> LandingChance | None:
    """The same from a mount's landings and the days of its mechanical services in order."""
    serviced = services[-1] if services else None
    known = [
        place
        for place, setup in enumerate(landings.setups)
        if np.isfinite(landings.errors.half_arcmin[place]) and (serviced is None or setup.night >= serviced)
    ][-NEWEST_SETUPS:]
    if not known:
        return None
    chances = chance_inside(landings.errors.half_arcmin[known], field_arcmin)
    arrivals = int(landings.errors.count[known].sum())
    mean = float(chances.mean())
    if len(known) == 1:
        one = landings.errors.interval(known[0])
        low, high = (
            None if end is None else float(chance_inside(end, field_arcmin))
            for end in ((one.high, one.low) if one else (None, None))
        )
        return LandingChance(Interval(mean, low, high, 1), arrivals)
    each = chance_inside_sd(landings.errors.half_arcmin[known], landings.errors.log_sd[known], field_arcmin)
    variance = max(float(chances.var(ddof=1)), float((each**2).mean()))
    reach = student_t_95(len(known) - 1) * (variance / len(known)) ** 0.5
    inside = Interval(mean, max(mean - reach, 0.0), min(mean + reach, 1.0), len(known))
    return LandingChance(inside, arrivals)
