"""The fit in words: what was off, which knob to turn, which way and how far, and what is not determined."""

from typing import Protocol

import numpy as np

from obslog.english import counted, enumerated
from obslog.estimate_words import NOT_DETERMINED, estimate_words, sd_words, size_words
from obslog.pointing.joint_fit.answer import MechanicalFit, PolarFit
from obslog.values import Estimate
from obslog.vocabulary.mounts import MountType

ARCMIN = "'"
SHIM_FROM_MM = 0.05
"""Thinner than a sheet of paper: not worth a shim."""


class AxisFound(Protocol):
    """What tells both errors of an axis: a set-up's fit, or timed drifts."""

    @property
    def polar_altitude(self) -> Estimate: ...
    @property
    def polar_azimuth(self) -> Estimate: ...


def clear_of_zero(estimate: Estimate) -> bool:
    """Whether an estimate is determined and differs from zero by two standard deviations."""
    return estimate.determined and abs(estimate.value) > 2.0 * estimate.sd


def polar_words(setup: PolarFit, mount_type: MountType) -> str:
    """What the axis was that night: "polar axis 14' ± 2' too low and 6' ± 4' too far east"."""
    if mount_type is MountType.ALTAZ:
        what, ups, sides = "base", ("leaning north", "leaning south"), ("leaning east", "leaning west")
    else:
        what, ups, sides = "polar axis", ("too high", "too low"), ("too far east", "too far west")
    parts = [
        f"{size_words(estimate, ARCMIN)} {ways[0] if estimate.value >= 0 else ways[1]}"
        for estimate, ways in ((setup.polar_altitude, ups), (setup.polar_azimuth, sides))
        if estimate.determined
    ]
    if not parts:
        return f"{what}: {NOT_DETERMINED} by the arrivals"
    return f"{what} {' and '.join(parts)}"


def adjuster_words(found: AxisFound, mount_type: MountType) -> list[str]:
    """Which adjuster to turn, which way and how far; nothing for what is not determined or within its
    uncertainty.

    Azimuth is the turn of the adjuster, arcminutes of azimuth. For a base the sides are named instead, and how much
    that is between feet a metre apart.
    """
    lines = []
    altitude, azimuth = found.polar_altitude, found.polar_azimuth
    if mount_type is MountType.ALTAZ:
        for estimate, low, high in ((altitude, "north", "south"), (azimuth, "east", "west")):
            if clear_of_zero(estimate):
                side = low if estimate.value > 0 else high
                mm = 1000.0 * np.tan(np.radians(abs(estimate.value) / 60.0))
                much = f"{size_words(estimate, ARCMIN)} ({mm:.0f} mm for each metre between the feet)"
                lines.append(f"Raise the {side} side of the base by {much}.")
        return lines
    if clear_of_zero(altitude):
        way = "down" if altitude.value > 0 else "up"
        lines.append(f"Turn the altitude adjuster to bring the axis {way} by {size_words(altitude, ARCMIN)}.")
    if clear_of_zero(azimuth):
        way = "west" if azimuth.value > 0 else "east"
        much = f"{size_words(azimuth, ARCMIN)} of azimuth"
        lines.append(f"Turn the azimuth adjuster to bring the axis {way} by {much}.")
    return lines


def mechanical_words(
    fit: MechanicalFit, mount_type: MountType, since: str | None = None, ring_spacing_mm: float | None = None
) -> list[str]:
    """One line per mechanical error, with the cure for cone error where the ring spacing is known."""
    era = f" (since {since})" if since else ""
    lines = []
    for name, estimate in (("cone error", fit.cone), ("squareness", fit.squareness), ("sag", fit.sag)):
        if not estimate.determined:
            arrivals = counted(estimate.count, "arrival")
            lines.append(f"{name}: {NOT_DETERMINED} yet ({sd_words(estimate.sd, ARCMIN)} from {arrivals})")
            continue
        line = f"{name} {estimate_words(estimate, ARCMIN)}{era}"
        may_shim = name == "cone error" and mount_type is MountType.GERMAN
        cure = shim_words(estimate, ring_spacing_mm) if may_shim else None
        lines.append(f"{line}: {cure}" if cure else line)
    return lines


def shim_mm(cone_arcmin: float, ring_spacing_mm: float) -> float:
    """Thickness of the shim that takes a cone error away, under one of two tube rings this far apart,
    millimetres.

    Source: plane geometry, spacing x tan(cone); a flip shows twice the cone.
    """
    return float(ring_spacing_mm * np.tan(np.radians(abs(cone_arcmin) / 60.0)))


def shim_words(cone: Estimate, ring_spacing_mm: float | None) -> str | None:
    """Which ring to shim and by how much; None where it is not worth it or the spacing is not known.

    The rings stand on the saddle, outward of it: a shim lifts its end of the tube outward. A line of sight
    that leans outward (+) is brought back by a shim under the rear ring, one that leans inward by a shim
    under the front ring.
    """
    if ring_spacing_mm is None or not clear_of_zero(cone):
        return None
    thickness = shim_mm(cone.value, ring_spacing_mm)
    if thickness < SHIM_FROM_MM:
        return None
    return f"shim the {'rear' if cone.value > 0 else 'front'} ring by {thickness:.1f} mm"


def unsaid_words(
    names: list[str], first_star: str, second_star: str, term: str, sd_after_arcmin: float
) -> str:
    """What is not determined, and which two stars would settle the least known of it."""
    return (
        f"{enumerated(names)} {NOT_DETERMINED} yet: "
        f"after tonight's sync, check {first_star} and then {second_star}; "
        f"that would bring {term} to {sd_words(sd_after_arcmin, ARCMIN)}."
    )
