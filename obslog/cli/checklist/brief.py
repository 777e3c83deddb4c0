"""The briefing: the evening on one screen."""

from collections import Counter
from datetime import datetime
from typing import TYPE_CHECKING, Annotated
from zoneinfo import ZoneInfo

import typer

from obslog.cli.checklist.checklist import show_look_first
from obslog.cli.terminal.options import AsJson, At
from obslog.cli.terminal.state import State, state_of

if TYPE_CHECKING:
    from obslog.club.checklist.briefing import Brief, MountBrief

MOST_SNAGS = 3


def add_to(app: typer.Typer) -> None:
    app.command("brief")(brief)


def brief(
    context: typer.Context,
    site: Annotated[str, typer.Option("--site", "-s", help="The site.", show_default=False)],
    at: At = None,
    mount: Annotated[
        list[str] | None,
        typer.Option(
            "--mount", "-m", help="The mount; once for each.", show_default="those used at the site"
        ),
    ] = None,
    member: Annotated[str | None, typer.Option("--member", help="Who sets it up.")] = None,
    as_json: AsJson = False,
) -> None:
    """The evening in its order: dusk and Moon, pole star, sync stars, where go-tos will land, and where to look first.

    obslog brief --site 'Mill Field' --at 21:00 --mount Heron --member Ines
    """
    from obslog.club.checklist.briefing import brief as make_brief
    from obslog.club.register.observing_site import instant_at, observing_site

    state = state_of(context)
    with state.database() as database:
        view = observing_site(database, site)
        instant = instant_at(view, at, state.now(), planning=True)
        made = make_brief(database, view, instant, mount or (), member_name=member)
    if as_json:
        state.screen.json(made)
    else:
        _show(state, made, view.zone)


def _show(state: State, made: "Brief", zone: ZoneInfo) -> None:
    screen = state.screen
    who = f", {made.member}" if made.member else ""
    screen.line(f"{made.site}, night of {made.night}, {_clock(made.at_utc, zone)}{who}", style="bold")
    screen.line(_dark_words(made, zone))
    screen.line(_moon_words(made, zone))
    if made.pole is not None:
        from obslog.club.checklist.step_values import pole_words

        screen.line(pole_words(made.pole))
    for one in made.mounts:
        screen.line()
        _show_mount(state, made, one, zone)
    screen.line()
    if made.targets:
        targets = "; ".join(f"{_clock(t.at_utc, zone)} {t.title}, {t.alt_deg:.0f} deg" for t in made.targets)
        screen.line(f"targets: {targets}", hang=2)
    for caution in made.cautions:
        screen.line(caution)


def _show_mount(state: State, made: "Brief", one: "MountBrief", zone: ZoneInfo) -> None:
    screen = state.screen
    screen.line(f"{one.mount}{f' with {one.tube}' if one.tube else ''}", style="bold")
    if one.scale is not None:
        screen.line(one.scale, indent=2, hang=2)
    if one.not_planned is not None:
        screen.line(one.not_planned, indent=2, hang=2)
    else:
        screen.line(f"sync at {_clock(made.sync_utc, zone)}, in this order:", indent=2)
        for star in one.stars:
            words = _star_words(star.name, star.alt_deg, star.az_deg, star.pier_side)
            screen.line(f"{star.order}. {words}", indent=4, hang=3)
        screen.line(_landing_words(one), indent=2, hang=2)
    show_look_first(state, one.look_first, indent=2)
    _show_snags(state, one, zone)
    if one.last_service is not None:
        screen.line(f"last service {one.last_service.done_on}: {one.last_service.text}", indent=2, hang=2)
    for notice in one.notices:
        screen.line(f"! {notice.words}", indent=2, hang=2)


def _show_snags(state: State, one: "MountBrief", zone: ZoneInfo) -> None:
    """The open snags, the newest first, each text once."""
    times = Counter((snag.step, snag.text) for snag in one.open_snags)
    newest = {(snag.step, snag.text): snag.at_utc for snag in reversed(one.open_snags)}
    for (step, text), count in list(times.items())[:MOST_SNAGS]:
        often = f" ({count} times)" if count > 1 else ""
        last = newest[step, text].astimezone(zone)
        state.screen.line(f"! open, {last:%Y-%m-%d}, {step}: {text}{often}", indent=2, hang=2)
    if len(times) > MOST_SNAGS:
        state.screen.line(f"! and {len(times) - MOST_SNAGS} more: obslog snag list", indent=2)


def _dark_words(made: "Brief", zone: ZoneInfo) -> str:
    times = made.sun_moon.twilight_utc
    named = (
        ("sunset", "sunset"),
        ("dusk over", "astronomical_dusk"),
        ("dawn", "astronomical_dawn"),
        ("sunrise", "sunrise"),
    )
    parts = [
        f"{words} {_clock(instant, zone)}" for words, name in named if (instant := times[name]) is not None
    ]
    return f"{', '.join(parts) or 'no sunset or sunrise'}; darkest: {made.sun_moon.darkest}"


def _moon_words(made: "Brief", zone: ZoneInfo) -> str:
    moon = made.sun_moon
    where = f"{moon.moon_alt_deg:.0f} deg up" if moon.moon_alt_deg > 0 else "below the horizon"
    comings = [("rises", t) for t in moon.moon_rises_utc] + [("sets", t) for t in moon.moon_sets_utc]
    told = "".join(f", {what} {_clock(t, zone)}" for what, t in sorted(comings, key=lambda pair: pair[1]))
    return f"Moon: {moon.phase.name}, {moon.phase.illuminated:.0%} lit, {where}{told}"


def _star_words(name: str, alt_deg: float, az_deg: float, pier_side: str | None) -> str:
    side = f", tube {pier_side}" if pier_side else ""
    return f"{name}: {alt_deg:.0f} deg up, azimuth {az_deg:.0f}{side}"


def _landing_words(one: "MountBrief") -> str:
    expected = one.expected_landing_arcmin
    if expected is None:
        return ""
    words = f"then half of the go-tos land within {expected.half:.0f}', 95 % within {expected.ninety_five_percent:.0f}'"
    if one.eyepiece is None:
        return words
    field, chance = one.eyepiece.field_arcmin, one.eyepiece.chance
    return f"{words}; use {one.eyepiece.eyepiece} ({field:.0f}' field, {chance:.0%} land in it)"


def _clock(instant: datetime, zone: ZoneInfo) -> str:
    return f"{instant.astimezone(zone):%H:%M}"
