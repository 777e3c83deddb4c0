"""Makes the three deep-sky tables from OpenNGC; run by hand with the package pyongc, never by obslog.

    python builders/make_deepsky.py

Duplicate records become other designations of the object they repeat, records of nothing become
designations of nothing, everything else is kept. Corrections stand below, each with its reason.
"""

import importlib.metadata
import math
import re
import sqlite3
from collections.abc import Iterable, Iterator
from pathlib import Path

TABLES = Path(__file__).parents[1] / "obslog" / "sky" / "tables"

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

CATALOGUE_WORDS = {"Cl": "Cr", "H": "Harvard", "SH": "Sh"}  # "Cl" in the source is Collinder's catalogue
KEPT_IDENTIFIERS = re.compile(r"(C|UGC|UGCA|LBN|Cl|Mel|SH) ([0-9-]+)")

# The source takes M 102 for M 101 seen twice; nearly every list of 110 objects has NGC 5866.
ADDED_DESIGNATIONS = [
    ("M 102", "NGC 5866"),
]

RENAMED = {  # abbreviations written out, and the article left away
    "omi Per Cloud": "Omicron Persei Cloud",
    "gam Cyg": "Gamma Cygni Nebula",
    "omi Vel Cluster": "Omicron Velorum Cluster",
    "tet Car Cluster": "Theta Carinae Cluster",
    "lam Cen Nebula": "Lambda Centauri Nebula",
    "rho Oph Nebula": "Rho Ophiuchi Nebula",
    "Small Sgr Star Cloud": "Small Sagittarius Star Cloud",
    "47 Tuc Cluster": "47 Tucanae",
    "chi Persei Cluster": "Chi Persei Cluster",
    "30 Dor Cluster": "30 Doradus",
    "eta Car Nebula": "Eta Carinae Nebula",
    "kappa Crucis Cluster": "Kappa Crucis Cluster",
    "S Nor Cluster": "S Normae Cluster",
    "omega Nebula": "Omega Nebula",
    "Bow-Tie nebula": "Bow-Tie Nebula",
    "Beehive": "Beehive Cluster",
    "Praesepe Cluster": "Praesepe",
    "Browning": None,  # nobody uses it
    "Alnilam": None,  # a star's own name belongs to the stars
}

MOVED = {  # the source gives the name to a neighbour, or slips a digit
    "Flame Nebula": "NGC 2024",
    "Cocoon Galaxy": "NGC 4490",
}

# In wide use among observers, absent from the source (common practice, no single source).
ADDED_NAMES = {
    "NGC 5457": ["Pinwheel Galaxy"],
    "NGC 6205": ["Great Hercules Cluster"],
    "Mel 22": ["Seven Sisters"],
    "NGC 253": ["Sculptor Galaxy"],
    "NGC 281": ["Pacman Nebula"],
    "NGC 404": ["Mirach's Ghost"],
    "NGC 628": ["Phantom Galaxy"],
    "NGC 1068": ["Cetus A"],
    "NGC 1360": ["Robin's Egg Nebula"],
    "NGC 1514": ["Crystal Ball Nebula"],
    "NGC 246": ["Skull Nebula"],
    "NGC 292": ["SMC"],
    "NGC 457": ["ET Cluster", "Dragonfly Cluster"],
    "NGC 2264": ["Cone Nebula"],
    "NGC 2287": ["Little Beehive Cluster"],
    "NGC 2359": ["Thor's Helmet"],
    "NGC 2419": ["Intergalactic Wanderer"],
    "NGC 2683": ["UFO Galaxy"],
    "NGC 3242": ["Ghost of Jupiter"],
    "NGC 3556": ["Surfboard Galaxy"],
    "NGC 3628": ["Hamburger Galaxy"],
    "NGC 4244": ["Silver Needle Galaxy"],
    "NGC 4486": ["Virgo A"],
    "NGC 4656": ["Hockey Stick Galaxy"],
    "NGC 4755": ["Jewel Box"],
    "NGC 5907": ["Splinter Galaxy"],
    "NGC 6210": ["Turtle Nebula"],
    "NGC 6334": ["Cat's Paw Nebula"],
    "NGC 7380": ["Wizard Nebula"],
    "NGC 7662": ["Blue Snowball"],
    "NGC 7789": ["Caroline's Rose"],
    "IC 443": ["Jellyfish Nebula"],
    "IC 1396": ["Elephant's Trunk Nebula"],
    "IC 1805": ["Heart Nebula"],
    "IC 1848": ["Soul Nebula"],
    "IC 2602": ["Southern Pleiades"],
    "ESO 56-115": ["LMC"],
    "Cr 399": ["Coathanger"],
    "C 99": ["Coalsack"],
}

LEADING_NAMES = {  # shown first where an object has several
    "Orion Nebula",
    "Little Dumbbell Nebula",
    "Omega Nebula",
    "Wild Duck Cluster",
    "Tarantula Nebula",
    "Sculptor Galaxy",
    "Blue Snowball",
    "Ghost of Jupiter",
    "Coathanger",
    "Jewel Box",
    "Veil Nebula",
}

# V magnitudes that the source has wrong by more than half a magnitude, or lacks for a showpiece. The source's B,
# from the same places, is dropped with them. All written down from memory of the works named.
CORRECTED_V: dict[str, float | None] = {
    # W. E. Harris, catalogue of globular clusters (1996, edition of 2010): integrated V
    "NGC 2808": 6.20,
    "NGC 3201": 6.75,
    "NGC 4372": 7.24,
    "NGC 4833": 6.91,
    "NGC 5139": 3.68,
    "NGC 5286": 7.34,
    "NGC 5694": 10.17,
    "NGC 6101": 9.16,
    "NGC 6171": 7.93,
    "NGC 6218": 6.70,
    "NGC 6254": 6.60,
    "NGC 6266": 6.45,
    "NGC 6273": 6.77,
    "NGC 6333": 7.72,
    "NGC 6352": 7.96,
    "NGC 6388": 6.72,
    "NGC 6397": 5.73,
    "NGC 6402": 7.59,
    "NGC 6441": 7.15,
    "NGC 6541": 6.30,
    "NGC 6637": 7.64,
    "NGC 6656": 5.10,
    "NGC 6681": 7.87,
    "NGC 6752": 5.40,
    "NGC 6838": 8.19,
    "NGC 6934": 8.83,
    "NGC 7078": 6.20,
    # G. de Vaucouleurs and others, Third Reference Catalogue of Bright Galaxies (1991): total V
    "NGC 4192": 10.14,
    "NGC 4258": 8.41,
    "NGC 4303": 9.65,
    "NGC 4374": 9.11,
    "NGC 4501": 9.59,
    "NGC 4548": 10.17,
    "NGC 4579": 9.66,
    "NGC 4594": 8.00,
    # P. Moore, Sky & Telescope, December 1995
    "C 14": 4.3,
    "C 41": 0.5,
    "NGC 4755": 4.2,
    "NGC 6193": 5.2,
    "IC 2602": 1.9,
    # 14.1 in the source, though one star of it is of magnitude 6; printed values differ
    "NGC 6882": None,
}


def spelled(source_name: str) -> str:
    """The source's `NGC0061A`, `IC0080 NED01`, `ESO056-115` as people write it."""
    match = re.fullmatch(r"([A-Za-z]+) ?([0-9]+)(-[0-9]+)?(.*)", source_name)
    if match is None:
        raise ValueError(f"cannot read the designation {source_name!r}")
    letters, number, second, rest = match.groups()
    word = CATALOGUE_WORDS.get(letters, letters)
    return f"{word} {int(number)}{'-' + str(int(second[1:])) if second else ''}{rest}"


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


def number(value: float | None, decimals: int) -> str:
    if value is None:
        return ""
    text = f"{value:.{decimals}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def object_line(row: sqlite3.Row) -> str:
    own = spelled(row["name"])
    v_mag, b_mag = (CORRECTED_V[own], None) if own in CORRECTED_V else (row["vmag"], row["bmag"])
    fields = [
        own,
        TYPE_WORDS[row["type"]],
        number(math.degrees(row["ra"]) / 15, 6),
        number(math.degrees(row["dec"]), 5),
        "Ser" if row["const"] in ("Se1", "Se2") else row["const"],  # head and tail of one constellation
        number(row["majax"], 2),
        number(row["minax"], 2),
        number(row["pa"], 0),
        number(v_mag, 2),
        number(b_mag, 2),
        number(row["sbrightn"], 2),
    ]
    return ",".join(fields)


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


def common_names(rows: list[sqlite3.Row]) -> Iterator[tuple[str, str]]:
    for row in rows:
        own = spelled(row["name"])
        names = [
            RENAMED.get(n.strip(), n.strip()) for n in (row["commonnames"] or "").split(",") if n.strip()
        ]
        for name in names:
            if name is not None and name not in MOVED:
                yield name.removeprefix("the "), own
        for name in ADDED_NAMES.get(own, []):
            yield name, own
    yield from MOVED.items()


def write_table(path: Path, notes: str, header: str, lines: Iterable[str]) -> None:
    comment = "".join(f"# {line}\n" for line in notes.strip().splitlines())
    path.write_text(comment + header + "\n" + "".join(f"{line}\n" for line in lines), encoding="utf-8")


def main() -> None:
    package = importlib.metadata.distribution("pyongc")
    rows = rows_of_the_source(Path(str(package.locate_file("pyongc/ongc.db"))))
    licence = (
        f"Adapted from OpenNGC, (c) 2017-2025 Mattia Verga, as packed in pyongc {package.version}.\n"
        "Licence: CC-BY-SA-4.0, see deepsky-LICENSE.txt. Made by make_deepsky.py, which lists every change."
    )
    kept = [row for row in rows if row["type"] not in ("Dup", "NonEx")]
    lines = sorted(map(object_line, kept), key=lambda line: catalogue_order(line.partition(",")[0]))
    columns = (
        "designation,type,ra_hours,dec_deg,constellation,major_arcmin,minor_arcmin,position_angle_deg,"
        "v_mag,b_mag,surface_brightness"
    )
    places = (
        "Places: J2000. Surface brightness: B magnitude per square arcsecond within the 25 mag isophote.\n"
    )
    write_table(TABLES / "deepsky.csv", places + licence, columns, lines)

    own = {line.partition(",")[0] for line in lines}
    pairs = sorted({pair for pair in other_designations(rows) if pair[0] not in own})
    about = "Every other designation of an object in deepsky.csv; an empty second column: nothing is there.\n"
    write_table(
        TABLES / "deepsky_designations.csv",
        about + licence,
        "other,designation",
        (f"{a},{b}" for a, b in pairs),
    )

    # Of two objects with one name, the one meant more often comes first: Messier, Caldwell, larger.
    listed = {b: a for a, b in pairs if re.match(r"[MC] \d", a)}
    size = {spelled(row["name"]): row["majax"] or 0 for row in kept}
    named = sorted(
        set(common_names(rows)),
        key=lambda pair: (
            listed.get(pair[1], "Z")[0] != "M",
            pair[1] not in listed,
            -size[pair[1]],
            catalogue_order(pair[1]),
            pair[0] not in LEADING_NAMES,
            pair[0],
        ),
    )
    about = "Common names of the objects in deepsky.csv; of two objects with one name the first is meant.\n"
    write_table(
        TABLES / "deepsky_names.csv", about + licence, "name,designation", (f"{a},{b}" for a, b in named)
    )


if __name__ == "__main__":
    main()
