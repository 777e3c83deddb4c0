"""Where the next go-tos will land, as the set-up stands, and what one more sync would change."""

from dataclasses import dataclass, fields

import numpy as np

from obslog.pointing.joint_fit.arrivals import Machine
from obslog.pointing.model.frames import FloatArray, IntArray
from obslog.pointing.model.geometry import StarPlaces
from obslog.pointing.planning.expected_landing import (
    Design,
    ExpectedLanding,
    Knowledge,
    expected_landing,
    mean_square_arcmin2,
)
from obslog.pointing.planning.star_choice import AS_GOOD
from obslog.pointing.tonight.setup_fit import SetupFit


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownNow(Knowledge):
    """What is known after some arrivals: polar and mechanical errors are no longer independent, (5, 5)."""

    joint_covariance: FloatArray

    def covariance(self) -> FloatArray:
        result = np.zeros((6, 6))
        result[:5, :5] = self.joint_covariance
        return result


@dataclass(frozen=True, slots=True)
class NextSync:
    """A candidate's number, and the landing that is expected after a sync on it."""

    star: int
    after: ExpectedLanding


def known_now(machine: Machine, fit: SetupFit) -> KnownNow:
    """What a set-up's fit says, as the planning of sync stars takes it."""
    return KnownNow(
        machine=machine,
        polar_mean=fit.mean[:2],
        polar_sd=np.sqrt(np.diagonal(fit.covariance))[:2],
        mechanical_mean=fit.mean[2:],
        mechanical_covariance=fit.covariance[2:, 2:],
        noise_arcmin=fit.noise_arcmin,
        joint_covariance=fit.covariance,
    )


def landing_now(
    known: KnownNow, synced: StarPlaces, targets: StarPlaces, field_arcmin: float | None = None
) -> ExpectedLanding:
    """Where go-tos over the targets land after the syncs so far, in their order; each where it stood then.

    Neglects: what checks since the last sync say of how well it was centred.
    """
    design = Design.of(known.machine, synced, targets)
    return expected_landing(design, known, np.arange(synced.dec_deg.size), field_arcmin)


def next_sync(
    known: KnownNow,
    synced: StarPlaces,
    candidates: StarPlaces,
    usable: IntArray,
    hard_to_find: FloatArray,
    targets: StarPlaces,
) -> NextSync | None:
    """The easiest star to find of those after whose sync go-tos land nearest; None where none is usable.

    `usable` are numbers of candidates; `hard_to_find` (n,) is of all candidates.
    """
    if not usable.size:
        return None
    design, alternatives = _one_more(known, synced, candidates, usable, targets)
    scores = mean_square_arcmin2(design, known, alternatives)
    fitting = np.flatnonzero(scores <= AS_GOOD**2 * scores.min())
    order = np.lexsort((scores[fitting], hard_to_find[usable[fitting]]))
    chosen = int(fitting[order[0]])
    return NextSync(int(usable[chosen]), expected_landing(design, known, alternatives[chosen]))


def landing_after(
    known: KnownNow, synced: StarPlaces, candidates: StarPlaces, star: int, targets: StarPlaces
) -> ExpectedLanding:
    """The landing that is expected after one more sync, on that candidate."""
    design, alternatives = _one_more(known, synced, candidates, np.array([star]), targets)
    return expected_landing(design, known, alternatives[0])


def _one_more(
    known: KnownNow, synced: StarPlaces, candidates: StarPlaces, usable: IntArray, targets: StarPlaces
) -> tuple[Design, IntArray]:
    """The design of the syncs so far and the usable stars, and in it those syncs with each of the stars (n, k + 1)."""
    together = StarPlaces(
        *(
            np.concatenate([getattr(synced, field.name), getattr(candidates, field.name)[usable]])
            for field in fields(StarPlaces)
        )
    )
    done = synced.dec_deg.size
    before = np.tile(np.arange(done), (usable.size, 1))
    alternatives = np.concatenate([before, done + np.arange(usable.size)[:, None]], axis=1)
    return Design.of(known.machine, together, targets), alternatives
