"""The sidereal time that places are made with, at instants of UTC."""

import numpy as np
from numpy.typing import NDArray

from obslog.sky.places.apparent_places import sidereal_hours
from obslog.sky.places.kernel import When, skyfield_time, utc_array
from obslog.values import Place


def local_sidereal_hours(when_utc: When, place: Place) -> NDArray[np.float64]:
    """The local apparent sidereal time, in hours from 0 to 24; the shape of the instants."""
    when = utc_array(when_utc)
    return sidereal_hours(skyfield_time(when), place).reshape(when.shape)
