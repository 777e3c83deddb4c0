"""Catalogues and skies made by hand for the tests of how sure targets are to be seen."""

from dataclasses import dataclass

import numpy as np

from obslog.sky.contrast.galaxy_light import bulge_share
from obslog.sky.evening.object_arrays import Catalogue
from obslog.sky.evening.sky_behind import SkyBehind

NAN = float("nan")


@dataclass(frozen=True, slots=True, kw_only=True)
class Thing:
    """One thing of a catalogue made by hand."""

    name: str
    type: str
    magnitude: float = NAN
    size: tuple[float, float] = (NAN, NAN)
    hubble: str | None = None
    ra_hours: float = 0.0
    dec_deg: float = 0.0


def catalogue_of(*things: Thing) -> Catalogue:
    still = np.zeros(len(things))
    return Catalogue(
        names=tuple(thing.name for thing in things),
        titles=tuple(thing.name for thing in things),
        types=tuple(thing.type for thing in things),
        constellations=("And",) * len(things),
        ra_hours=np.array([thing.ra_hours for thing in things]),
        dec_deg=np.array([thing.dec_deg for thing in things]),
        pm_ra_mas_per_year=still,
        pm_dec_mas_per_year=still,
        magnitude=np.array([thing.magnitude for thing in things]),
        bands=(None,) * len(things),
        major_arcmin=np.array([thing.size[0] for thing in things]),
        minor_arcmin=np.array([thing.size[1] for thing in things]),
        bulge_share=np.array([bulge_share(thing.hubble) for thing in things]),
    )


def even_sky(count: int, dark_mag: float, lit_mag: float | None = None) -> SkyBehind:
    """The same sky behind all of them, seen through one air."""
    dark = np.full(count, dark_mag)
    return SkyBehind(dark, dark if lit_mag is None else np.full(count, lit_mag), np.full(count, 0.25))
