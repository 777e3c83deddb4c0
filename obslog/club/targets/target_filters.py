"""What to leave out of a catalogue for one evening, one reason after the other, each with its count."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.grammar.target_names import target_named
from obslog.records.name_lookup import by_name
from obslog.records.tables.logbook_tables import Member, Observation
from obslog.sky.evening.dark_windows import Windows
from obslog.sky.evening.object_arrays import Catalogue
from obslog.sky.evening.surface_brightness import GLOWING, mean_surface_brightness
from obslog.sky.names.double_stars import double_named
from obslog.sky.names.object_types import ObjectType
from obslog.vocabulary.observations import Sighting

Mask = NDArray[np.bool_]
Floats = NDArray[np.float64]
FEW = 5
DULL = (ObjectType.STAR, ObjectType.DOUBLE_STAR, ObjectType.OTHER)


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A reason for leaving targets out, and how many of those still there it left out."""

    why: str
    count: int


class Sieve:
    """The targets still in, and why the others are not: a target is counted once, by the first reason."""

    def __init__(self, size: int) -> None:
        self.still: Mask = np.ones(size, bool)
        self.left_out: list[LeftOut] = []

    def leave_out(self, why: str, which: Mask) -> None:
        count = int((self.still & which).sum())
        if count:
            self.left_out.append(LeftOut(why, count))
            self.still = self.still & ~which

    def keep_only(self, places: Sequence[int], why: str) -> None:
        """Leave out all but these."""
        others = np.ones(self.still.size, bool)
        others[list(places)] = False
        self.leave_out(why, others)


def of_other_types(catalogue: Catalogue, wanted: set[str], *, named: bool) -> tuple[str, Mask]:
    """Those that are not of the types asked for; where none is, what makes no target unless it was named."""
    if wanted:
        return "of another type", np.array([kind not in wanted for kind in catalogue.types], bool)
    dull = np.array(
        [
            not named and kind in DULL and double_named(name) is None
            for name, kind in zip(catalogue.names, catalogue.types, strict=True)
        ],
        bool,
    )
    return "single and double stars and unknown things of the old catalogues", dull


def already_seen(session: Session, catalogue: Catalogue, member_name: str) -> tuple[str, Mask]:
    """Those that a member has seen: suspected, or looked for in vain, is not seen. Raises UnknownName."""
    member = by_name(session, Member, member_name)
    seen = seen_targets(session, member)
    return f"already seen by {member.name}", np.array([name in seen for name in catalogue.names], bool)


def seen_targets(session: Session, member: Member) -> set[str]:
    """What a member has seen, under the names that are used here today."""
    query = select(Observation.target).where(
        Observation.member_id == member.id, Observation.sighting == Sighting.SEEN
    )
    return {target_named(text).name for text in session.scalars(query.distinct())}


def too_low(
    windows: Windows, above_deg: float, from_: str, until: str, *, has_horizon: bool
) -> tuple[str, Mask]:
    """Those that the altitude asked for, or the site's own horizon, keeps out of sight."""
    clear = f"{above_deg:g}° and the site's horizon" if has_horizon else f"{above_deg:g}°"
    return f"never above {clear} in the dark from {from_} to {until}", ~windows.ever


def too_faint(catalogue: Catalogue, limit: float | None, aperture_mm: float | None) -> tuple[str, Mask]:
    """Those whose total magnitude is beyond the faintest star of the tube; an unknown one is not beyond it."""
    if limit is None:
        return "", np.zeros(len(catalogue), bool)
    with np.errstate(invalid="ignore"):
        faint = catalogue.magnitude > limit
    return f"fainter than magnitude {limit:.1f}, the faintest star that {aperture_mm:g} mm shows", faint


def surfaces(catalogue: Catalogue) -> Floats:
    """Mean surface brightness, magnitudes per square arcsecond in the magnitude's band; nan for what does not glow."""
    glows = np.array([kind in GLOWING for kind in catalogue.types], bool)
    surface = mean_surface_brightness(catalogue.magnitude, catalogue.major_arcmin, catalogue.minor_arcmin)
    return np.where(glows, surface, np.nan)


def naming_few(why: str, catalogue: Catalogue, which: Mask) -> str:
    """A reason with the names of those that it leaves out, where they are few."""
    names = [catalogue.names[place] for place in np.flatnonzero(which)]
    return f"{why}: {', '.join(names)}" if 0 < len(names) <= FEW else why


def unknown_names(names: Sequence[str]) -> LeftOut:
    return LeftOut(f"unknown here, or wandering among the stars: {', '.join(names)}", len(names))
