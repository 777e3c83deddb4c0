"""Pages of the prompt that say less than those of the commands: what one needs in the dark, in lines for 40 columns."""

from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from obslog.cli.terminal.caution import show_caution
from obslog.cli.terminal.screen import Screen
from obslog.english import capitalised, counted
from obslog.times import computed_local

if TYPE_CHECKING:
    from obslog.club.aligning.sync_star_plan import StarPlan
    from obslog.club.night.night_pages import NightPage
    from obslog.club.night.observation_lines import ObservationLine
    from obslog.club.night.setups import SetupPage
    from obslog.club.sky.pole import PoleNow
    from obslog.club.sky.when import WhenIs
    from obslog.club.sky.where import WhereIs
    from obslog.club.targets.planned_targets import TargetPlan

# As near the meridian as that, east and west of it are the same to whoever turns a tube there.
ON_THE_MERIDIAN_HOURS = 0.05


def show_night(screen: Screen, page: "NightPage") -> None:
    """The night as far as it is known: what nobody said is left out."""
    from obslog.cli.night.night import end_words, sky_words

    pairs: list[tuple[str, object]] = [
        ("night of", f"{page.night} at {page.site}{' (open)' if page.open else ''}"),
        ("present", page.present),
        ("sky", [sky_words(reading) for reading in page.sky]),
        ("from", page.started),
        ("to", end_words(page)),
        ("note", page.note and page.note.replace("\n", "; ")),
    ]
    screen.fields((name, value) for name, value in pairs if value)
    for setup in page.setups:
        tube = f" with {setup.tube}" if setup.tube else ""
        screen.line(
            f"{setup.mount}{tube}, set-up {setup.setup}: {counted(setup.arrivals, 'arrival')}", hang=2
        )


def show_setup(screen: Screen, page: "SetupPage") -> None:
    """What is set up; of one that is over, that it is."""
    head = f"{page.mount}, set-up {page.setup} of the night of {page.night} at {page.site}"
    if not page.open:
        screen.line(f"{head}: over, with {counted(len(page.arrivals), 'arrival')}.", hang=2)
        return
    screen.line(f"{head} (open)", style="bold")
    parts = [("tube", page.tube), ("observer", page.observer), ("eyepiece", page.eyepiece)]
    screen.line(", ".join([*(f"{name} {value}" for name, value in parts if value), f"since {page.started}"]))
    if page.pier_side:
        screen.line(f"tube on the {page.pier_side} side of the pier since {page.pier_side_since}")
    if page.tube and not page.eyepiece and not page.arrivals:
        screen.note("Which eyepiece is in it? It gives the field: eyepiece NAME", hang=2)


def show_list(screen: Screen, page: "SetupPage | None", seen: "Sequence[ObservationLine]") -> None:
    """The set-up, then a line for each arrival and for each thing seen, as they were answered when they were typed."""
    if page is None:
        screen.line("No set-up was begun tonight." if seen else "Nothing is on record of tonight yet.")
    else:
        show_setup(screen, page)
    for one in page.arrivals if page else ():
        place = one.offset or one.landing
        side = f"pier {one.pier_side}" if one.pier_side else None
        _line_of(screen, f"{one.number}.", one.at, one.role, one.target, place, side, one.note)
    if seen:
        screen.line("Seen tonight:")
    for entry in seen:
        who = None if page and entry.observer == page.observer else entry.observer
        what = f"{entry.sighting} {entry.target}"
        _line_of(screen, f"{entry.number}.", entry.at, what, who, entry.description)


def show_where(screen: Screen, found: "WhereIs", local: datetime) -> None:
    """In which direction and how high something stands, to the degree."""
    from obslog.angles import compass_point

    show_caution(screen, found.caution)
    at = f"{found.title} at {local:%H:%M}"
    if found.alt_deg < 0:
        screen.line(f"{at}: {-found.alt_deg:.0f}° below the horizon.", hang=2)
        return
    direction = f"in the {compass_point(found.az_deg)} (azimuth {found.az_deg:.0f}°)"
    screen.line(
        f"{at}: {found.alt_deg:.0f}° up {direction}, {_meridian_words(found.hour_angle_hours)}.", hang=2
    )
    axes = " x ".join(f"{axis:.3g}'" for axis in found.size_arcmin if axis is not None)
    known = [
        f"in {found.constellation}" if found.constellation else "",
        f"magnitude {found.magnitude:.1f}" if found.magnitude is not None else "",
        f"size {axes}" if axes else "",
        f"{found.moon_deg:.0f}° from the Moon" if found.name != "Moon" else "",
    ]
    screen.line(f"{', '.join(part for part in known if part)}", indent=2)


def show_when(screen: Screen, found: "WhenIs", zone: ZoneInfo) -> None:
    """A thing's night, without the year that follows."""
    from obslog.club.sky.sky_words import horizon_words

    rises, sets = horizon_words(found.rises_utc, found.sets_utc, found.course, zone)
    show_caution(screen, found.caution)
    screen.line(f"{found.title}, night of {found.night}: {found.course}", style="bold")
    highest = [
        f"{computed_local(t, zone)}, {alt:.0f}° up"
        for t, alt in zip(found.transits_utc, found.transit_alt_deg, strict=True)
        if alt > 0
    ]
    best = "not tonight"
    if found.best_utc is not None and found.best_alt_deg is not None:
        best = (
            f"{computed_local(found.best_utc, zone)}, {found.best_alt_deg:.0f}° up; above {found.above_deg:g}° "
            f"for {found.dark_hours:.1f} h of the dark"
        )
    pairs = [("rises", rises), ("highest", ", ".join(highest)), ("sets", sets), ("best", best)]
    screen.fields((name, value) for name, value in pairs if value)


def show_pole(screen: Screen, found: "PoleNow", zone: ZoneInfo) -> None:
    """Where the pole star stands about the pole, in each of the views."""
    from obslog.club.sky.sky_words import LOWEST_POLE_STAR_DEG, pole_views, pole_words

    show_caution(screen, found.caution)
    if found.alt_deg < LOWEST_POLE_STAR_DEG:
        screen.line(f"{pole_words(found)}.")
        return
    at = found.at_utc.astimezone(zone)
    screen.line(f"{found.star} at {at:%H:%M}, {found.distance_arcmin:.0f}' from the pole", style="bold")
    for view, place in pole_views(found):
        screen.line(f"{view}: {place}", hang=2)


def show_next(screen: Screen, plan: "StarPlan", from_when: str) -> None:
    """Which stars to sync on, from when they are seen, and within what half of the go-tos then land."""
    from obslog.angles import compass_point

    show_caution(screen, plan.caution)
    if not plan.stars:
        screen.line("No star is to be had for a sync now.")
        return
    words = f"{from_when}sync next on, in this order:"
    screen.line(capitalised(words), style="bold")
    for star, landing in zip(plan.stars, plan.after_each, strict=True):
        side = f", tube {star.pier_side}" if star.pier_side else ""
        screen.line(
            f"{star.order}. {star.name}, {star.alt_deg:.0f}° up in the {compass_point(star.az_deg)}{side}; "
            f"then half the go-tos land within {landing.half:.0f}'",
            hang=3,
        )


def show_targets(screen: Screen, plan: "TargetPlan", zone: ZoneInfo) -> None:
    """The targets that come next, a line each."""
    begin, end = computed_local(plan.dark_from_utc, zone), computed_local(plan.dark_until_utc, zone)
    screen.line(f"Targets at {plan.site}, {begin} to {end}", style="bold")
    for one in plan.targets:
        magnitude = "" if one.magnitude is None else f", mag {one.magnitude:.1f}"
        sure = "" if one.sure == "easily" else f", seen {one.sure}"
        at = computed_local(one.at_utc, zone)
        screen.line(f"{at}  {one.full_title}{magnitude}, {one.alt_deg:.0f}° up{sure}", hang=7)
    if not plan.targets:
        screen.line("Nothing is left for tonight.")


def _line_of(screen: Screen, *parts: str | None) -> None:
    screen.line("  ".join(part for part in parts if part), hang=4)


def _meridian_words(hour_angle_hours: float) -> str:
    """How long until something crosses the meridian, or since when it has."""
    if abs(hour_angle_hours) < ON_THE_MERIDIAN_HOURS:
        return "on the meridian"
    side = "west" if hour_angle_hours > 0 else "east"
    return f"{abs(hour_angle_hours):.1f} h {side} of the meridian"
