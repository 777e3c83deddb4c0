"""Stars by name, from a table of about 580 named and bright stars.

On the path of every quick command: imports neither numpy nor Skyfield.
"""

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from pathlib import Path
from string import digits

from obslog.errors import WrongInput
from obslog.sky.names.constellations import abbreviations_by_spelling
from obslog.sky.names.spelling import folded

_TABLE = Path(__file__).parents[1] / "tables" / "stars.csv"

_GREEK = {
    "α": "alpha alf alp", "β": "beta bet", "γ": "gamma gam", "δ": "delta del", "ε": "epsilon eps",
    "ζ": "zeta zet", "η": "eta", "θ": "theta tet the", "ι": "iota iot", "κ": "kappa kap", "λ": "lambda lam",
    "μ": "mu", "ν": "nu", "ξ": "xi ksi", "ο": "omicron omi", "π": "pi", "ρ": "rho", "σ": "sigma sig",
    "τ": "tau", "υ": "upsilon ups", "φ": "phi", "χ": "chi", "ψ": "psi", "ω": "omega ome",
}  # fmt: skip
_LETTERS = {spelling: greek for greek, latin in _GREEK.items() for spelling in (greek, *latin.split())}


@dataclass(frozen=True, slots=True, kw_only=True)
class Star:
    """A star's place in the ICRS at epoch J2000.0, with what is needed to move it to another date.

    `bayer` is the Greek letter with its index (`θ1`) or another short designation (`80`), `constellation` the
    abbreviation. `pm_ra_mas_per_year` is on the sky (times cos dec). `band` names the magnitude's: V or Hp.
    `too_close_to` names a star of like brightness within half a degree: a poor choice for a sync.
    """

    name: str
    bayer: str | None
    constellation: str
    hip: int
    ra_hours: float
    dec_deg: float
    pm_ra_mas_per_year: float
    pm_dec_mas_per_year: float
    parallax_mas: float
    magnitude: float
    band: str
    too_close_to: str | None

    @property
    def designation(self) -> str:
        """Bayer or like designation, as in `α Lyr`; the HIP number where there is none."""
        return f"{self.bayer} {self.constellation}" if self.bayer else f"HIP {self.hip}"


class UnknownStar(WrongInput):
    """No star of the table answers to a name."""

    def __init__(self, text: str) -> None:
        self.text, self.nearest = text, _nearest_names(text)
        super().__init__(
            f"There is no star named {text!r}.",
            f"Did you mean {' or '.join(self.nearest)}? Stars are found by name, as alf Lyr or as HIP 91262.",
        )


@cache
def all_stars() -> tuple[Star, ...]:
    """Every star of the table, brightest first."""
    with _TABLE.open(encoding="utf-8", newline="") as file:
        rows = csv.reader(line for line in file if not line.startswith("#"))
        next(rows)
        return tuple(_star(*row) for row in rows)


def find_star(text: str) -> Star:
    """The star that a text names: by name, by Bayer designation in Greek or Latin letters, by HIP number.

    Case, accents, spaces and signs do not matter. A designation that several stars share (`alf Cen`, or
    `alf Cap` for α1 and α2) means the brightest of them.

    Raises: UnknownStar, with the three nearest names.
    """
    star = star_or_none(text)
    if star is None:
        raise UnknownStar(text)
    return star


def star_or_none(text: str) -> Star | None:
    """As `find_star`, with None for an unknown name."""
    name = folded(text)
    return _stars_by_name().get(name) or next(_stars_so_designated(name), None)


def search_stars(text: str) -> list[Star]:
    """The stars whose name holds a text: the one it names, then names that begin with it, the brighter first.

    Case, accents, spaces and signs do not matter; an empty text finds nothing.
    """
    wanted = folded(text)
    if not wanted:
        return []
    exact = star_or_none(text)
    names = {star: folded(star.name) for star in all_stars() if wanted in folded(star.name)}
    rest = sorted(names, key=lambda star: (not names[star].startswith(wanted), star.magnitude))
    return [exact, *(star for star in rest if star is not exact)] if exact else rest


def _star(
    name: str, bayer: str, constellation: str, hip: str, ra: str, dec: str, pm_ra: str, pm_dec: str,
    parallax: str, magnitude: str, band: str, too_close_to: str,
) -> Star:  # fmt: skip
    return Star(
        name=name,
        bayer=bayer or None,
        constellation=constellation,
        hip=int(hip),
        ra_hours=float(ra),
        dec_deg=float(dec),
        pm_ra_mas_per_year=float(pm_ra),
        pm_dec_mas_per_year=float(pm_dec),
        parallax_mas=float(parallax),
        magnitude=float(magnitude),
        band=band,
        too_close_to=too_close_to or None,
    )


@cache
def _stars_by_name() -> dict[str, Star]:
    return {key: star for star in all_stars() for key in (f"hip{star.hip}", folded(star.name))}


@cache
def _stars_by_designation() -> dict[tuple[str, str], Star]:
    """Stars by designation and constellation; a designation that several share is the brightest one's."""
    exact: dict[tuple[str, str], Star] = {}
    without_index: dict[tuple[str, str], Star] = {}
    for star in all_stars():
        if star.bayer:
            designation = _letter_and_index(folded(star.bayer))
            exact.setdefault((designation, star.constellation), star)
            without_index.setdefault((designation.rstrip(digits), star.constellation), star)
    return without_index | exact


def _stars_so_designated(name: str) -> Iterator[Star]:
    """The stars found by cutting a folded text into designation and constellation at every place."""
    stars, constellations = _stars_by_designation(), abbreviations_by_spelling()
    for cut in range(1, len(name)):
        constellation = constellations.get(name[cut:])
        star = stars.get((_letter_and_index(name[:cut]), constellation)) if constellation else None
        if star:
            yield star


def _letter_and_index(designation: str) -> str:
    """A folded designation with its letter in Greek and its index without leading zeros: `tet01` is `θ1`."""
    letter = designation.rstrip(digits)
    index = designation[len(letter) :].lstrip("0")
    return _LETTERS.get(letter, letter) + index


def _nearest_names(text: str) -> list[str]:
    names = {folded(star.name): star.name for star in all_stars() if star.name != f"HIP {star.hip}"}
    return [names[near] for near in get_close_matches(folded(text), names, n=3, cutoff=0.0)]
