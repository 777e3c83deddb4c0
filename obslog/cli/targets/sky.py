"""The sky from a site: where, when, Sun and Moon, the pole, and what there is."""

from datetime import datetime
from typing import TYPE_CHECKING, Annotated
from zoneinfo import ZoneInfo

import typer

from obslog.angles import sexagesimal
from obslog.cli.terminal.caution import show_caution
from obslog.cli.terminal.fast_arguments import PlainTextCommand, PlainTextGroup
from obslog.cli.terminal.options import AsJson, At
from obslog.cli.terminal.state import State, state_of
from obslog.times import shown_local

if TYPE_CHECKING:
    from obslog.club.targets.sky_tonight import PoleNow, SunMoon, WhenIs, WhereIs

app = typer.Typer(
    cls=PlainTextGroup, help="The sky from a site: where things are, and when.", no_args_is_help=True
)

Site = Annotated[str, typer.Option("--site", "-s", help="The site.", show_default=False)]
Object = Annotated[
    list[str], typer.Argument(metavar="OBJECT", help="A star, object or planet.", show_default=False)
]


@app.command("where", cls=PlainTextCommand)
def where(context: typer.Context, words: Object, site: Site, at: At = None, as_json: AsJson = False) -> None:
    """Where something stands: apparent topocentric place.

    obslog sky where Vega --site 'Mill Field' --at 21:40
    """
    from obslog.club.register.observing_site import instant_at, observing_site
    from obslog.club.targets.sky_tonight import where_is

    state = state_of(context)
    with state.database() as database:
        view = observing_site(database, site)
    instant = instant_at(view, at, state.now())
    found = where_is(view, " ".join(words), instant)
    if as_json:
        state.screen.json(found)
    else:
        _show_where(state, found, instant.astimezone(view.zone))


@app.command("when", cls=PlainTextCommand)
def when(
    context: typer.Context,
    words: Object,
    site: Site,
    at: At = None,
    above: Annotated[float, typer.Option("--above", help="At least this high, degrees.")] = 30.0,
    as_json: AsJson = False,
) -> None:
    """When something rises, passes the meridian and sets, and when it is best seen: tonight and through the year."""
    from obslog.club.register.observing_site import instant_at, observing_site
    from obslog.club.targets.sky_tonight import when_is

    state = state_of(context)
    with state.database() as database:
        view = observing_site(database, site)
    found = when_is(view, " ".join(words), instant_at(view, at, state.now(), planning=True), above_deg=above)
    if as_json:
        state.screen.json(found)
    else:
        _show_when(state, found, view.zone)


@app.command("sun-moon", cls=PlainTextCommand)
def sun_moon(context: typer.Context, site: Site, at: At = None, as_json: AsJson = False) -> None:
    """Twilight, the Moon, and its coming phases."""
    from obslog.club.register.observing_site import instant_at, observing_site
    from obslog.club.targets.sky_tonight import sun_and_moon

    state = state_of(context)
    with state.database() as database:
        view = observing_site(database, site)
    found = sun_and_moon(view, instant_at(view, at, state.now(), planning=True))
    if as_json:
        state.screen.json(found)
    else:
        _show_sun_moon(state, found, view.zone)


@app.command("pole", cls=PlainTextCommand)
def pole(context: typer.Context, site: Site, at: At = None, as_json: AsJson = False) -> None:
    """Where the pole star stands about the pole, for setting the polar axis by it."""
    from obslog.club.register.observing_site import instant_at, observing_site
    from obslog.club.targets.sky_tonight import pole_now

    state = state_of(context)
    with state.database() as database:
        view = observing_site(database, site)
    found = pole_now(view, instant_at(view, at, state.now()))
    if as_json:
        state.screen.json(found)
    else:
        _show_pole(state, found, view.zone)


@app.command("find", cls=PlainTextCommand)
def find(
    context: typer.Context,
    words: Annotated[list[str], typer.Argument(metavar="TEXT", help="Part of a name.", show_default=False)],
    most: Annotated[int, typer.Option("--most", min=1, help="At most this many.")] = 20,
    as_json: AsJson = False,
) -> None:
    """Look for stars and objects by part of a name or a designation."""
    from obslog.sky.names.search import search_sky

    state = state_of(context)
    found = search_sky(" ".join(words))
    if as_json:
        state.screen.json(found[:most])
        return
    if not found:
        state.screen.note(f"Nothing is named like {' '.join(words)!r}.")
        return
    for hit in found[:most]:
        show_caution(state, hit.caution)
    state.screen.table(
        ["name", "what", "constellation", "mag", "ra h", "dec °", "also called"],
        [
            [
                f.name,
                f.kind,
                f.constellation,
                _mag(f.magnitude, f.band),
                _num(f.ra_hours, 3),
                _num(f.dec_deg, 2),
                f.also,
            ]
            for f in found[:most]
        ],
    )
    if len(found) > most:
        state.screen.note(f"The first {most} of {len(found)}; more with --most {len(found)}.")


def _show_where(state: State, found: "WhereIs", local: datetime) -> None:
    show_caution(state, found.caution)
    below = " (below the horizon)" if found.alt_deg < 0 else ""
    state.screen.line(f"{found.name}, {local:%Y-%m-%d %H:%M:%S}", style="bold")
    state.screen.fields(
        [
            ("altitude", f"{found.alt_deg:.3f}°{below}; without air {found.airless_alt_deg:.3f}°"),
            ("azimuth", f"{found.az_deg:.3f}° from north through east"),
            ("hour angle", f"{found.hour_angle_hours:+.4f} h"),
            ("right ascension", f"{sexagesimal(found.ra_hours, 1)} (of date)"),
            ("declination", f"{sexagesimal(found.dec_deg, 0, signed=True)} (of date)"),
        ]
    )


def _show_when(state: State, found: "WhenIs", zone: ZoneInfo) -> None:
    show_caution(state, found.caution)
    screen = state.screen
    screen.line(f"{found.name}, night of {found.night}: {found.course}", style="bold")
    transits = [
        f"{shown_local(t, zone)} at {alt:.1f}°"
        for t, alt in zip(found.transits_utc, found.transit_alt_deg, strict=True)
    ]
    best = "not tonight"
    if found.best_utc is not None and found.best_alt_deg is not None:
        hours = f"{found.dark_hours:.1f} h in the dark"
        best = f"{shown_local(found.best_utc, zone)} at {found.best_alt_deg:.1f}°, {hours}"
    screen.fields(
        [
            ("rises", [shown_local(t, zone) for t in found.rises_utc] or "not in this night"),
            ("meridian", transits or "not in this night"),
            ("sets", [shown_local(t, zone) for t in found.sets_utc] or "not in this night"),
            (f"best, above {found.above_deg:g}°", best),
        ]
    )
    screen.line()
    screen.table(
        ["month", "nights", "longest h", "highest °"],
        [[m.month, m.nights, f"{m.hours:.1f}", _num(m.best_alt_deg, 1)] for m in found.year],
    )


def _show_sun_moon(state: State, found: "SunMoon", zone: ZoneInfo) -> None:
    from obslog.club.targets.sky_words import darkness_words

    show_caution(state, found.caution)
    screen = state.screen
    screen.line(f"Night of {found.night}: {darkness_words(found, zone)}", style="bold")
    screen.fields(
        (name.replace("_", " "), shown_local(instant, zone) if instant else "does not come")
        for name, instant in found.twilight_utc.items()
    )
    phase = found.phase
    screen.line()
    screen.fields(
        [
            ("Moon", f"{phase.name}, {100 * phase.illuminated:.0f} % lit, {phase.age_days:.1f} days old"),
            ("Moon rises", [shown_local(t, zone) for t in found.moon_rises_utc] or "not in this night"),
            ("Moon sets", [shown_local(t, zone) for t in found.moon_sets_utc] or "not in this night"),
            ("next", [f"{name} {t.astimezone(zone):%Y-%m-%d %H:%M}" for name, t in found.next_phases]),
        ]
    )


def _show_pole(state: State, found: "PoleNow", zone: ZoneInfo) -> None:
    from obslog.club.targets.sky_words import pole_views

    show_caution(state, found.caution)
    screen = state.screen
    screen.line(f"{found.star} about the pole, {found.at_utc.astimezone(zone):%Y-%m-%d %H:%M}", style="bold")
    screen.fields(
        [
            ("distance", f"{found.distance_arcmin:.1f}' from the pole as refraction shows it"),
            *pole_views(found),
            ("hour angle", f"{found.hour_angle_hours % 24:.2f} h"),
            ("altitude", f"of the pole {found.pole_alt_deg:.2f}°, of the star {found.alt_deg:.2f}°"),
            (
                "if the clock is wrong",
                [f"by {m} min: {e:.1f}' off" for m, e in found.clock_error_arcmin.items()],
            ),
        ]
    )


def _num(value: float | None, digits: int) -> str:
    return "" if value is None else f"{value:.{digits}f}"


def _mag(magnitude: float | None, band: str | None) -> str:
    return "" if magnitude is None else f"{magnitude:.1f} {band}"
