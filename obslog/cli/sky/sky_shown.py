"""The sky in words: where something is, when it is up, Sun and Moon, the pole, and what was found by name."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from obslog.angles import sexagesimal
from obslog.cli.terminal.caution import show_caution
from obslog.cli.terminal.screen import Screen
from obslog.times import computed_local

if TYPE_CHECKING:
    from obslog.club.register.observing_site import ObservingSite
    from obslog.club.sky.pole import PoleNow
    from obslog.club.sky.sun_and_moon import SunMoon
    from obslog.club.sky.when import WhenIs
    from obslog.club.sky.where import WhereIs
    from obslog.sky.names.search import Hit


def show_where(screen: Screen, told: "tuple[WhereIs, datetime]") -> None:
    found, local = told
    show_caution(screen, found.caution)
    below = " (below the horizon)" if found.alt_deg < 0 else ""
    screen.line(f"{found.title}, {local:%Y-%m-%d %H:%M:%S}", style="bold")
    screen.fields(
        [
            ("altitude", f"{found.alt_deg:.3f}°{below}; without air {found.airless_alt_deg:.3f}°"),
            ("azimuth", f"{found.az_deg:.3f}° from north through east"),
            ("hour angle", f"{found.hour_angle_hours:+.4f} h"),
            ("right ascension", f"{sexagesimal(found.ra_hours, 1)} (of date)"),
            ("declination", f"{sexagesimal(found.dec_deg, 0, signed=True)} (of date)"),
            *_what_it_is(found),
            ("away", _away(found)),
        ]
    )


def _away(found: "WhereIs") -> str:
    """How far the Moon and the Sun are; nothing is away from itself."""
    others = {"Moon": found.moon_deg, "Sun": found.sun_deg}
    return ", ".join(f"from the {name} {deg:.0f}°" for name, deg in others.items() if name != found.name)


def _what_it_is(found: "WhereIs") -> list[tuple[str, str]]:
    """What the tables know of it; nothing of a body that wanders."""
    told = []
    if found.constellation is not None:
        told.append(("constellation", found.constellation))
    if found.magnitude is not None:
        told.append(("magnitude", _mag(found.magnitude, found.band, found.magnitude_from)))
    if found.pair is not None:
        from obslog.club.sky.pair_seen import pair_words

        told.append(("double star", pair_words(found.pair)))
    axes = [f"{axis:.3g}'" for axis in found.size_arcmin if axis is not None]
    return [*told, ("size", " x ".join(axes))] if axes else told


def show_when(screen: Screen, told: "tuple[WhenIs, ObservingSite]") -> None:
    from obslog.club.sky.sky_words import horizon_words

    found, zone = told[0], told[1].zone
    rises, sets = horizon_words(found.rises_utc, found.sets_utc, found.course, zone)
    show_caution(screen, found.caution)
    screen.line(f"{found.title}, night of {found.night}: {found.course}", style="bold")
    transits = [
        f"{computed_local(t, zone)} at {alt:.1f}°"
        for t, alt in zip(found.transits_utc, found.transit_alt_deg, strict=True)
    ]
    best = "not tonight"
    if found.best_utc is not None and found.best_alt_deg is not None:
        hours = f"{found.dark_hours:.1f} h with {found.dark}"
        best = f"{computed_local(found.best_utc, zone)} at {found.best_alt_deg:.1f}°, {hours}"
    screen.fields(
        [
            ("rises", rises),
            ("meridian", transits or "not in this night"),
            ("sets", sets),
            (f"best, above {found.above_deg:g}°", best),
        ]
    )
    screen.line()
    if any(month.nights for month in found.year):
        screen.table(
            ["month", "nights", "longest h", "highest °"],
            [[m.month, m.nights, f"{m.hours:.1f}", _num(m.best_alt_deg, 1)] for m in found.year],
        )
    elif found.year:
        screen.line(_on_no_night(found))


def _on_no_night(found: "WhenIs") -> str:
    """What a year without a night is told by instead of a table of zeros."""
    never = f"On no night from {found.year[0].month} to {found.year[-1].month} is it"
    clear = " and clear of the site's horizon" if found.has_horizon else ""
    if found.highest_in_dark_deg is None:
        return f"{never} up{clear} in the dark."
    highest = f"{found.highest_in_dark_deg:.1f}° is the highest then"
    return f"{never} above {found.above_deg:g}°{clear} in the dark; {highest}."


def show_sun_moon(screen: Screen, told: "tuple[SunMoon, ZoneInfo]") -> None:
    from obslog.club.sky.sky_words import darkness_words, horizon_words, twilight_words

    found, zone = told
    show_caution(screen, found.caution)
    screen.line(f"Night of {found.night}: {darkness_words(found, zone)}", style="bold")
    screen.fields((name.replace("_", " "), twilight_words(found, name, zone)) for name in found.twilight_utc)
    phase = found.phase
    rises, sets = horizon_words(found.moon_rises_utc, found.moon_sets_utc, found.moon_course, zone)
    screen.line()
    screen.fields(
        [
            ("Moon", f"{phase.name}, {100 * phase.illuminated:.0f} % lit, {phase.age_days:.1f} days old"),
            ("Moon rises", rises),
            ("Moon sets", sets),
            ("next", [f"{name} {_rounded(t, zone)}" for name, t in found.next_phases]),
        ]
    )


def show_pole(screen: Screen, told: "tuple[PoleNow, ObservingSite]") -> None:
    from obslog.club.sky.sky_words import pole_views

    found, zone = told[0], told[1].zone
    show_caution(screen, found.caution)
    screen.line(f"{found.star} about the pole, {found.at_utc.astimezone(zone):%Y-%m-%d %H:%M}", style="bold")
    screen.fields(
        [
            ("star", f"{found.designation}, magnitude {found.magnitude:.1f}"),
            ("distance", f"{found.distance_arcmin:.1f}' from the pole as refraction shows it"),
            *pole_views(found),
            ("hour angle", f"{found.hour_angle_hours % 24:.2f} h (of 24)"),
            ("altitude", f"of the pole {found.pole_alt_deg:.2f}°, of the star {found.alt_deg:.2f}°"),
            (
                "if the clock is wrong",
                [f"by {e.minutes} min: {e.arcmin:.1f}' off" for e in found.clock_error_arcmin],
            ),
        ]
    )


@dataclass(frozen=True, slots=True)
class Search:
    """What was looked for and found, and how much of it to show."""

    text: str
    found: "list[Hit]"
    most: int


def show_found(screen: Screen, search: Search) -> None:
    found, most = search.found, search.most
    if not found:
        from obslog.sky.names.lookup import nearest_in_sky

        nearest = " or ".join(nearest_in_sky(search.text))
        screen.note(f"Nothing is named like {search.text!r}.{f' Did you mean {nearest}?' if nearest else ''}")
        return
    for hit in found[:most]:
        show_caution(screen, hit.caution)
    screen.table(
        ["name", "kind", "constellation", "mag", "ra h", "dec °", "also called"],
        [
            [
                f.name,
                f.kind,
                f.constellation,
                _mag(f.magnitude, f.band, f.magnitude_from),
                _num(f.ra_hours, 3),
                _num(f.dec_deg, 2),
                f.also,
            ]
            for f in found[:most]
        ],
    )
    if len(found) > most:
        screen.note(f"The first {most} of {len(found)}; more with --most {len(found)}.")


def _rounded(instant: datetime, zone: ZoneInfo) -> str:
    return f"{(instant + timedelta(seconds=30)).astimezone(zone):%Y-%m-%d %H:%M}"


def _num(value: float | None, digits: int) -> str:
    return "" if value is None else f"{value:.{digits}f}"


def _mag(magnitude: float | None, band: str | None, source: str | None) -> str:
    """A magnitude with its band; one worked out from others says so."""
    if magnitude is None:
        return ""
    worked_out = f", {source}" if source and source.startswith("from ") else ""
    return f"{magnitude:.1f} {band}{worked_out}"
