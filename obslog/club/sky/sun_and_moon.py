"""The Sun and the Moon of a night at a site on record."""

from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING

from obslog.club.register.observing_site import ObservingSite
from obslog.sky.evening.sun_caution import caution_for
from obslog.sky.names.solar_system import Body
from obslog.sky.places.ephemeris import target_places
from obslog.sky.places.instants import as_datetime, as_datetime64, as_datetime_or_none, as_datetimes
from obslog.sky.places.moon import MoonPhase, moon_phase, principal_phases

if TYPE_CHECKING:
    from obslog.sky.evening.rising import Course


TWILIGHT = (
    "sunset", "civil_dusk", "nautical_dusk", "astronomical_dusk", "astronomical_dawn", "nautical_dawn", "civil_dawn",
    "sunrise",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class SunMoon:
    """The Sun and the Moon of a night. Instants in UTC; None for one that does not come.

    The Sun's lowest and highest altitudes are its centre's without air, to 0.1 deg.
    """

    night: date
    darkest: str
    sun_never_sets: bool
    sun_never_rises: bool
    twilight_utc: dict[str, datetime | None]
    lowest_sun_alt_deg: float
    highest_sun_alt_deg: float
    phase: MoonPhase
    moon_course: "Course"
    moon_rises_utc: list[datetime]
    moon_sets_utc: list[datetime]
    moon_alt_deg: float
    next_phases: list[tuple[str, datetime]]
    caution: str | None


def sun_and_moon(view: ObservingSite, at_utc: datetime) -> SunMoon:
    """Twilight, Moonlight and the coming phases for the night that holds an instant."""
    from obslog.sky.evening.rising import rise_transit_set
    from obslog.sky.evening.twilight import twilight

    noon = as_datetime64(view.noon_before(at_utc))
    dusk = twilight(noon, view.place)
    moon = rise_transit_set(Body.MOON, noon, view.place)
    return SunMoon(
        night=view.night_at(at_utc),
        darkest=dusk.darkest,
        sun_never_sets=dusk.sun_never_sets,
        sun_never_rises=dusk.sun_never_rises,
        twilight_utc={name: as_datetime_or_none(getattr(dusk, name)) for name in TWILIGHT},
        lowest_sun_alt_deg=dusk.lowest_sun_alt_deg,
        highest_sun_alt_deg=dusk.highest_sun_alt_deg,
        phase=moon_phase(at_utc),
        moon_course=moon.course,
        moon_rises_utc=as_datetimes(moon.rises_utc),
        moon_sets_utc=as_datetimes(moon.sets_utc),
        moon_alt_deg=float(target_places(Body.MOON, at_utc, view.place).alt_deg),
        next_phases=[
            (phase.name.value, as_datetime(phase.when_utc))
            for phase in principal_phases(as_datetime64(at_utc), 30)
        ],
        caution=caution_for([Body.MOON], at_utc, view.place),
    )
