"""What deep-sky objects are called: every spelling of a name leads to one designation.

Numpy-free and quick, because it is on the way of commands typed in the dark.
"""

import re
import unicodedata
from functools import lru_cache
from pathlib import Path

TABLES = Path(__file__).parents[1] / "tables"

CATALOGUE_SPELLINGS = {
    "m": "M",
    "messier": "M",
    "n": "NGC",
    "ngc": "NGC",
    "i": "IC",
    "ic": "IC",
    "c": "C",
    "caldwell": "C",
    "b": "B",
    "barnard": "B",
    "cr": "Cr",
    "col": "Cr",
    "collinder": "Cr",
    "mel": "Mel",
    "melotte": "Mel",
    "harvard": "Harvard",
    "hcg": "HCG",
    "hickson": "HCG",
    "stock": "Stock",
    "tr": "Tr",
    "trumpler": "Tr",
    "sh": "Sh",
    "sharpless": "Sh",
    "lbn": "LBN",
    "eso": "ESO",
    "mwsc": "MWSC",
    "pgc": "PGC",
    "ugc": "UGC",
    "ugca": "UGCA",
}
TWO_NUMBER_CATALOGUES = ("ESO", "Sh")
_DESIGNATION = re.compile(r"([a-z]+)[ .-]*0*(\d+)(.*)")
_SECOND_NUMBER = re.compile(r"[ /-]+0*(\d+)")

# "Whirlpool" stands for "Whirlpool Galaxy", but "Orion" does not stand for a nebula.
_KIND_WORDS = ("nebula", "galaxy", "galaxies", "cluster", "quintet", "sextet")
_CONSTELLATIONS_IN_NAMES = {
    "andromeda",
    "carina",
    "circinus",
    "hercules",
    "orion",
    "sculptor",
    "triangulum",
    "virgo",
}


def name_key(text: str) -> str:
    """A common name reduced to what matters: no case, accents, apostrophes, spaces, hyphens or article.

    Source: Unicode Standard Annex 15, form NFKD, for the accents.
    """
    plain = unicodedata.normalize("NFKD", text.replace("&", " and ")).casefold()
    words = re.sub(r"[^a-z0-9 ]", "", plain.replace("-", " ")).split()
    return "".join(words[1:] if words[:1] == ["the"] and len(words) > 1 else words)


def read_designation(text: str) -> str | None:
    """The usual spelling of a catalogue designation: of `m31` it is `M 31`; None if it is no designation.

    It does not say whether the catalogue has such a number. Of `NGC 650-1` the first number counts.
    """
    match = _DESIGNATION.fullmatch(" ".join(text.casefold().split()))
    if match is None:
        return None
    word, number, rest = match.groups()
    catalogue = CATALOGUE_SPELLINGS.get(word)
    if catalogue is None:
        return None
    second = _SECOND_NUMBER.fullmatch(rest)
    if catalogue in TWO_NUMBER_CATALOGUES and second:
        return f"{catalogue} {number}-{second[1]}"
    if catalogue == "Sh":  # of Sharpless's two lists everybody means the second
        return f"Sh 2-{number}"
    return f"{catalogue} {number}{'' if second else _part(rest)}"


def designation_of(text: str) -> str | None:
    """The designation that `text` stands for, one that the table of objects has if any does; None if unknown.

    An empty text stands for a number the old catalogues gave to nothing.
    """
    designation = read_designation(text)
    if designation is not None:
        return other_designations().get(designation, designation)
    return _objects_by_key().get(name_key(text))


def objects_shortly_named(text: str) -> dict[str, str]:
    """Designation by full name, of the names that are `text` and a word like nebula or cluster."""
    return dict(_names_by_short_key().get(name_key(text), ()))


@lru_cache(maxsize=1)
def other_designations() -> dict[str, str]:
    """The object's own designation by every other one; empty where nothing is there."""
    return dict(_pairs("deepsky_designations.csv"))


@lru_cache(maxsize=1)
def common_names() -> tuple[tuple[str, str], ...]:
    """Common name and designation, in pairs; of two objects with one name the likelier comes first."""
    return tuple(_pairs("deepsky_names.csv"))


def table_text(file_name: str) -> str:
    """The rows of a table, each ended by a new line, without comments and titles."""
    text = (TABLES / file_name).read_text(encoding="utf-8")
    start = 0
    while text[start] == "#":
        start = text.index("\n", start) + 1
    return text[text.index("\n", start) + 1 :]


def _pairs(file_name: str) -> list[tuple[str, str]]:
    halves = (line.partition(",") for line in table_text(file_name).splitlines())
    return [(left, right) for left, _, right in halves]


def _part(rest: str) -> str:
    part = rest.strip().upper()
    return f" {part}" if part.startswith("NED") else part


@lru_cache(maxsize=1)
def _objects_by_key() -> dict[str, str]:
    return {name_key(name): designation for name, designation in reversed(common_names())}


@lru_cache(maxsize=1)
def _names_by_short_key() -> dict[str, list[tuple[str, str]]]:
    short: dict[str, list[tuple[str, str]]] = {}
    for name, designation in reversed(common_names()):
        first, _, last = name.rpartition(" ")
        if last.casefold() in _KIND_WORDS and first.casefold() not in _CONSTELLATIONS_IN_NAMES:
            short.setdefault(name_key(first), []).append((name, designation))
    return short
