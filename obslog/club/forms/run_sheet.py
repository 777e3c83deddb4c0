"""A pointing run as a sheet: go-tos spread over the sky for a mount that is to be measured, with room for each landing.

The boxes and columns have the names of the arrivals sheet, in its order.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from math import ceil

import numpy as np

from obslog.angles import compass_point
from obslog.club.aligning.star_candidates import StarsNow, limits_of, stars_now
from obslog.club.aligning.usual_limits import FAINTEST_MAG, HIGHEST_ALT_DEG
from obslog.club.forms.blocks import Block, Box, Boxes, Column, Explanation, Form, Table
from obslog.club.forms.cautions import outdoors
from obslog.club.performance.mount_fits import fits_from
from obslog.club.register.observing_site import ObservingSite
from obslog.club.sky.by_day import by_day_words, too_faint_words
from obslog.fields import NumberField
from obslog.pointing.model.geometry import side_is_seen
from obslog.pointing.planning.observable import ObservableLimits, admissible, shown_of
from obslog.pointing.planning.run_plan import BRIGHTEST_FOR_EACH
from obslog.pointing.planning.spread_run import clear_of_meridian, hour_angle_deg, spread_run
from obslog.records.database import Database
from obslog.sky.evening.sun_caution import caution_for
from obslog.sky.names.star_tables import Star
from obslog.sky.places.apparent_places import apparent_places, directions_of
from obslog.times import computed_local
from obslog.vocabulary.arrivals import Landing, Role
from obslog.vocabulary.mounts import MountType, PierSide

TITLE = "Pointing run"
LOWEST_ALT_DEG, MOON_DEG = 25.0, 10.0
MINUTES_EACH = 3.0
STARS = NumberField("The number of stars", 4, 24, whole=True)
USUAL_STARS = 12
HEAD = ("night", "setup", "site", "observer", "mount", "tube")
COLUMNS = (
    Column(title="no.", share=5),
    Column(title="local", share=9),
    Column(title="role", share=8),
    Column(title="target", share=23),
    Column(title="pier_side", share=8),
    Column(title="offset_east_arcmin", share=12),
    Column(title="offset_north_arcmin", share=12),
    Column(title="landing", share=11),
    Column(title="note", share=13),
)
SPARE_ROWS = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class RunStar:
    """A star of the run, where it stands when it is its turn; the side of the tube is None where the mount has none."""

    name: str
    magnitude: float
    role: Role
    at_utc: datetime
    alt_deg: float
    az_deg: float
    pier_side: PierSide | None


def run_sheet(
    database: Database, mount: str, view: ObservingSite, at_utc: datetime, *, stars: int = USUAL_STARS
) -> Form:
    """The sheet of a run that begins at an instant.

    Raises UnknownName, MountTypeUnknown, OutOfRange, TooFewStars, OneSideOnly.
    """
    STARS.check(stars)
    with fits_from(database) as fits:
        name, machine = fits.machine_of(mount)
    chosen, caution = run_stars(view, at_utc, stars, has_sides=machine.mount_type is MountType.GERMAN)
    turns = [(star.at_utc, star.magnitude) for star in chosen]
    hidden = by_day_words(view, at_utc, typed=False) or too_faint_words(view, turns)
    night = view.night_at(at_utc)
    return Form(
        title=f"{TITLE}: {name}",
        about=f"{view.site}, {night}, from {computed_local(at_utc, view.zone)}",
        dated=night,
        blocks=tuple(_blocks(name, view, f"{night}", chosen, (caution, hidden))),
    )


def run_stars(
    view: ObservingSite, at_utc: datetime, count: int, *, has_sides: bool
) -> tuple[list[RunStar], str | None]:
    """The stars in the order of the run, the sync first, and the caution of the Sun where one is needed.

    Each stands above LOWEST_ALT_DEG, away from Sun and Moon and on its side of the meridian from the beginning of the
    run to its end. In twilight they are among the brightest.
    """
    ends_utc = at_utc + timedelta(minutes=MINUTES_EACH * count)
    limits = replace(
        limits_of(LOWEST_ALT_DEG, HIGHEST_ALT_DEG, FAINTEST_MAG, view.horizon), moon_deg=MOON_DEG
    )
    now, then = stars_now(view, at_utc), stars_now(view, ends_utc)
    usable = _usable(now, limits) & _usable(then, limits)
    in_the_east = hour_angle_deg(now.candidates) < 0
    usable &= in_the_east == (hour_angle_deg(then.candidates) < 0)
    shown = shown_of(now.candidates, usable, count)
    for side in (in_the_east, ~in_the_east):
        shown |= shown_of(now.candidates, usable & side, ceil(BRIGHTEST_FOR_EACH * count / 2))
    found = spread_run(now.candidates, shown, count)
    run = [
        _run_star(view, now.stars[star], place, at_utc, west=bool(in_the_east[star]), has_sides=has_sides)
        for place, star in enumerate(found)
    ]
    return run, caution_for([directions_of([now.stars[star] for star in found])], at_utc, view.place)


def _usable(there: StarsNow, limits: ObservableLimits) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    return admissible(there.candidates, limits) & clear_of_meridian(there.candidates)


def _run_star(
    view: ObservingSite, star: Star, place: int, at_utc: datetime, *, west: bool, has_sides: bool
) -> RunStar:
    """`west`: whether the tube is then west of the pier, for a star in the east."""
    turn_utc = at_utc + timedelta(minutes=MINUTES_EACH * place)
    seen = apparent_places(directions_of([star]), turn_utc, view.place)
    side = PierSide.WEST if west else PierSide.EAST
    return RunStar(
        name=star.name,
        magnitude=star.magnitude,
        role=Role.CHECK if place else Role.SYNC,
        at_utc=turn_utc,
        alt_deg=float(np.atleast_1d(seen.alt_deg)[0]),
        az_deg=float(np.atleast_1d(seen.az_deg)[0]),
        pier_side=side if has_sides and side_is_seen(seen.hour_angle_hours * 15).all() else None,
    )


def _blocks(
    mount: str, view: ObservingSite, night: str, run: list[RunStar], said: tuple[str | None, str | None]
) -> Iterator[Block]:
    """`said` are the caution of the Sun and what daylight or twilight hides."""
    caution, hidden = said
    yield outdoors(caution)
    if hidden:
        yield Explanation(hidden, strong=True)
    known = {"night": night, "site": view.site, "mount": mount}
    boxes = [Box(label=name, filled=known.get(name)) for name in HEAD]
    yield Boxes(tuple(boxes[:3]))
    yield Boxes(tuple(boxes[3:]))
    yield Explanation(
        "Sync on the first star and on no other. Go to each of the rest from the mount's own catalogue, and write down "
        "where it stood before you centre it; do not sync again. Come to each star the same way, and let nobody touch "
        "the axes."
    )
    yield Explanation(
        "offset: the star less the centre of the field, in arcminutes, east and north positive; blank is not measured, "
        f"0 is in the middle. landing, where nobody measured: {', '.join(Landing)}. pier_side: the side on which the "
        "tube is."
    )
    yield Table(
        columns=COLUMNS,
        rows=tuple(_row(order, star, view) for order, star in enumerate(run, start=1)),
        blank_rows=SPARE_ROWS,
        writing=True,
    )


def _row(order: int, star: RunStar, view: ObservingSite) -> tuple[str, ...]:
    where = (
        f"{star.alt_deg:.0f}° up, {compass_point(star.az_deg)}, at {computed_local(star.at_utc, view.zone)}"
    )
    side = star.pier_side or ""
    return (f"{order}", "", star.role, f"{star.name}\n{where}", side, "", "", "", "")
