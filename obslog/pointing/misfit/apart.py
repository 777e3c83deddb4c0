"""What each set-up by itself says of the mechanics and of what else may be at work, as sums that can be added up.

In each set-up its zero points and its polar axis are eliminated; what is left is information (inverse covariance) about
cone, squareness, sag and any further columns, and that information times their values. Sums over any set-ups are what
these say together. So every place at which a mount may have changed, and everything that may be left out, is looked at
for the price of one more fit.
"""

from dataclasses import dataclass, replace

import numpy as np

from obslog.pointing.joint_fit.arrivals import TYPICAL_NOISE_DEGREES, Arrivals, Machine
from obslog.pointing.joint_fit.elimination import MECHANICAL, POLAR, ZERO, add_prior, eliminated
from obslog.pointing.joint_fit.estimates import Solution
from obslog.pointing.joint_fit.fit import solved
from obslog.pointing.joint_fit.mixture import heard_weight
from obslog.pointing.misfit.columns import Columns
from obslog.pointing.model.frames import FloatArray, IntArray

TERMS = 3
"""Cone, squareness and sag; further columns come behind them."""


@dataclass(frozen=True, slots=True)
class SetupInformation:
    """Of each set-up: information about the terms and columns (k, p, p), and that times their values (k, p)."""

    information: FloatArray
    told: FloatArray

    def telling(self) -> IntArray:
        """The set-ups that tell anything: one in words alone, or one that is set aside, does not."""
        return np.flatnonzero(np.trace(self.information, axis1=1, axis2=2) > 0.0)

    def of(self, setups: IntArray) -> "SetupInformation":
        """The same of some of the set-ups."""
        return SetupInformation(self.information[setups], self.told[setups])

    def silenced(self, setups: list[int]) -> "SetupInformation":
        """The same as if some set-ups told nothing."""
        heard = ~np.isin(np.arange(self.told.shape[0]), setups)
        return SetupInformation(self.information * heard[:, None, None], self.told * heard[:, None])

    def about(self, columns: list[int]) -> "SetupInformation":
        """The same about the three terms and some of the further columns, with nothing of the others at work."""
        kept = [*range(TERMS), *(TERMS + column for column in columns)]
        return SetupInformation(self.information[:, kept][:, :, kept], self.told[:, kept])

    def without(self, columns: list[int], values: FloatArray) -> "SetupInformation":
        """What is told about the three terms alone, with further columns at these values (q,)."""
        about = self.about(columns)
        told = about.told[:, :TERMS] - about.information[:, :TERMS, TERMS:] @ values
        return SetupInformation(about.information[:, :TERMS, :TERMS], told)


@dataclass(frozen=True, slots=True)
class OwnFits:
    """The fit in which each set-up has mechanics of its own, and the products of its rows' columns, (m, c, c).

    Columns are the slopes of the seven unknowns, the further ones, and what is left where there are no mechanics.

    Wrong arrivals are told from good ones within each set-up: a mount that changed does not make half of its
    arrivals look wrong.
    """

    solution: Solution
    products: FloatArray
    setups: int

    @classmethod
    def of(cls, machine: Machine, arrivals: Arrivals, setups: int, columns: Columns) -> "OwnFits":
        """Raises NothingMeasured."""
        own = solved(machine, arrivals, np.arange(setups), looks=0)
        mechanics = own.unknowns.mechanical[own.rows.tree.era_of_row]
        at_none = own.residuals + np.einsum("arm,mr->am", own.slopes[:, MECHANICAL], mechanics)
        further = columns.of_rows(own.rows.arrival, own.rows.is_centring)
        return cls(own, row_products(own.slopes, further, at_none), setups)

    def apart(self, eras: IntArray) -> SetupInformation:
        """What each set-up says, with the noise of all set-ups of its era."""
        own, tree = self.solution, self.solution.rows.tree
        weight = heard_weight(own.good, _row_sd(own, eras))
        of_pair = np.add.reduceat(self.products * weight[:, None, None], tree.pair_start, axis=0)
        add_prior(of_pair, own.unknowns.zero, own.prior_sd[ZERO] ** -2.0)
        *_, left = eliminated(of_pair, 2)
        of_setup = np.add.reduceat(left, tree.setup_start, axis=0)
        add_prior(of_setup, own.unknowns.polar, own.prior_sd[POLAR] ** -2.0)
        *_, left = eliminated(of_setup, 2)
        all_setups = np.zeros((self.setups, *left.shape[1:]))
        all_setups[own.rows.setup_number] = left
        return SetupInformation(all_setups[:, :-1, :-1], all_setups[:, :-1, -1])


def row_products(slopes: FloatArray, further: FloatArray, residuals: FloatArray) -> FloatArray:
    """Products of the columns of each row, east and north added, (m, c, c): slopes (2, 7, m), (2, q, m), (2, m)."""
    columns = np.concatenate([slopes, further, residuals[:, None]], axis=1).transpose(2, 1, 0)
    rows: FloatArray = np.ascontiguousarray(columns) @ np.ascontiguousarray(columns.transpose(0, 2, 1))
    return rows


def _row_sd(own: Solution, eras: IntArray) -> FloatArray:
    """Standard deviation per axis of each row, (m,), with one noise for all set-ups of an era.

    It is the mean square of what set-ups scatter by, by their degrees of freedom.
    """
    rows, scatter = own.rows, own.scatter
    freedom = np.where(rows.is_centring, 0.0, scatter.freedom * own.good)
    degrees = np.bincount(rows.tree.era_of_row, freedom, scatter.era_noise_arcmin.size) + 1e-9
    own_square = scatter.era_noise_arcmin**2
    of_era = (np.bincount(eras, degrees * own_square) / np.bincount(eras, degrees))[eras]
    squares = (degrees * own_square + TYPICAL_NOISE_DEGREES * of_era) / (degrees + TYPICAL_NOISE_DEGREES)
    alike = replace(scatter, era_noise_arcmin=np.sqrt(squares))
    return replace(own, scatter=alike).row_sd_arcmin


def neighbours_differ(apart: SetupInformation) -> FloatArray:
    """How much each set-up and the next differ, (..., k - 1): squares of three normal deviates if by chance alone.

    Each has to tell something, for one that tells nothing differs from nobody, and seems to agree with both.

    With information A and B the two are compared by B (A + B)^-1 a - A (A + B)^-1 b, whose covariance is the
    parallel sum A (A + B)^-1 B; this needs no set-up to determine all three terms by itself. `told` may have
    leading axes.
    """
    one, two = apart.information[:-1], apart.information[1:]
    both = np.linalg.inv(one + two + 1e-9 * np.eye(one.shape[-1]))
    difference = np.einsum("kij,...kj->...ki", two @ both, apart.told[..., :-1, :])
    difference -= np.einsum("kij,...kj->...ki", one @ both, apart.told[..., 1:, :])
    parallel = one @ both @ two
    inverse = np.linalg.pinv((parallel + parallel.transpose(0, 2, 1)) / 2.0, hermitian=True, rcond=1e-9)
    scaled = np.einsum("...ki,kij->...kj", difference, inverse)
    squares: FloatArray = (scaled * difference).sum(axis=-1)
    return squares
