"""Where go-tos will land: expected offsets over tonight's sky after syncs on given stars.

The offsets are linear in what is not known about the mount (its polar errors, its mechanical errors), in what
is known but not corrected (the means of both, refraction), and in the slips made while centring.
"""

from dataclasses import dataclass

import numpy as np

from obslog.pointing.joint_fit.arrivals import Machine
from obslog.pointing.model.frames import FloatArray, IntArray
from obslog.pointing.model.geometry import AxisErrors, StarPlaces
from obslog.pointing.model.offset_slopes import Arrived, offsets_and_slopes
from obslog.vocabulary.mounts import Controller

POLAR_OF_CONTROLLER_ARCMIN = 600.0
"""What a controller that solves for its polar axis lets that axis be before it has two stars."""
RINGS, SPOKES = 100, 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Knowledge:
    """What is known of a mount before tonight's first star, arcminutes.

    `polar_mean` (2,) and `polar_sd` (2,) are the habit of its polar errors; `mechanical_mean` (3,) and
    `mechanical_covariance` (3, 3) the posterior of cone, squareness and sag; `noise_arcmin` the scatter per
    axis of arrivals and `centring_arcmin` that of syncs.
    """

    machine: Machine
    polar_mean: FloatArray
    polar_sd: FloatArray
    mechanical_mean: FloatArray
    mechanical_covariance: FloatArray
    noise_arcmin: float = 2.0
    centring_arcmin: float = 0.5

    def mean(self) -> FloatArray:
        """Polar and mechanical errors and the constant 1 that refraction multiplies, shape (6,)."""
        return np.concatenate([self.polar_mean, self.mechanical_mean, [1.0]])

    def covariance(self) -> FloatArray:
        """Covariance of `mean`, shape (6, 6); the constant has none."""
        result = np.zeros((6, 6))
        result[:2, :2] = np.diag(self.polar_sd**2)
        result[2:5, 2:5] = self.mechanical_covariance
        return result


@dataclass(frozen=True, slots=True)
class Design:
    """How offsets answer to unknowns: columns are two zero points, two polar, three mechanical errors,
    refraction.

    `stars` (n, 2, 8) for the candidates, `targets` (t, 2, 8) for where one wants to go.
    """

    stars: FloatArray
    targets: FloatArray

    @classmethod
    def of(cls, machine: Machine, stars: StarPlaces, targets: StarPlaces) -> "Design":
        return cls(_columns(machine, stars), _columns(machine, targets))


@dataclass(frozen=True, slots=True)
class ExpectedLanding:
    """Radii inside which half and 95 % of go-tos land, and the chance of landing in a field (or nan)."""

    half_arcmin: float
    ninety_five_percent_arcmin: float
    chance_in_field: float


def response(design: Design, controller: Controller, centring_arcmin: float, chosen: IntArray) -> FloatArray:
    """How a controller's zero points and polar axis answer to the offsets at its syncs: (..., 4, 2 k).

    `chosen` (..., k) are stars in the order of their syncs; leading axes are alternatives. A `shift`
    controller hears only the last sync; of a `model` controller it is assumed that it solves its zero points
    and its polar axis by least squares from all of them.
    """
    columns = design.stars[chosen]
    if controller is Controller.SHIFT:
        result = np.zeros((*chosen.shape[:-1], 4, 2 * chosen.shape[-1]))
        result[..., :2, -2:] = np.linalg.inv(columns[..., -1, :, :2])
        return result
    rows = columns[..., :4].reshape(*chosen.shape[:-1], -1, 4)
    ridge = np.diag([1e-8, 1e-8, *[(centring_arcmin / POLAR_OF_CONTROLLER_ARCMIN) ** 2] * 2])
    turned = np.swapaxes(rows, -1, -2)
    return np.linalg.solve(turned @ rows + ridge, turned).astype(np.float64, copy=False)


def mean_square_arcmin2(design: Design, knowledge: Knowledge, chosen: IntArray) -> FloatArray:
    """Mean squared landing offset over the targets for alternatives `chosen` (..., k), arcminutes squared."""
    gram = np.einsum("tai,taj->ij", design.targets, design.targets) / design.targets.shape[0]
    moments = knowledge.covariance() + np.outer(knowledge.mean(), knowledge.mean())
    answer = response(design, knowledge.machine.controller, knowledge.centring_arcmin, chosen)
    effect = _effect(design, answer, chosen)
    systematic = np.einsum("...ia,ij,...jb,ab->...", effect, gram, effect, moments, optimize=True)
    centring = np.einsum("...ia,ij,...ja->...", answer, gram[:4, :4], answer, optimize=True)
    result: FloatArray = (
        systematic + knowledge.centring_arcmin**2 * centring + 2.0 * knowledge.noise_arcmin**2
    )
    return result


def expected_landing(
    design: Design, knowledge: Knowledge, chosen: IntArray, field_arcmin: float | None = None
) -> ExpectedLanding:
    """Where go-tos land after syncs on `chosen` (k,), over all targets alike.

    Neglects: second-order terms (1' where the polar axis is 1 degree off) and the uncertainty of the noise.
    """
    answer = response(design, knowledge.machine.controller, knowledge.centring_arcmin, chosen)
    effect = design.targets @ _effect(design, answer, chosen)
    centre = effect @ knowledge.mean()
    slips = design.targets[:, :, :4] @ answer * knowledge.centring_arcmin
    spread = effect @ knowledge.covariance() @ np.swapaxes(effect, 1, 2) + slips @ np.swapaxes(slips, 1, 2)
    spread += knowledge.noise_arcmin**2 * np.eye(2)
    points = np.linalg.cholesky(spread) @ _normal_points()
    radius = np.hypot(*(centre[:, :, None] + points).transpose(1, 0, 2)).ravel()
    half, most = np.quantile(radius, [0.5, 0.95])
    chance = np.nan if field_arcmin is None else float(np.mean(radius <= field_arcmin / 2.0))
    return ExpectedLanding(float(half), float(most), float(chance))


def _effect(design: Design, answer: FloatArray, chosen: IntArray) -> FloatArray:
    """What is left of the six unknowns in the eight columns once the controller has answered: (..., 8, 6)."""
    seen = design.stars[chosen][..., 2:].reshape(*chosen.shape[:-1], -1, 6)
    left = np.zeros((*chosen.shape[:-1], 8, 6))
    left[..., 2:, :] = np.eye(6)
    left[..., :4, :] -= answer @ seen
    return left


def _columns(machine: Machine, places: StarPlaces) -> FloatArray:
    arrived = Arrived.of(places, machine.mount_type, machine.corrects_refraction)
    offsets, slopes = offsets_and_slopes(arrived, AxisErrors(*np.zeros((7, places.dec_deg.size))))
    return np.concatenate([slopes.transpose(2, 0, 1), offsets.T[:, :, None]], axis=2)


def _normal_points() -> FloatArray:
    """Points that stand for a two-axis standard normal, each as likely as the others: (2, RINGS x SPOKES)."""
    radius = np.sqrt(-2.0 * np.log1p(-(np.arange(RINGS) + 0.5) / RINGS))
    angle = 2.0 * np.pi * np.arange(SPOKES) / SPOKES
    return np.stack([np.outer(radius, np.cos(angle)).ravel(), np.outer(radius, np.sin(angle)).ravel()])
