"""What the arrivals so far say of the polar axis and of the mount's mechanics, where that is worth a line."""

from dataclasses import replace

import numpy as np

from obslog.club.checklist.measured_faults import POLAR_TOLERANCE_ARCMIN
from obslog.club.live.answers import LiveAnswer, LiveKind
from obslog.estimate_words import estimate_words, size_words
from obslog.pointing.joint_fit.words import ARCMIN
from obslog.pointing.tonight.mount_record import MountRecord
from obslog.pointing.tonight.setup_fit import SetupFit
from obslog.values import Estimate
from obslog.vocabulary.mounts import MountType

SURELY_BEYOND_SD = 2.5
"""How many sd beyond the tolerance an axis must be: two directions are asked about anew with each arrival."""
UNLIKE_SD = 3.5
STEADY_ARCMIN = 5.0
NO_ADJUSTER_ARCMIN = 180.0
FEWEST_FOR_MECHANICS = 4
THEN = "; then begin a new set-up (setup start) and sync anew"
"""What was measured before an adjuster was turned is no longer so, and this set-up's arrivals tell it still."""
SURELY_RIGHT = 0.3
"""Where any arrival is more probably wrong than that, nothing is said of the mechanics."""


def axis_answers(fit: SetupFit, mount_type: MountType, lat_deg: float) -> list[LiveAnswer]:
    """How far the axis, or the base of an altaz mount, surely is beyond the tolerance, and how to turn it.

    The tolerance is of the sky, on which an error in azimuth counts for its cos(latitude).
    """
    on_sky = 1.0 if mount_type is MountType.ALTAZ else float(np.cos(np.radians(lat_deg)))
    found = []
    for about, error, factor in (
        ("altitude", fit.polar_altitude, 1.0),
        ("azimuth", fit.polar_azimuth, on_sky),
    ):
        beyond = abs(error.value) * factor - POLAR_TOLERANCE_ARCMIN
        if beyond > SURELY_BEYOND_SD * error.sd * factor:
            found.append(
                LiveAnswer(
                    kind=LiveKind.AXIS,
                    words=_axis_words(about, replace(error, determined=True), mount_type),
                    about=about,
                    size_arcmin=error.value,
                    sd_arcmin=error.sd,
                    steady_arcmin=max(error.sd, STEADY_ARCMIN),
                )
            )
    far = [answer for answer in found if abs(answer.size_arcmin or 0.0) > NO_ADJUSTER_ARCMIN]
    # one line is enough to say that everything is wrong
    return [max(far, key=lambda answer: abs(answer.size_arcmin or 0.0))] if far else found


def _axis_words(about: str, error: Estimate, mount_type: MountType) -> str:
    size, positive = size_words(error, ARCMIN), error.value > 0
    if abs(error.value) > NO_ADJUSTER_ARCMIN:
        return _far_words(about, error, mount_type)
    if mount_type is MountType.ALTAZ:
        sides = ("north", "south") if about == "altitude" else ("east", "west")
        side = sides[0] if positive else sides[1]
        return f"base leans {size} to the {side}: raise its {side} side{THEN}"
    if about == "altitude":
        way, turn = ("high", "lower") if positive else ("low", "higher")
        return f"axis {size} too {way}: turn the altitude adjuster so that it points {turn}{THEN}"
    way, turn = ("east", "west") if positive else ("west", "east")
    return f"axis {size} too far {way}: turn the azimuth adjuster so that it points further {turn}{THEN}"


def _far_words(about: str, error: Estimate, mount_type: MountType) -> str:
    """Of an error that no adjuster mends: the mount is not what is wrong, or it is set up all wrong."""
    size = f"{abs(error.value) / 60:.1f}° ± {max(error.sd / 60, 0.1):.1f}°"
    if mount_type is MountType.ALTAZ:
        return f"base seems to lean {size}: more likely the time, date or place keyed in is wrong; then align anew"
    ways = ("too high", "too low") if about == "altitude" else ("too far east", "too far west")
    way = ways[0] if error.value > 0 else ways[1]
    return (
        f"axis {size} {way}: point it at the pole again, look at the time and place keyed in, and align anew"
    )


def mechanics_answers(tonight: SetupFit, record: MountRecord) -> list[LiveAnswer]:
    """Cone error or sag that is unlike the mount's record; `tonight` is fitted without that record.

    Not said of a mount without a record, nor while an arrival may be wrong: that is likelier.
    """
    measured = np.isfinite(tonight.wrong_arrival)
    doubtful = np.concatenate([tonight.wrong_arrival, tonight.wrong_centring])
    if record.setups == 0 or np.count_nonzero(measured) < FEWEST_FOR_MECHANICS:
        return []
    if np.nanmax(doubtful) > SURELY_RIGHT:
        return []
    known_sd = np.sqrt(np.diagonal(record.mechanical_covariance))
    found = []
    for about, place, now, remedy in (
        ("cone error", 0, tonight.cone, "look whether the tube sits square and firm in its rings"),
        ("sag", 2, tonight.sag, "look whether focuser, mirror and rings are tight"),
    ):
        known = Estimate(float(record.mechanical_mean[place]), float(known_sd[place]), record.setups, True)
        apart = abs(now.value - known.value) / np.hypot(now.sd, known.sd)
        if now.determined and apart > UNLIKE_SD:
            words = (
                f"{about} {estimate_words(now, ARCMIN)} tonight, {estimate_words(known, ARCMIN)} on record"
            )
            found.append(
                LiveAnswer(
                    kind=LiveKind.MECHANICS,
                    words=f"{words}: {remedy}",
                    about=about,
                    size_arcmin=now.value,
                    sd_arcmin=now.sd,
                    steady_arcmin=max(now.sd, STEADY_ARCMIN),
                )
            )
    return found
