"""The error budget: what each cause adds to the landing errors of a mount as these people use it."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import copysign, exp, sqrt

import numpy as np

from obslog.errors import ObslogError
from obslog.intervals import NORMAL_95
from obslog.pointing.budget.causes import OF_MISFIT, BudgetCause, NamedCause
from obslog.pointing.budget.draws import Draws, drawn
from obslog.pointing.budget.shares import between_setups, half_within, log_half_sd, shares
from obslog.pointing.budget.tails import chance_of_tails
from obslog.pointing.budget.visited import Visited, visited
from obslog.pointing.joint_fit.arrivals import Arrivals, Machine
from obslog.pointing.misfit.examined import Examined
from obslog.pointing.model.frames import BoolArray, FloatArray, IntArray
from obslog.values import Interval
from obslog.vocabulary.mounts import MountType

SEED = 20261129
"""The same draws each time, so that the same arrivals get the same answer."""
LEAST_DRAWS, MOST_DRAWS, GO_TOS_TIMES_DRAWS = 100, 300, 200_000
"""Fewer draws where go-tos are many, for then each draw is more sure."""
POLAR_COLUMNS, MECHANICAL_COLUMNS = 2, (BudgetCause.CONE, BudgetCause.SQUARENESS, BudgetCause.SAG)
ENDS = [0.025, 0.975]
AT_ONCE = 20_000
"""Go-tos times draws that are split up together, so that the arrays stay few megabytes."""


class NothingVisited(ObslogError):
    def __init__(self) -> None:
        super().__init__(
            "No go-to of this mount as it is now can be split up: none was measured after a sync.",
            "After a sync, record how far east and north some stars arrive.",
        )


class NothingOff(NothingVisited):
    def __init__(self) -> None:
        ObslogError.__init__(
            self,
            "Every go-to of this mount as it is now is on record as 0 east and 0 north: there is no error to split up.",
            "Where nobody measured how far off a star was, leave its offset out; 0 says that it was in the centre.",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """What one cause adds: its part of the mean square, arcminutes squared, and half's radius without it."""

    named: NamedCause
    mean_square: Interval
    half_without_arcmin: Interval

    @property
    def adds_arcmin(self) -> Interval:
        """The same as a distance, whose square it is; negative where the cause works against the others."""
        value, low, high = (
            None if square is None else copysign(sqrt(abs(square)), square)
            for square in (self.mean_square.value, self.mean_square.low, self.mean_square.high)
        )
        return Interval(value or 0.0, low, high, self.mean_square.count)


@dataclass(frozen=True, slots=True, kw_only=True)
class Budget:
    """The parts, those first without which most is gained; their mean squares add up to that of the go-tos."""

    half_arcmin: Interval
    mean_square: float
    setups: int
    parts: tuple[Part, ...]


def budget(
    machine: Machine, arrivals: Arrivals, examined: Examined, setups: BoolArray | None = None
) -> Budget:
    """The budget of those set-ups (k,), or of all in the newest era. Raises NothingVisited, NothingOff.

    Every draw from what the fit knows splits each go-to as it was observed into what its causes did, without a rest:
    what errors and syncs do not explain is scatter, or a wrong arrival. So the parts of every draw add up to what was
    observed, and the spread over draws is how uncertain each part is.
    """
    eras = examined.left_out.eras
    there = visited(machine, arrivals, examined, eras == eras.max() if setups is None else setups)
    if not there.row.size:
        raise NothingVisited
    if not there.observed.any():
        raise NothingOff
    rng = np.random.default_rng(SEED)
    setup = examined.solution.rows.tree.setup_of_row[there.row]
    half = float(half_within(there.observed))
    sd = log_half_sd(there.observed, setup, rng)
    count = there.row.size
    tails = _chance_of_tails(examined, there.row)
    names: tuple[NamedCause, ...] = ()
    squares, without, on_average = [], [], np.zeros(())
    number = min(max(GO_TOS_TIMES_DRAWS // count, LEAST_DRAWS), MOST_DRAWS)
    for draws in drawn(examined, number, rng).in_parts(max(1, AT_ONCE // count)):
        names, done = zip(*_done(machine, examined, there, draws, tails, rng), strict=True)
        by_cause = np.stack(done)
        on_average = on_average + by_cause.sum(axis=1) / number
        squares.append(shares(by_cause))
        without.append(np.stack([half_within(there.observed - one) for one in done]))
    differ = between_setups(there.observed, setup)
    parts = [
        _part(
            named,
            square,
            half_without,
            sd and sd * between_setups(there.observed - done, setup) / differ,
            count,
        )
        for named, square, half_without, done in zip(
            names, np.concatenate(squares, axis=1), np.concatenate(without, axis=1), on_average, strict=True
        )
    ]
    return Budget(
        half_arcmin=_interval(half, 0.0, sd, count),
        mean_square=float((there.observed**2).sum() / count),
        setups=np.unique(setup).size,
        parts=tuple(sorted(parts, key=lambda part: part.half_without_arcmin.value)),
    )


def _done(
    machine: Machine,
    examined: Examined,
    there: Visited,
    draws: Draws,
    tails: float,
    rng: np.random.Generator,
) -> Iterator[tuple[NamedCause, FloatArray]]:
    """What each cause did to each go-to in each draw: (d, 2, v). In a share `tails` of them no arrival is wrong."""
    solution, tree = examined.solution, examined.solution.rows.tree
    left = np.broadcast_to(there.observed, (draws.zero.shape[0], *there.observed.shape)).copy()
    setup = tree.setup_of_row[there.row]
    polar = (solution.unknowns.polar + draws.polar)[:, setup]
    is_base = machine.mount_type is MountType.ALTAZ
    done = np.einsum("aqv,dvq->dav", there.effect[:, :POLAR_COLUMNS], polar)
    left -= done
    yield NamedCause(BudgetCause.BASE if is_base else BudgetCause.POLAR), done
    mechanical = (solution.unknowns.mechanical + draws.mechanical)[:, tree.era_of_row[there.row]]
    for term, cause in enumerate(MECHANICAL_COLUMNS):
        done = mechanical[:, None, :, term] * there.effect[:, POLAR_COLUMNS + term]
        left -= done
        yield NamedCause(cause), done
    others = examined.left_out.effects.values + draws.others
    effect = there.effect[:, POLAR_COLUMNS + len(MECHANICAL_COLUMNS) :]
    first = 0
    for one, _ in examined.left_out.causes:
        columns = slice(first, first + len(one.columns))
        done = np.einsum("aqv,dq->dav", effect[:, columns], others[:, columns])
        left -= done
        first = columns.stop
        yield NamedCause(OF_MISFIT[one.kind], one.who), done
    if not machine.corrects_refraction:
        left -= there.refraction
        yield NamedCause(BudgetCause.REFRACTION), np.broadcast_to(there.refraction, left.shape)
    off_centre = np.einsum("ajv,djv->dav", there.slip, _off_centre(examined, there, draws))
    left -= off_centre
    right = rng.random((left.shape[0], solution.good.size)) < solution.good
    right[rng.random(left.shape[0]) < tails] = True
    as_meant, synced_as_meant = right[:, None, there.row], right[:, None, there.sync]
    yield NamedCause(BudgetCause.CENTRING), off_centre * synced_as_meant
    yield NamedCause(BudgetCause.SCATTER), left * as_meant
    yield NamedCause(BudgetCause.WRONG), left * ~as_meant + off_centre * ~synced_as_meant


def _chance_of_tails(examined: Examined, rows: IntArray) -> float:
    """Whether what is far out here was thrown there by the mount: of residuals as if they had paid for no unknowns."""
    solution = examined.solution
    sd = solution.row_sd_arcmin * np.sqrt(solution.scatter.freedom)
    return chance_of_tails(solution.residuals[:, rows], sd[rows])


def _off_centre(examined: Examined, there: Visited, draws: Draws) -> FloatArray:
    """Where the star of each go-to's sync stood when it was accepted, in each draw: (d, 2, v)."""
    solution, tree = examined.solution, examined.solution.rows.tree
    sync, of_go_to = np.unique(there.sync, return_inverse=True)
    unknowns = np.concatenate(
        [
            draws.zero[:, tree.pair_of_row[sync]],
            draws.polar[:, tree.setup_of_row[sync]],
            draws.mechanical[:, tree.era_of_row[sync]],
        ],
        axis=2,
    )
    moved = np.einsum("aqv,dvq->dav", solution.slopes[:, :, sync], unknowns)
    moved += np.einsum("aqv,dq->dav", examined.others[:, :, sync], draws.others)
    result: FloatArray = (solution.residuals[:, sync] - moved)[:, :, of_go_to]
    return result


def _part(
    named: NamedCause, squares: FloatArray, without: FloatArray, log_sd: float | None, count: int
) -> Part:
    low, high = np.quantile(squares, ENDS)
    spread = float(np.std(np.log(np.maximum(without, 1e-6))))
    return Part(
        named=named,
        mean_square=Interval(float(squares.mean()), float(low), float(high), count),
        half_without_arcmin=_interval(float(np.median(without)), spread, log_sd, count),
    )


def _interval(value: float, log_sd: float, of_setups: float | None, count: int) -> Interval:
    """A radius with its interval: what the fit does not know, and how far set-ups differ."""
    if of_setups is None:
        return Interval(value, None, None, count)
    reach = exp(NORMAL_95 * float(np.hypot(log_sd, of_setups)))
    return Interval(value, value / reach, value * reach, count)
