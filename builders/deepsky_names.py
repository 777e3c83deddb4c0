"""What deep-sky objects are called: how the source spells it, and what is renamed, moved, added."""

import re
import sqlite3
from collections.abc import Iterator

CATALOGUE_WORDS = {"Cl": "Cr", "H": "Harvard", "SH": "Sh"}  # "Cl" in the source is Collinder's catalogue

# The source takes M 102 for M 101 seen twice; nearly every list of 110 objects has NGC 5866.
ADDED_DESIGNATIONS = [
    ("M 102", "NGC 5866"),
    # Numbers of Melotte and Collinder that the source leaves out; common practice, from memory.
    ("Mel 13", "NGC 869"),
    ("Mel 14", "NGC 884"),
    ("Mel 88", "NGC 2632"),
    ("Cr 24", "NGC 869"),
    ("Cr 25", "NGC 884"),
    ("Cr 39", "Mel 20"),
    ("Cr 42", "Mel 22"),
    ("Cr 189", "NGC 2632"),
    ("Cr 256", "Mel 111"),
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
    "NGC 224": ["Andromeda Nebula"],
    "NGC 891": ["Silver Sliver Galaxy"],
    "NGC 1976": ["Great Nebula in Orion"],
    "NGC 2099": ["Salt and Pepper Cluster"],
    "NGC 2261": ["Hubble's Variable Nebula"],
    "NGC 2362": ["Tau Canis Majoris Cluster"],
    "NGC 2392": ["Clown Face Nebula"],
    "NGC 3031": ["Bode's Nebula"],
    "NGC 3132": ["Southern Ring Nebula"],
    "NGC 3372": ["Keyhole Nebula"],
    "NGC 6960": ["Witch's Broom Nebula"],
    "NGC 7000": ["North American Nebula"],
    "IC 418": ["Spirograph Nebula"],
    "IC 2944": ["Running Chicken Nebula"],
    "IC 4628": ["Prawn Nebula"],
    "NGC 5457": ["Pinwheel Galaxy"],
    "NGC 6205": ["Great Hercules Cluster", "Great Cluster in Hercules", "Hercules Cluster"],
    "Mel 22": ["Seven Sisters"],
    "NGC 253": ["Sculptor Galaxy", "Silver Dollar Galaxy"],
    "NGC 281": ["Pacman Nebula"],
    "NGC 404": ["Mirach's Ghost"],
    "NGC 628": ["Phantom Galaxy"],
    "NGC 1068": ["Cetus A"],
    "NGC 1360": ["Robin's Egg Nebula"],
    "NGC 1514": ["Crystal Ball Nebula"],
    "NGC 246": ["Skull Nebula"],
    "NGC 292": ["SMC"],
    "NGC 457": ["ET Cluster", "Dragonfly Cluster"],
    "NGC 2264": ["Cone Nebula", "Snowflake Cluster"],
    "NGC 2287": ["Little Beehive Cluster"],
    "NGC 2359": ["Thor's Helmet"],
    "NGC 2419": ["Intergalactic Wanderer", "Intergalactic Tramp"],
    "NGC 2683": ["UFO Galaxy"],
    "NGC 3242": ["Ghost of Jupiter"],
    "NGC 3556": ["Surfboard Galaxy"],
    "NGC 3628": ["Hamburger Galaxy"],
    "NGC 4244": ["Silver Needle Galaxy"],
    "NGC 4486": ["Virgo A"],
    "NGC 4656": ["Hockey Stick Galaxy"],
    "NGC 4755": ["Jewel Box"],
    "NGC 5907": ["Splinter Galaxy", "Knife Edge Galaxy"],
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


def spelled(source_name: str) -> str:
    """The source's `NGC0061A`, `IC0080 NED01`, `ESO056-115` as people write it."""
    match = re.fullmatch(r"([A-Za-z]+) ?([0-9]+)(-[0-9]+)?(.*)", source_name)
    if match is None:
        raise ValueError(f"cannot read the designation {source_name!r}")
    letters, number, second, rest = match.groups()
    word = CATALOGUE_WORDS.get(letters, letters)
    return f"{word} {int(number)}{'-' + str(int(second[1:])) if second else ''}{rest}"


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
