"""The briefing in full: the evening in its order, mount by mount."""

from collections import Counter
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from obslog.cli.checklist.brief_screen import landing_words, target_words, title_words
from obslog.cli.checklist.checklist import show_look_first
from obslog.cli.terminal.screen import Screen
from obslog.club.sky.sky_words import dark_words, moon_words, pole_words
from obslog.english import capitalised
from obslog.times import computed_local

if TYPE_CHECKING:
    from obslog.club.checklist.briefing import Brief, MountBrief

MOST_SNAGS = 3


def show_in_full(screen: Screen, made: "Brief", zone: ZoneInfo) -> None:
    for caution in made.cautions:
        screen.line(caution)
    screen.line(title_words(made, zone), style="bold")
    dark = dark_words(made.sun_moon, zone)
    screen.line(f"{capitalised(dark)}.")
    screen.line(f"Moon: {moon_words(made.sun_moon, zone, made.at_utc)}.")
    if made.pole is not None:
        screen.line(f"{pole_words(made.pole)}.")
    for one in made.mounts:
        screen.line()
        _show_mount(screen, made, one, zone)
    if made.targets:
        screen.line()
        screen.line(f"Showpieces: {'; '.join(target_words(made, zone))}.", hang=2)


def _show_mount(screen: Screen, made: "Brief", one: "MountBrief", zone: ZoneInfo) -> None:
    screen.line(f"{one.mount}{f' with {one.tube}' if one.tube else ''}", style="bold")
    if one.scale is not None:
        screen.line(one.scale, indent=2, hang=2)
    show_look_first(screen, one.look_first, indent=2)
    if one.not_planned is not None:
        screen.line(one.not_planned, indent=2, hang=2)
    elif one.stars and made.too_light is not None:
        screen.line(made.too_light, indent=2, hang=2)
    elif one.stars:
        screen.line(f"Sync at {computed_local(made.sync_utc, zone)}, in this order:", indent=2)
        for star in one.stars:
            side = f", tube {star.pier_side}" if star.pier_side else ""
            words = f"{star.name}: {star.alt_deg:.0f}° up, azimuth {star.az_deg:.0f}°{side}"
            screen.line(f"{star.order}. {words}", indent=4, hang=3)
        screen.line(landing_words(one), indent=2, hang=2)
    if one.forecast:
        screen.line(one.forecast.words, indent=2, hang=2)
    _show_snags(screen, one, zone)
    if one.last_service is not None:
        screen.line(f"last service {one.last_service.done_on}: {one.last_service.text}", indent=2, hang=2)
    for notice in one.notices:
        screen.line(f"! {notice.words}", indent=2, hang=2)


def _show_snags(screen: Screen, one: "MountBrief", zone: ZoneInfo) -> None:
    """The open snags, the newest first, each text once."""
    times = Counter((snag.step, snag.text) for snag in one.open_snags)
    newest = {(snag.step, snag.text): snag.at_utc for snag in reversed(one.open_snags)}
    for (step, text), count in list(times.items())[:MOST_SNAGS]:
        often = f" ({count} times)" if count > 1 else ""
        last = newest[step, text].astimezone(zone)
        screen.line(f"! open, {last:%Y-%m-%d}, {step}: {text}{often}", indent=2, hang=2)
    if len(times) > MOST_SNAGS:
        screen.line(f"! and {len(times) - MOST_SNAGS} more: obslog snag list", indent=2)
