"""One mount on two sides: before and after a day or a service, with a tube or by a person and otherwise, by years."""

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from datetime import date
from uuid import UUID

import numpy as np

from obslog.club.landing.error_budget import error_budget, examined_of
from obslog.club.over_time.landing_history import (
    NoArrivals,
)
from obslog.club.performance.landing_errors import Landings
from obslog.club.performance.mount_fits import MountFits, fits_from
from obslog.club.performance.placed_arrivals import MountTypeUnknown, NoController, NothingPlaced
from obslog.english import counted
from obslog.errors import ObslogError, UnknownName, WrongInput, quoted
from obslog.estimate_words import arcmin_words, interval_words
from obslog.pointing.budget.budget import Budget, NothingVisited, budget
from obslog.pointing.joint_fit.answer import NothingMeasured
from obslog.pointing.model.frames import BoolArray
from obslog.records.database import Database
from obslog.records.tables.base import name_key
from obslog.trends.attribution.two_sides import Grows, TwoSides, two_sides
from obslog.values import Interval

NO_BUDGET = (MountTypeUnknown, NoController, NothingPlaced, NothingMeasured, NothingVisited)
DIFFERS_FROM_ARCMIN = 3.0
"""A cause that adds so much more on one side than on the other is told."""


class OneSplit(WrongInput):
    def __init__(self) -> None:
        super().__init__(
            "One mount is compared in one way: by a day, its service, a tube, an observer or a year.",
            'For example: obslog pointing compare "Heron" --before 2026-03-01',
        )


class NoService(ObslogError):
    def __init__(self, mount: str) -> None:
        super().__init__(
            f"No mechanical service of {mount} is on record.",
            f"Name the day instead: obslog pointing compare {quoted(mount)} --before DATE; or record the service: "
            f'obslog service add {quoted(mount)} --on DATE --mechanical "what was done"',
        )


class OneSided(ObslogError):
    def __init__(self, mount: str, side: str) -> None:
        super().__init__(
            f"No set-up of {mount} {side} has a landing after a sync.",
            f"See which there are: obslog pointing trend {quoted(mount)}",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Split:
    """By what one mount is compared with itself; one of them is given."""

    before: date | None = None
    service: bool = False
    tube: str | None = None
    observer: str | None = None
    year: int | None = None

    @property
    def count(self) -> int:
        return sum(
            one is not None and one is not False
            for one in (self.before, self.service or None, self.tube, self.observer, self.year)
        )


@dataclass(frozen=True, slots=True)
class Side:
    """Set-ups of one side: what it is called, and within what radius half of the go-tos of a usual one land."""

    name: str
    half_arcmin: Interval


@dataclass(frozen=True, slots=True)
class Difference:
    """What a cause adds on either side, arcminutes."""

    cause: str
    first_arcmin: float
    second_arcmin: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TwoSidesOfAMount:
    """A mount on two sides: the second's landing error divided by the first's, what differs, what would settle it.

    `more_nights` is None where it is decided, or where no number of nights would decide it.
    """

    mount: str
    sides: tuple[Side, Side]
    ratio: Interval
    as_seen: float
    decided: bool
    more_nights: int | None
    differs: list[Difference]
    words: list[str]


def compare_sides(database: Database, mount_name: str, split: Split, today: date) -> TwoSidesOfAMount:
    """One mount on two sides, and how many nights from today on would settle it.

    Raises UnknownName, NoArrivals, OneSplit, NoService, OneSided.
    """
    if split.count != 1:
        raise OneSplit
    with fits_from(database) as fits:
        mount = fits.snapshot.mount_named(mount_name)
        name, landings = fits.snapshot.mounts[mount].name, fits.snapshot.landings(mount)
        if not landings.setups:
            raise NoArrivals(name)
        second, names = _sides(fits, mount, landings, split)
        factors: dict[str, Sequence[Hashable | None]] = {"site": [setup.site for setup in landings.setups]}
        if not split.observer:
            factors["observer"] = landings.observers
        # by a person or by others: what nobody signed is neither
        sided = np.array([not split.observer or who is not None for who in landings.observers], bool)
        every_error, log_sd = landings.unbiased_logs
        log_error = np.where(sided, every_error, np.nan)
        found = two_sides(log_error, log_sd, second, factors)
        if found is None:
            heard = np.isfinite(log_error) & np.isfinite(log_sd)
            raise OneSided(name, names[1] if not (heard & second).any() else names[0])
        differs = _differs(fits, mount, landings, (~second & sided, second), split)
    grows = _grows(split, today)
    more = None if found.decided else found.more_nights(grows)
    return TwoSidesOfAMount(
        mount=name,
        sides=(Side(names[0], found.first_arcmin), Side(names[1], found.second_arcmin)),
        ratio=found.ratio,
        as_seen=found.as_seen,
        decided=found.decided,
        more_nights=more,
        differs=differs,
        words=[
            _verdict(name, names, found),
            *_settling(names, found, more, grows, of_a_year=split.year is not None),
            *_difference_words(names, differs),
        ],
    )


def _grows(split: Split, today: date) -> Grows:
    """On which side nights can be added: not before a day that is past, and not in a year that is."""
    if split.year is not None and split.year < today.year:
        return "first"
    return "second" if split.before is not None or split.service or split.year is not None else "both"


def _sides(
    fits: MountFits, mount: UUID, landings: Landings, split: Split
) -> tuple[BoolArray, tuple[str, str]]:
    """Which set-ups (s,) are of the second side, and what both are called."""
    nights = np.array([setup.night.toordinal() for setup in landings.setups])
    snapshot = fits.snapshot
    if split.before or split.service:
        services = snapshot.services.get(mount, ())
        if split.service and not services:
            raise NoService(snapshot.mounts[mount].name)
        day = split.before or services[-1]
        return nights >= day.toordinal(), (f"before {day}", f"since {day}")
    if split.tube:
        tube = snapshot.tube_named(split.tube)
        with_it = {row.id for row in snapshot.arrivals(mount).setups if row.tube_id == tube}
        used = snapshot.tubes[tube]
        return np.array([setup.key in with_it for setup in landings.setups]), ("otherwise", f"with {used}")
    if split.observer:
        names = sorted({who for who in snapshot.all_landings().observers if who})
        known = {name_key(who): who for who in names}
        if name_key(split.observer) not in known:
            raise UnknownName("member", split.observer, names)
        who = known[name_key(split.observer)]
        return np.array([one == who for one in landings.observers]), ("by others", f"by {who}")
    years = np.array([setup.night.year for setup in landings.setups])
    return years == split.year, ("in other years", f"in {split.year}")


def _differs(
    fits: MountFits, mount: UUID, landings: Landings, sides: tuple[BoolArray, BoolArray], split: Split
) -> list[Difference]:
    """What each cause adds on either side, the greatest difference first; nothing where a side cannot be split up."""
    name = fits.snapshot.mounts[mount].name
    keys = [
        {setup.key for setup, is_it in zip(landings.setups, side, strict=True) if is_it} for side in sides
    ]
    try:
        if split.tube:
            one, other = error_budget(fits, name), error_budget(fits, name, split.tube)
            if one.tube == other.tube:
                return []
            adds = [{line.cause: line.adds_arcmin.value for line in side.causes} for side in (one, other)]
        else:
            placed = fits.placed(mount)
            examined = examined_of(placed)
            chosen = [np.array([setup.key in of_side for setup in placed.setups]) for of_side in keys]
            adds = [_adds(budget(placed.machine, placed.arrivals, examined, side)) for side in chosen]
    except NO_BUDGET:
        return []
    causes = dict.fromkeys([*adds[0], *adds[1]])
    found = [Difference(cause, adds[0].get(cause, 0.0), adds[1].get(cause, 0.0)) for cause in causes]
    return sorted(found, key=lambda one: -abs(one.second_arcmin - one.first_arcmin))


def _adds(found: Budget) -> dict[str, float]:
    return {part.named.words: part.adds_arcmin.value for part in found.parts}


def _verdict(mount: str, names: tuple[str, str], found: TwoSides) -> str:
    """Both radii, and whether they differ, in a sentence that a member understands."""
    radii = [arcmin_words(one.value) for one in (found.first_arcmin, found.second_arcmin)]
    setups = [counted(one.count, "set-up") for one in (found.first_arcmin, found.second_arcmin)]
    said = f"Half of {mount}'s go-tos land within {radii[1]} {names[1]}, within {radii[0]} {names[0]}"
    if not found.decided:
        return f"{said}: that may be chance ({setups[1]} and {setups[0]})."
    return f"{said}: {'worse' if found.ratio.value > 1 else 'better'} ({setups[1]} and {setups[0]})."


def _settling(
    names: tuple[str, str], found: TwoSides, more: int | None, grows: Grows, *, of_a_year: bool
) -> list[str]:
    said = [
        f"Ratio {interval_words(found.ratio)}, after allowing for who set it up and where; {found.as_seen:.2f} without."
    ]
    if found.decided:
        return said
    stays, growing = names if grows == "second" else names[::-1]
    if more is None:
        return [*said, f"No number of nights would settle it: too few set-ups {stays} are on record."]
    which = " of each kind" if grows == "both" else f" {growing}" if of_a_year else ""
    nights = f"{counted(more, 'more night')}{which}"
    return [*said, f"To tell a factor of {found.to_tell:.2f} takes about {nights}, in four cases of five."]


def _difference_words(names: tuple[str, str], differs: list[Difference]) -> list[str]:
    said = [
        f"{one.cause} ({arcmin_words(one.second_arcmin)} {names[1]}, {arcmin_words(one.first_arcmin)} {names[0]})"
        for one in differs
        if abs(one.second_arcmin - one.first_arcmin) >= DIFFERS_FROM_ARCMIN
    ][:2]
    return [f"What differs most: {' and '.join(said)}."] if said else []
