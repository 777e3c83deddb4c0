"""The club's control chart: alarms on what is left after allowing for users, so rare that one means something.

Each set-up's adjusted log error is compared with what was to be expected of the mount from its first quiet nights, in
units of how far it may be by chance. Its moving average alarms outside limits that all mounts of the club together
leave by chance so often in a year as the club wants.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from obslog.trends.own.club_model import ClubModel
from obslog.trends.series.change_point import StepChange, single_step
from obslog.trends.series.run_lengths import average_sd, common_width

Array = NDArray[np.float64]

SMOOTHING = 0.2
QUIET_NIGHTS = 8
FARTHEST = 2.5
"""A set-up counts as at most so many sd: one gross night is no change, two are."""
BACK = 0.5
"""After an alarm the average must come back within this share of its limits before it can alarm again."""
SHORTEST_YEARS = 1 / 12
"""A chart of less counts as of a month: of a night alone nobody knows how many there are in a year."""


@dataclass(frozen=True, slots=True)
class OwnAlarm:
    """The set-up (its place in the club's) at which an average left its limits, to which side, the likeliest step."""

    position: int
    side: int
    step: StepChange | None


@dataclass(frozen=True, slots=True)
class ClubAlarms:
    """The alarms of all mounts, and in how many charted set-ups chance alone makes one; None where none is charted."""

    alarms: list[OwnAlarm]
    run_length: int | None


def club_alarms(model: ClubModel, alarms_a_year: float) -> ClubAlarms:
    """The alarms of all eras; chance alone makes `alarms_a_year` in the whole club, as many set-ups as it has charted.

    The first eight set-ups of an era set its centre and never alarm.
    """
    setups = model.setups
    first = np.flatnonzero(setups.begins).tolist()
    parts = [slice(begin, end) for begin, end in zip(first, [*first[1:], setups.count], strict=True)]
    charted = [part for part in parts if part.stop - part.start > QUIET_NIGHTS]
    counts = [part.stop - part.start - QUIET_NIGHTS for part in charted]
    if not counts:
        return ClubAlarms([], None)
    watched = np.concatenate([setups.years[part][QUIET_NIGHTS:] for part in charted])
    expected = alarms_a_year * max(float(np.ptp(watched)), SHORTEST_YEARS)
    width = common_width(counts, expected, SMOOTHING, QUIET_NIGHTS)
    adjusted = model.adjusted
    alarms: list[OwnAlarm] = []
    for part in charted:
        side = crossings(_surprises(model, part, adjusted), width)
        for place in np.flatnonzero(side):
            position = part.start + QUIET_NIGHTS + int(place)
            step = _placed(single_step(adjusted[part.start : position + 1]), part.start)
            alarms.append(OwnAlarm(position, int(side[place]), step))
    return ClubAlarms(alarms, max(1, round(sum(counts) / expected)))


def crossings(surprises: Array, width: float) -> NDArray[np.int_]:
    """+1 or -1 where the average of standardised values (n,) leaves its limits on that side, else 0, (n,)."""
    limits = width * average_sd(np.arange(1, surprises.size + 1), SMOOTHING)
    found = np.zeros(surprises.size, int)
    average, outside = 0.0, 0
    for place, value in enumerate(surprises):
        average += SMOOTHING * (value - average)
        if outside and outside * average < BACK * limits[place]:
            outside = 0
        side = int(np.sign(average)) if abs(average) > limits[place] else 0
        if side and side != outside:
            found[place] = outside = side
    return found


def _surprises(model: ClubModel, part: slice, adjusted: Array) -> Array:
    """What each set-up after the quiet ones is beside what was to be expected, in its sd, held within the farthest.

    The centre is the weighted mean of the quiet set-ups; what hangs together is followed by a Kalman filter.

    Source: A. C. Harvey, Forecasting, Structural Time Series Models and the Kalman Filter, 1989, section 3.2.
    """
    rest, rho = model.spreads.rest, model.spreads.rho
    variance = model.solved.sd[part] ** 2 * model.plain[part]
    quiet = 1 / variance[:QUIET_NIGHTS] * model.plain[part][:QUIET_NIGHTS]
    away = adjusted[part] - float(quiet @ adjusted[part][:QUIET_NIGHTS] / quiet.sum())
    expected, known = 0.0, rest**2
    surprises = np.empty(away.size)
    for place, value in enumerate(away):
        total = known + variance[place] - rest**2
        sd = float(np.sqrt(total))
        surprise = float(np.clip((value - expected) / sd, -FARTHEST, FARTHEST))
        surprises[place] = surprise
        gain = known / total
        expected = rho * (expected + gain * surprise * sd)
        known = rho**2 * known * (1 - gain) + (1 - rho**2) * rest**2
    return surprises[QUIET_NIGHTS:]


def _placed(step: StepChange | None, start: int) -> StepChange | None:
    if step is None:
        return None
    return StepChange(step.first + start, step.earliest + start, step.latest + start, step.change)
