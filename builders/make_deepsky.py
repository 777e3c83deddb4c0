"""Makes the three deep-sky tables from OpenNGC; run by hand with the package pyongc, never by obslog.

    python -m builders.make_deepsky [FOLDER]

Duplicate records become other designations of the object they repeat, records of nothing become
designations of nothing, everything else is kept. What replaces the source's own values stands with its reason in
deepsky_corrections.csv; the magnitude to be trusted is chosen in deepsky_magnitudes.py; names are in deepsky_names.py.
"""

import importlib.metadata
import re
import sqlite3
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path

from builders.deepsky_names import ADDED_DESIGNATIONS, LEADING_NAMES, common_names, spelled
from builders.deepsky_objects import COLUMNS, added_lines, added_rows, corrections, object_line

TABLES = Path(__file__).parents[1] / "obslog" / "sky" / "tables"

KEPT_IDENTIFIERS = re.compile(r"(C|UGC|UGCA|LBN|Cl|Mel|SH) ([0-9-]+)")


def rows_of_the_source(database: Path) -> list[sqlite3.Row]:
    connection = sqlite3.connect(f"file:{database}?mode=ro", uri=True)
    connection.row_factory = sqlite3.Row
    try:
        return list(connection.execute("SELECT * FROM objects"))
    finally:
        connection.close()


def catalogue_order(designation: str) -> tuple[int, str, int, str]:
    match = re.match(r"(\S+) (\d+)(.*)", designation)
    if match is None:
        raise ValueError(f"cannot order the designation {designation!r}")
    word, number, rest = match.groups()
    return {"NGC": 0, "IC": 1}.get(word, 2), word, int(number), rest


def original_of(row: sqlite3.Row, by_name: dict[str, sqlite3.Row]) -> str:
    """The object that a duplicate record repeats, through further duplicates if need be."""
    seen = {row["name"]}
    while row["type"] == "Dup":
        targets = [f"{word}{row[word.lower()]}" for word in ("NGC", "IC") if row[word.lower()]]
        row = next(by_name[t] for t in targets if t not in seen and t in by_name)
        seen.add(row["name"])
    return spelled(row["name"])


def other_designations(rows: list[sqlite3.Row]) -> Iterator[tuple[str, str]]:
    by_name = {row["name"]: row for row in rows}
    for row in rows:
        own = spelled(row["name"])
        if row["name"] == "M102":
            continue
        if row["type"] == "NonEx":
            yield own, ""
        elif row["type"] == "Dup":
            yield own, original_of(row, by_name)
        else:
            if row["messier"]:
                yield f"M {int(row['messier'])}", own
            for identifier in (row["identifiers"] or "").split(","):
                if KEPT_IDENTIFIERS.fullmatch(identifier.strip()):
                    yield spelled(identifier.strip()), own
    yield from ADDED_DESIGNATIONS


def write_table(path: Path, notes: str, header: str, lines: Iterable[str]) -> None:
    comment = "".join(f"# {line}\n" for line in notes.strip().splitlines())
    path.write_text(comment + header + "\n" + "".join(f"{line}\n" for line in lines), encoding="utf-8")


def object_lines(rows: list[sqlite3.Row]) -> list[str]:
    """The lines of all objects, in the order of their designations."""
    corrected = corrections()
    unknown = set(corrected) - {spelled(row["name"]) for row in rows}
    if unknown:
        raise ValueError(f"corrections of objects that are not there: {sorted(unknown)}")
    lines = [object_line(row, corrected.get(spelled(row["name"]), {})) for row in rows]
    return sorted([*lines, *added_lines()], key=lambda line: catalogue_order(line.partition(",")[0]))


def in_order_of_meaning(
    names: Iterable[tuple[str, str]], rows: list[sqlite3.Row], pairs: Iterable[tuple[str, str]]
) -> list[tuple[str, str]]:
    """Of two objects with one name, the one meant more often comes first: Messier, Caldwell, larger."""
    listed = {b: a for a, b in pairs if re.match(r"[MC] \d", a)}
    size = {spelled(row["name"]): row["majax"] or 0 for row in rows}
    return sorted(
        names,
        key=lambda pair: (
            listed.get(pair[1], "Z")[0] != "M",
            pair[1] not in listed,
            -size.get(pair[1], 0),
            catalogue_order(pair[1]),
            pair[0] not in LEADING_NAMES,
            pair[0],
        ),
    )


def main(folder: Path = TABLES) -> None:
    """Writes the three tables into a folder."""
    package = importlib.metadata.distribution("pyongc")
    rows = rows_of_the_source(Path(str(package.locate_file("pyongc/ongc.db"))))
    licence = (
        f"Adapted from OpenNGC, (c) 2017-2025 Mattia Verga, as packed in pyongc {package.version}.\n"
        "Licence: CC-BY-SA-4.0, https://creativecommons.org/licenses/by-sa/4.0/, see deepsky-LICENSE.txt.\n"
        "Changed: see builders/make_deepsky.py, which makes this table, and the files named in it."
    )
    kept = [row for row in rows if row["type"] not in ("Dup", "NonEx")]
    lines = object_lines(kept)
    about = (
        "Places: J2000. Surface brightness: B magnitude per square arcsecond within the 25 mag isophote.\n"
        "magnitude_from: V, as in the source; from B, less the usual colour of the type; from surface brightness,\n"
        "times the size; B, where no V is known; or the work that corrects it, as size_from, see\n"
        "builders/deepsky_corrections.csv. hubble_type: of galaxies, as in the source, or dE as corrected there.\n"
    )
    write_table(folder / "deepsky.csv", about + licence, ",".join(COLUMNS), lines)

    own = {line.partition(",")[0] for line in lines}
    pairs = sorted({pair for pair in other_designations(rows) if pair[0] not in own})
    about = "Every other designation of an object in deepsky.csv; an empty second column: nothing is there.\n"
    write_table(
        folder / "deepsky_designations.csv",
        about + licence,
        "other,designation",
        (f"{a},{b}" for a, b in pairs),
    )
    added = {(row["name"], row["designation"]) for row in added_rows() if row["name"]}
    named = in_order_of_meaning(added | set(common_names(rows)), kept, pairs)
    about = "Common names of the objects in deepsky.csv; of two objects with one name the first is meant.\n"
    write_table(
        folder / "deepsky_names.csv", about + licence, "name,designation", (f"{a},{b}" for a, b in named)
    )


if __name__ == "__main__":
    main(*map(Path, sys.argv[1:]))
