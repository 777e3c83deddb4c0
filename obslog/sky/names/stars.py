"""Stars by name, from a table of about 580 named and bright stars.

The other stars to magnitude 6.5 stand in a table of their own, which is read only for a name that no bright star has.
On the path of every quick command: imports neither numpy nor Skyfield.
"""

import csv
import re
from collections.abc import Iterator
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from pathlib import Path
from string import digits

from obslog.errors import WrongInput
from obslog.sky.names.constellations import abbreviations_by_spelling
from obslog.sky.names.spelling import folded

_TABLES = Path(__file__).parents[1] / "tables"
_TABLE, _FAINT_TABLE = _TABLES / "stars.csv", _TABLES / "stars_faint.csv"
_OTHER_NAMES = _TABLES / "star_other_names.csv"

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

    `name` is that of the IAU, else the designation. `bayer` is the Greek letter with its index (`θ1`) or what stands
    for one, `flamsteed` the number (`58`), `constellation` the abbreviation, `catalogued` a designation such as
    `HR 7001`. `pm_ra_mas_per_year` is on the sky (times cos dec). `magnitude` is V; `magnitude_from` tells what from.
    `too_close_to` names a star of like brightness within half a degree: a poor choice for a sync.
    """

    name: str
    bayer: str | None
    flamsteed: str | None
    constellation: str
    hip: int
    catalogued: str | None
    ra_hours: float
    dec_deg: float
    pm_ra_mas_per_year: float
    pm_dec_mas_per_year: float
    parallax_mas: float
    magnitude: float
    magnitude_from: str
    too_close_to: str | None

    @property
    def band(self) -> str:
        return "V"

    @property
    def is_named(self) -> bool:
        """Whether it has a name of its own, and not a designation only."""
        return self.name != self.designation

    @property
    def designation(self) -> str:
        """Bayer's letter or Flamsteed's number, as in `α Lyr`; the HIP number where there is neither."""
        return _designation(self.bayer, self.flamsteed, self.constellation, self.hip)


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
    return tuple(_star_at(place) for place in range(len(_rows())))


def find_star(text: str) -> Star:
    """The star that a text names: by name, by Bayer's letter in Greek or Latin, by Flamsteed, HIP or HR number.

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
    place = _places_by_name().get(name)
    if place is None:
        place = next(_places_so_designated(name), None)
    if place is not None:
        return _star_at(place)
    return faint_star_or_none(_numbers_by_other_name().get(name, name))


def search_stars(text: str) -> list[Star]:
    """The stars whose name, or an older one, holds a text: the one it names, then those that begin with it.

    Brighter ones first. Case, accents, spaces and signs do not matter; an empty text finds nothing.
    """
    wanted = folded(text)
    if not wanted:
        return []
    exact = star_or_none(text)
    older = _other_names_by_hip()
    names: dict[Star, str] = {}
    for star in all_stars():
        fitting = (name for name in map(folded, (star.name, *older.get(star.hip, ()))) if wanted in name)
        best = min(fitting, key=lambda name: not name.startswith(wanted), default=None)
        if best is not None:
            names[star] = best
    rest = sorted(names, key=lambda star: (not names[star].startswith(wanted), star.magnitude))
    return [exact, *(star for star in rest if star is not exact)] if exact else rest


def faint_star_or_none(name: str) -> Star | None:
    """The star of the second table that a folded text names by HIP number, letter or Flamsteed number."""
    if name.startswith("hip") and name[3:].isdigit():
        return _faint_star_of(int(name[3:]))
    for cut in range(1, len(name)):
        constellation = abbreviations_by_spelling().get(name[cut:])
        designation = _letter_and_index(name[:cut])
        if constellation and designation:
            letter = re.escape(designation)
            as_letter, as_number = rf"{letter}[12]?,\d*", rf"[^,]*,{letter}"
            return _faint_star(rf"^\d+,(?:{as_letter}|{as_number}),{constellation},.*$")
    return None


def also_called(star: Star) -> list[str]:
    """A star's designations and older names, without the name that it is shown under."""
    flamsteed = [f"{star.flamsteed} {star.constellation}"] if star.flamsteed else []
    catalogued = [star.catalogued] if star.catalogued else []
    older = _other_names_by_hip().get(star.hip, [])
    known = [star.designation, *flamsteed, f"HIP {star.hip}", *catalogued, *older]
    return [name for name in dict.fromkeys(known) if name != star.name]


def known_names() -> list[str]:
    """The names that people may have meant: of the IAU, older ones, and designations of bright stars."""
    return [*(star.name for star in all_stars() if not star.name.startswith("HIP ")), *_other_names()]


def greek_spelled_out(letter: str) -> str:
    """The Latin name of a Greek letter, in any of its spellings: `ome` and `ω` are omega; other texts stay."""
    greek = _LETTERS.get(folded(letter))
    return _GREEK[greek].split()[0] if greek else letter


def _designation(bayer: str | None, flamsteed: str | None, constellation: str, hip: int) -> str:
    letter = bayer or flamsteed
    return f"{letter} {constellation}" if letter else f"HIP {hip}"


def _star(
    name: str, bayer: str, flamsteed: str, constellation: str, hip: str, catalogued: str, ra: str, dec: str,
    pm_ra: str, pm_dec: str, parallax: str, magnitude: str, magnitude_from: str, too_close_to: str,
) -> Star:  # fmt: skip
    return Star(
        name=name or _designation(bayer, flamsteed, constellation, int(hip)),
        bayer=bayer or None,
        flamsteed=flamsteed or None,
        constellation=constellation,
        hip=int(hip),
        catalogued=catalogued or None,
        ra_hours=float(ra),
        dec_deg=float(dec),
        pm_ra_mas_per_year=float(pm_ra),
        pm_dec_mas_per_year=float(pm_dec),
        parallax_mas=float(parallax),
        magnitude=float(magnitude),
        magnitude_from=magnitude_from,
        too_close_to=too_close_to or None,
    )


def _faint_star(line: str) -> Star | None:
    """The star whose line a pattern fits; the table is searched as it stands, for reading it all would take longer."""
    found = re.search(line, _faint_table(), re.MULTILINE)
    return None if found is None else _faint_star_in(found[0])


def _faint_star_of(hip: int) -> Star | None:
    table = _faint_table()
    start = table.find(f"\n{hip},") + 1
    return _faint_star_in(table[start : table.index("\n", start)]) if start else None


def _faint_star_in(line: str) -> Star:
    hip, bayer, flamsteed, constellation, ra, dec, pm_ra, pm_dec, parallax, magnitude = line.split(",")
    return _star(
        "", bayer, flamsteed, constellation, hip, "", ra, dec, pm_ra, pm_dec, parallax, magnitude, "Hp", ""
    )


@cache
def _faint_table() -> str:
    return _FAINT_TABLE.read_text(encoding="utf-8")


@cache
def _other_names() -> dict[str, int]:
    with _OTHER_NAMES.open(encoding="utf-8", newline="") as file:
        rows = csv.reader(line for line in file if not line.startswith("#"))
        next(rows)
        return {name: int(hip) for name, hip in rows}


@cache
def _other_names_by_hip() -> dict[int, list[str]]:
    found: dict[int, list[str]] = {}
    for name, hip in _other_names().items():
        found.setdefault(hip, []).append(name)
    return found


@cache
def _numbers_by_other_name() -> dict[str, str]:
    return {folded(name): f"hip{hip}" for name, hip in _other_names().items()}


@cache
def _rows() -> list[list[str]]:
    """The lines of the table. A quick verb asks for one star: only that one is made."""
    with _TABLE.open(encoding="utf-8", newline="") as file:
        rows = csv.reader(line for line in file if not line.startswith("#"))
        next(rows)
        return list(rows)


@cache
def _star_at(place: int) -> Star:
    return _star(*_rows()[place])


@cache
def _places_by_name() -> dict[str, int]:
    """Places in the table by folded name and number; a name of the IAU's before an older one."""
    numbers: dict[str, int] = {}
    names: dict[str, int] = {}
    for place, (name, bayer, flamsteed, constellation, hip, catalogued, *_) in enumerate(_rows()):
        numbers[f"hip{hip}"] = place
        if catalogued:
            numbers[folded(catalogued)] = place
        names[folded(name or _designation(bayer, flamsteed, constellation, int(hip)))] = place
    older = {name: numbers[hip] for name, hip in _numbers_by_other_name().items() if hip in numbers}
    return older | numbers | names


@cache
def _places_by_designation() -> dict[tuple[str, str], int]:
    """Places by designation and constellation; a designation that several share is the brightest one's."""
    exact: dict[tuple[str, str], int] = {}
    without_index: dict[tuple[str, str], int] = {}
    for place, (_, bayer, flamsteed, constellation, *_) in enumerate(_rows()):
        if bayer:
            designation = _letter_and_index(folded(bayer))
            exact.setdefault((designation, constellation), place)
            without_index.setdefault((designation.rstrip(digits), constellation), place)
        if flamsteed:
            exact.setdefault((flamsteed, constellation), place)
    return without_index | exact


def _places_so_designated(name: str) -> Iterator[int]:
    """The places found by cutting a folded text into designation and constellation at every letter."""
    places, constellations = _places_by_designation(), abbreviations_by_spelling()
    for cut in range(1, len(name)):
        constellation = constellations.get(name[cut:])
        designation = _letter_and_index(name[:cut])
        place = places.get((designation, constellation)) if constellation and designation else None
        if place is not None:
            yield place


def _letter_and_index(designation: str) -> str:
    """A folded designation with its letter in Greek and its index without leading zeros: `tet01` is `θ1`.

    Of `0` nothing is left, and nothing designates no star.
    """
    letter = designation.rstrip(digits)
    index = designation[len(letter) :].lstrip("0")
    return _LETTERS.get(letter, letter) + index


def _nearest_names(text: str) -> list[str]:
    names = {folded(name): name for name in known_names()}
    return [names[near] for near in get_close_matches(folded(text), names, n=3, cutoff=0.0)]
