"""What each cause really did to the go-tos of an invented club, by the demo's exact model."""

import numpy as np

from obslog.pointing.budget.causes import BudgetCause
from obslog.pointing.budget.shares import shares
from obslog.pointing.joint_fit.arrivals import Machine
from obslog.pointing.model.frames import FloatArray
from tests.pointing.joint_fit.pointing_clubs import Club, offsets_arcmin

SYSTEMATIC = (BudgetCause.POLAR, BudgetCause.CONE, BudgetCause.SQUARENESS, BudgetCause.SAG)
COLUMNS = (slice(0, 2), slice(2, 3), slice(3, 4), slice(4, 5))


def really_done(machine: Machine, club: Club) -> dict[BudgetCause, FloatArray]:
    """What each cause did to each measured arrival after a sync, (2, v): what it changes when it comes first and when
    it comes last, averaged, for two causes together do a little more or less than each alone.

    The mount has one era and every set-up one sync.
    """
    arrivals = club.arrivals
    setup, none = arrivals.setup, np.zeros_like(club.slip)
    errors = np.concatenate([club.polar[setup], np.tile(club.mechanical[0], (setup.size, 1))], axis=1)

    def stood(these: FloatArray, slip: FloatArray = none) -> FloatArray:
        offsets, _ = offsets_arcmin(
            arrivals.stars, machine, setup, arrivals.is_sync, these[:, :2], these[:, 2:], slip
        )
        return offsets

    without_any, with_all = stood(np.zeros_like(errors)), stood(errors)
    done = {BudgetCause.REFRACTION: without_any}
    for cause, columns in zip(SYSTEMATIC, COLUMNS, strict=True):
        alone, absent = np.zeros_like(errors), errors.copy()
        alone[:, columns], absent[:, columns] = errors[:, columns], 0.0
        done[cause] = (stood(alone) - without_any + with_all - stood(absent)) / 2.0
    off_centre = stood(errors, club.slip)
    observed = np.stack([arrivals.offset_east_arcmin, arrivals.offset_north_arcmin])
    done[BudgetCause.CENTRING] = off_centre - with_all
    done[BudgetCause.SCATTER] = (observed - off_centre) * ~club.wrong
    done[BudgetCause.WRONG] = (observed - off_centre) * club.wrong
    return {cause: one[:, np.isfinite(observed[0])] for cause, one in done.items()}


def true_shares(machine: Machine, club: Club) -> dict[BudgetCause, float]:
    """The part of each cause in the mean square of the go-tos, arcminutes squared."""
    done = really_done(machine, club)
    return dict(zip(done, shares(np.stack(list(done.values()))).tolist(), strict=True))
