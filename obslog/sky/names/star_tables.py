"""The stars of the tables: about 580 named and bright ones, and the others to magnitude 6.5 in a table of their own.

That one is read only for a star that no other table has. On the path of every quick command: imports neither numpy nor
Skyfield.
"""

import csv
import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path

_TABLES = Path(__file__).parents[1] / "tables"
_TABLE, _FAINT_TABLE = _TABLES / "stars.csv", _TABLES / "stars_faint.csv"
_OTHER_NAMES = _TABLES / "star_other_names.csv"


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
        return designation_of(self.bayer, self.flamsteed, self.constellation, self.hip)


def designation_of(bayer: str | None, flamsteed: str | None, constellation: str, hip: int) -> str:
    letter = bayer or flamsteed
    return f"{letter} {constellation}" if letter else f"HIP {hip}"


@cache
def all_stars() -> tuple[Star, ...]:
    """Every star of the table, brightest first."""
    return tuple(star_at(place) for place in range(len(star_rows())))


@cache
def star_at(place: int) -> Star:
    """The star of that row. A quick verb asks for one star: only that one is made."""
    return _star(*star_rows()[place])


@cache
def star_rows() -> list[list[str]]:
    """The cells of each star, in the order of the table: its name, Bayer's letter, Flamsteed's number..."""
    return _rows_of(_TABLE)


def _rows_of(table: Path) -> list[list[str]]:
    """Without the head, and the remarks above it."""
    with table.open(encoding="utf-8", newline="") as file:
        rows = csv.reader(line for line in file if not line.startswith("#"))
        next(rows)
        return list(rows)


def _star(
    name: str, bayer: str, flamsteed: str, constellation: str, hip: str, catalogued: str, ra: str, dec: str,
    pm_ra: str, pm_dec: str, parallax: str, magnitude: str, magnitude_from: str, too_close_to: str,
) -> Star:  # fmt: skip
    return Star(
        name=name or designation_of(bayer, flamsteed, constellation, int(hip)),
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


def faint_star_of(hip: int) -> Star | None:
    """The star of the second table that has a HIP number."""
    table = _faint_table()
    start = table.find(f"\n{hip},") + 1
    return _faint_star_in(table[start : table.index("\n", start)]) if start else None


def faint_star_called(designation: str, constellation: str) -> Star | None:
    """The first star of the second table that has a letter, with or without its index, or a Flamsteed number.

    The table is searched as it stands, for reading it all would take longer.
    """
    escaped = re.escape(designation)
    as_letter, as_number = rf"{escaped}[12]?,\d*", rf"[^,]*,{escaped}"
    line = rf"^\d+,(?:{as_letter}|{as_number}),{constellation},.*$"
    found = re.search(line, _faint_table(), re.MULTILINE)
    return None if found is None else _faint_star_in(found[0])


def _faint_star_in(line: str) -> Star:
    hip, bayer, flamsteed, constellation, ra, dec, pm_ra, pm_dec, parallax, magnitude = line.split(",")
    return _star(
        "", bayer, flamsteed, constellation, hip, "", ra, dec, pm_ra, pm_dec, parallax, magnitude, "Hp", ""
    )


@cache
def _faint_table() -> str:
    return _FAINT_TABLE.read_text(encoding="utf-8")


@cache
def other_names() -> dict[str, int]:
    """Older names, and those of other lists than the IAU's, with the HIP numbers of their stars."""
    return {name: int(hip) for name, hip in _rows_of(_OTHER_NAMES)}


@cache
def other_names_by_hip() -> dict[int, list[str]]:
    found: dict[int, list[str]] = {}
    for name, hip in other_names().items():
        found.setdefault(hip, []).append(name)
    return found
