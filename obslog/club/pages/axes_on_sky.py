"""How far from the pole a mount's axis pointed, set-up by set-up, as one would see it in the sky."""

from dataclasses import dataclass

import numpy as np

from obslog.club.performance.placed_arrivals import PlacedArrivals
from obslog.pointing.joint_fit.answer import PointingFit
from obslog.values import Estimate, SetupId
from obslog.vocabulary.mounts import MountType


@dataclass(frozen=True, slots=True, kw_only=True)
class AxisOnSky:
    """The axis of one set-up beside the pole: how far above it and how far east of it, arcminutes of the sky.

    For an alt-azimuth mount the axis is that of azimuth and the pole the zenith: the base's lean north and east.
    `facing_south` where the pole is the southern one, so that east is to the left of who looks at it.
    """

    setup: SetupId
    observer: str | None
    up_arcmin: Estimate
    east_arcmin: Estimate
    separation_arcmin: Estimate
    facing_south: bool

    @property
    def determined(self) -> bool:
        """Whether the arrivals tell both."""
        return self.up_arcmin.determined and self.east_arcmin.determined


def axes_on_sky(placed: PlacedArrivals, fit: PointingFit) -> list[AxisOnSky]:
    """The axes of all set-ups in order of time.

    A turn in azimuth moves the pole's place by less in the sky, the higher the pole stands: by cos(latitude).
    """
    firsts = np.unique(placed.arrivals.setup, return_index=True)[1]
    latitudes = placed.arrivals.stars.lat_deg[firsts]
    level = placed.machine.mount_type is MountType.ALTAZ
    on_sky = np.ones_like(latitudes) if level else np.cos(np.radians(latitudes))
    return [
        AxisOnSky(
            setup=key,
            observer=observer,
            up_arcmin=setup.polar_altitude,
            east_arcmin=_times(setup.polar_azimuth, factor),
            separation_arcmin=setup.separation,
            facing_south=bool(latitude < 0 and not level),
        )
        for key, observer, setup, factor, latitude in zip(
            placed.setups,
            placed.circumstances.observers,
            fit.setups,
            on_sky.tolist(),
            latitudes.tolist(),
            strict=True,
        )
    ]


def _times(estimate: Estimate, factor: float) -> Estimate:
    return Estimate(
        estimate.value * factor, estimate.sd * factor, estimate.count, determined=estimate.determined
    )
