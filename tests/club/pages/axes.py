"""Axes of set-ups made by hand."""

from datetime import date
from math import hypot
from uuid import UUID

from obslog.club.pages.axes_on_sky import AxisOnSky
from obslog.values import Estimate, SetupId


def setup_id(day: date, mount: str = "Heron") -> SetupId:
    return SetupId(key=UUID(int=day.toordinal()), night=day, setup=1, site="Mill Field", mount=mount)


def axis(
    day: date, up: float, east: float, *, determined: bool = True, facing_south: bool = False
) -> AxisOnSky:
    """An axis that far up and east of the pole, each known to 2'."""
    return AxisOnSky(
        setup=setup_id(day),
        observer="Ines",
        up_arcmin=Estimate(up, 2.0, 5, determined=determined),
        east_arcmin=Estimate(east, 2.0, 5, determined=determined),
        separation_arcmin=Estimate(hypot(up, east), 2.0, 5, determined=determined),
        facing_south=facing_south,
    )
