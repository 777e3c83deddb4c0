"""Stars by what people call them: names, letters, numbers, and what was meant by one that no star has.

On the path of every quick command: imports neither numpy nor Skyfield.
"""

from collections.abc import Iterator
from difflib import get_close_matches
from functools import cache
from string import digits

from obslog.errors import WrongInput
from obslog.sky.names.constellations import abbreviations_by_spelling
from obslog.sky.names.spelling import folded
from obslog.sky.names.star_tables import (
    Star,
    all_stars,
    designation_of,
    faint_star_called,
    faint_star_of,
    other_names,
    other_names_by_hip,
    star_at,
    star_rows,
)

_GREEK = {
    "α": "alpha alf alp", "β": "beta bet", "γ": "gamma gam", "δ": "delta del", "ε": "epsilon eps",
    "ζ": "zeta zet", "η": "eta", "θ": "theta tet the", "ι": "iota iot", "κ": "kappa kap", "λ": "lambda lam",
    "μ": "mu", "ν": "nu", "ξ": "xi ksi", "ο": "omicron omi", "π": "pi", "ρ": "rho", "σ": "sigma sig",
    "τ": "tau", "υ": "upsilon ups", "φ": "phi", "χ": "chi", "ψ": "psi", "ω": "omega ome",
}  # fmt: skip
_LETTERS = {spelling: greek for greek, latin in _GREEK.items() for spelling in (greek, *latin.split())}


class UnknownStar(WrongInput):
    """No star of the table answers to a name."""

    def __init__(self, text: str) -> None:
        self.text, self.nearest = text, _nearest_names(text)
        super().__init__(
            f"There is no star named {text!r}.",
            f"Did you mean {' or '.join(self.nearest)}? Stars are found by name, as alf Lyr or as HIP 91262.",
        )


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
        return star_at(place)
    return _faint_star_or_none(_numbers_by_other_name().get(name, name))


def search_stars(text: str) -> list[Star]:
    """The stars whose name, or an older one, holds a text: the one it names, then those that begin with it.

    Brighter ones first. Case, accents, spaces and signs do not matter; an empty text finds nothing.
    """
    wanted = folded(text)
    if not wanted:
        return []
    exact = star_or_none(text)
    older = other_names_by_hip()
    names: dict[Star, str] = {}
    for star in all_stars():
        fitting = (name for name in map(folded, (star.name, *older.get(star.hip, ()))) if wanted in name)
        best = min(fitting, key=lambda name: not name.startswith(wanted), default=None)
        if best is not None:
            names[star] = best
    rest = sorted(names, key=lambda star: (not names[star].startswith(wanted), star.magnitude))
    return [exact, *(star for star in rest if star is not exact)] if exact else rest


def also_called(star: Star) -> list[str]:
    """A star's designations and older names, without the name that it is shown under."""
    flamsteed = [f"{star.flamsteed} {star.constellation}"] if star.flamsteed else []
    catalogued = [star.catalogued] if star.catalogued else []
    older = other_names_by_hip().get(star.hip, [])
    known = [star.designation, *flamsteed, f"HIP {star.hip}", *catalogued, *older]
    return [name for name in dict.fromkeys(known) if name != star.name]


def known_names() -> list[str]:
    """The names that people may have meant: of the IAU, older ones, and designations of bright stars."""
    return [*(star.name for star in all_stars() if not star.name.startswith("HIP ")), *other_names()]


def greek_spelled_out(letter: str) -> str:
    """The Latin name of a Greek letter, in any of its spellings: `ome` and `ω` are omega; other texts stay."""
    greek = _LETTERS.get(folded(letter))
    return _GREEK[greek].split()[0] if greek else letter


@cache
def _numbers_by_other_name() -> dict[str, str]:
    return {folded(name): f"hip{hip}" for name, hip in other_names().items()}


@cache
def _places_by_name() -> dict[str, int]:
    """Places in the table by folded name and number; a name of the IAU's before an older one."""
    numbers: dict[str, int] = {}
    names: dict[str, int] = {}
    for place, (name, bayer, flamsteed, constellation, hip, catalogued, *_) in enumerate(star_rows()):
        numbers[f"hip{hip}"] = place
        if catalogued:
            numbers[folded(catalogued)] = place
        names[folded(name or designation_of(bayer, flamsteed, constellation, int(hip)))] = place
    older = {name: numbers[hip] for name, hip in _numbers_by_other_name().items() if hip in numbers}
    return older | numbers | names


@cache
def _places_by_designation() -> dict[tuple[str, str], int]:
    """Places by designation and constellation; a designation that several share is the brightest one's."""
    exact: dict[tuple[str, str], int] = {}
    without_index: dict[tuple[str, str], int] = {}
    for place, (_, bayer, flamsteed, constellation, *_) in enumerate(star_rows()):
        if bayer:
            designation = _letter_and_index(folded(bayer))
            exact.setdefault((designation, constellation), place)
            without_index.setdefault((designation.rstrip(digits), constellation), place)
        if flamsteed:
            exact.setdefault((flamsteed, constellation), place)
    return without_index | exact


def _places_so_designated(name: str) -> Iterator[int]:
    places = _places_by_designation()
    return (places[parts] for parts in _designations(name) if parts in places)


def _faint_star_or_none(name: str) -> Star | None:
    """The star of the second table that a folded text names by HIP number, letter or Flamsteed number."""
    if name.startswith("hip") and name[3:].isdigit():
        return faint_star_of(int(name[3:]))
    parts = next(_designations(name), None)
    return None if parts is None else faint_star_called(*parts)


def _designations(name: str) -> Iterator[tuple[str, str]]:
    """A folded text cut into a designation and a constellation, at every letter behind which one is spelled."""
    constellations = abbreviations_by_spelling()
    for cut in range(1, len(name)):
        constellation, designation = constellations.get(name[cut:]), _letter_and_index(name[:cut])
        if constellation and designation:
            yield designation, constellation


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
