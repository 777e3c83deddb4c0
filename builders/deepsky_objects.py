"""One object of the source as a line of our table: its own values, those corrected, and the magnitude to be trusted."""

import csv
import math
import re
import sqlite3
from pathlib import Path
from typing import NamedTuple

from builders.deepsky_magnitudes import (
    CLUSTER_COLOURS,
    FROM_B,
    GALAXIES,
    b_from_surface,
    usual_colour,
    visual_magnitude,
)
from builders.deepsky_names import spelled

TYPE_WORDS = {
    "*": "star",
    "**": "double star",
    "*Ass": "association of stars",
    "OCl": "open cluster",
    "GCl": "globular cluster",
    "Cl+N": "cluster with nebula",
    "G": "galaxy",
    "GPair": "pair of galaxies",
    "GTrpl": "three galaxies",
    "GGroup": "group of galaxies",
    "PN": "planetary nebula",
    "HII": "ionised hydrogen region",
    "DrkN": "dark nebula",
    "EmN": "emission nebula",
    "Neb": "nebula",
    "RfN": "reflection nebula",
    "SNR": "supernova remnant",
    "Nova": "nova",
    "Other": "other or unknown",
}
COLUMNS = (
    "designation", "type", "ra_hours", "dec_deg", "constellation", "major_arcmin", "minor_arcmin",
    "position_angle_deg", "v_mag", "b_mag", "surface_brightness", "magnitude_from", "size_from",
    "hubble_type",
)  # fmt: skip
CORRECTIONS = Path(__file__).with_name("deepsky_corrections.csv")
ADDED = Path(__file__).with_name("deepsky_added.csv")

# A nebula that goes by a star's number as well has the star's magnitude in the source.
_NUMBER_OF_A_STAR = re.compile(r"(HD|HIP|BD|CD|TYC|SAO) ")
_GLOWS = ("Neb", "RfN", "HII", "EmN")
# No cluster or galaxy is bluer or redder: B is then of something else. Globular clusters are old and yellow.
_BLUEST, _BLUEST_GLOBULAR, _REDDEST = -0.5, 0.0, 2.2

Values = dict[str, str]


class Correction(NamedTuple):
    """A value that replaces the source's, empty for unknown, and the work it is from."""

    value: str
    source: str


def corrections() -> dict[str, dict[str, Correction]]:
    """The corrections by designation and column."""
    found: dict[str, dict[str, Correction]] = {}
    with CORRECTIONS.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(line for line in file if not line.startswith("#")):
            if row["column"] not in COLUMNS:
                raise ValueError(f"there is no column {row['column']!r}")
            columns = found.setdefault(row["designation"], {})
            columns[row["column"]] = Correction(row["value"], row["source"])
    return found


def object_line(row: sqlite3.Row, corrected: dict[str, Correction]) -> str:
    """The line of one object in the order of `COLUMNS`."""
    values = _own_values(row)
    values |= {column: correction.value for column, correction in corrected.items()}
    magnitude = corrected.get("v_mag")
    if magnitude and magnitude.value:
        values["magnitude_from"] = magnitude.source
    else:
        values |= _trusted(row, values)
    if row["type"] in (*CLUSTER_COLOURS, *GALAXIES) and values["magnitude_from"] != FROM_B:
        bluest = _BLUEST_GLOBULAR if row["type"] == "GCl" else _BLUEST
        values["b_mag"] = _believable_b(values, bluest)
    size = corrected.get("major_arcmin")
    values["size_from"] = size.source if size and size.value else ""
    return ",".join(values[column] for column in COLUMNS)


def added_rows() -> list[Values]:
    """The objects that the source lacks, with their names."""
    with ADDED.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


def added_lines() -> list[str]:
    """Their lines, in the order of the file."""
    lines = []
    for row in added_rows():
        magnitude_from = "handbooks" if row["v_mag"] else ""
        values = row | {"magnitude_from": magnitude_from, "size_from": "handbooks"}
        lines.append(",".join(values.get(column, "") for column in COLUMNS))
    return lines


def _own_values(row: sqlite3.Row) -> Values:
    of_a_star = row["type"] in _GLOWS and any(
        map(_NUMBER_OF_A_STAR.match, (row["identifiers"] or "").split(","))
    )
    return {
        "designation": spelled(row["name"]),
        "type": TYPE_WORDS[row["type"]],
        "ra_hours": number(math.degrees(row["ra"]) / 15, 6),
        "dec_deg": number(math.degrees(row["dec"]), 5),
        "constellation": "Ser" if row["const"] in ("Se1", "Se2") else row["const"],  # head and tail of one
        "major_arcmin": number(row["majax"], 2),
        "minor_arcmin": number(row["minax"], 2),
        "position_angle_deg": number(row["pa"], 0),
        "v_mag": "" if of_a_star else number(row["vmag"], 2),
        "b_mag": "" if of_a_star else number(row["bmag"], 2),
        "surface_brightness": number(row["sbrightn"], 2),
        "hubble_type": row["hubble"] or "",
    }


def _trusted(row: sqlite3.Row, values: Values) -> Values:
    """The visual magnitude by the rule of deepsky_magnitudes.py, and where it is from."""
    v_mag, b_mag, surface, major, minor = (
        float(values[column]) if values[column] else None
        for column in ("v_mag", "b_mag", "surface_brightness", "major_arcmin", "minor_arcmin")
    )
    found = visual_magnitude(
        v_mag,
        b_mag,
        b_from_surface(surface, major, minor),
        usual_colour(row["type"], row["hubble"]),
        judged=row["type"] in GALAXIES,
    )
    source = found.source or ("B" if values["b_mag"] else "")
    return {"v_mag": number(found.magnitude, 2), "magnitude_from": source}


def _believable_b(values: Values, bluest: float) -> str:
    if values["v_mag"] and values["b_mag"]:
        colour = float(values["b_mag"]) - float(values["v_mag"])
        return values["b_mag"] if bluest <= colour <= _REDDEST else ""
    return values["b_mag"]


def number(value: float | None, decimals: int) -> str:
    """A number for the table without needless zeros; nothing for an unknown one."""
    if value is None:
        return ""
    text = f"{value:.{decimals}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
