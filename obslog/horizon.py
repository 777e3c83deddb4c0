"""What trees and houses hide at a site: corners of azimuth and altitude, joined by straight lines round the horizon.

Degrees; azimuth from north through east. Imports no numpy: a line typed in the dark asks for one direction alone.
"""

from bisect import bisect_right
from typing import TYPE_CHECKING

from obslog.errors import WrongInput

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import ArrayLike, NDArray

Corner = tuple[float, float]
Horizon = tuple[Corner, ...]
"""Corners by azimuth, from 0 to below 360 degrees; empty where nobody measured the horizon."""

LOWEST_DEG, HIGHEST_DEG = -5.0, 90.0


class UnreadableHorizon(WrongInput):
    def __init__(self, text: str) -> None:
        super().__init__(
            f"The horizon {text!r} cannot be read.",
            "Write azimuth:altitude pairs in degrees, each azimuth once: '0:10,90:25,180:5,270:10'.",
        )


def read_horizon(text: str) -> Horizon:
    """The horizon that a text tells, its corners in any order, between commas or spaces; empty for an empty text.

    Raises UnreadableHorizon.
    """
    corners = sorted(_corner(part, text) for part in text.replace(",", " ").split())
    if len({az_deg for az_deg, _ in corners}) < len(corners):
        raise UnreadableHorizon(text)
    return tuple(corners)


def horizon_text(horizon: Horizon) -> str:
    """The horizon as it is stored and typed: '0:10,90:25'."""
    return ",".join(
        f"{az_deg!r}:{alt_deg!r}".replace(".0:", ":").removesuffix(".0") for az_deg, alt_deg in horizon
    )


def hidden_alt_deg(horizon: Horizon, az_deg: float) -> float:
    """The altitude below which things are hidden in one direction; -90 where the horizon is unknown."""
    if not horizon:
        return -90.0
    az_deg %= 360.0
    after = bisect_right(horizon, (az_deg, HIGHEST_DEG))
    (left_az, left_alt), (right_az, right_alt) = horizon[after - 1], horizon[after % len(horizon)]
    span = (right_az - left_az) % 360.0
    along = (az_deg - left_az) % 360.0 / span if span else 0.0
    return left_alt + along * (right_alt - left_alt)


def hidden_alts_deg(horizon: Horizon, az_deg: "ArrayLike") -> "NDArray[np.float64]":
    """As `hidden_alt_deg`, for directions of any shape."""
    import numpy as np

    if not horizon:
        return np.full(np.shape(az_deg), -90.0)
    corners = np.array(horizon)
    return np.asarray(np.interp(np.asarray(az_deg, float), corners[:, 0], corners[:, 1], period=360.0))


def _corner(part: str, whole: str) -> Corner:
    try:
        az_deg, alt_deg = (float(number) for number in part.split(":"))
    except ValueError as error:
        raise UnreadableHorizon(whole) from error
    if not (0 <= az_deg <= 360 and LOWEST_DEG <= alt_deg <= HIGHEST_DEG):
        raise UnreadableHorizon(whole)
    return az_deg % 360.0 + 0.0, alt_deg + 0.0
