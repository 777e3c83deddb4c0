"""Deep-sky objects: what each is and where (J2000), found by any usual spelling of its name.

The tables are plain sorted text. One object is found by looking for its line in the text, with no
index; the whole catalogue is parsed once, when asked for. Sources, licence: tables/deepsky-LICENSE.txt.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import count

from obslog.errors import WrongInput, nearest_names
from obslog.sky.names.deepsky_names import (
    common_names,
    designation_of,
    objects_shortly_named,
    other_designations,
    read_designation,
    table_text,
)
from obslog.sky.names.object_types import ObjectType

_MANY = 20  # objects after which an index of the table costs less than looking for each in its text
_ASKED = count()

NOTES = {
    "M 40": "A pair of stars of magnitude 9, entered where an earlier list had a nebula that is not there.",
    "Mel 22": "M 45 has no number in the New General Catalogue; NGC 1432 and NGC 1435 are nebulae inside it.",
    "NGC 5866": "Most lists take it for M 102; Méchain, who found M 102, called it M 101 seen twice (1783).",
    "IC 4715": "M 24 is the whole star cloud, two degrees long; the small cluster NGC 6603 lies in it.",
    "NGC 6994": "M 73 is four stars that only seem to belong together.",
    "C 14": "The pair of clusters NGC 869 and NGC 884; the place is the middle between them.",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class DeepSkyObject:
    """One object. Place: J2000. None is unknown. Position angle from north through east, of the long axis.

    `surface_brightness` is of galaxies: B magnitude per square arcsecond, mean within the 25 mag isophote.
    `magnitude_from` is what the magnitude rests on: V or B as catalogued, from B, a work that corrects it; `size_from`
    the work that corrects the size, None for the catalogue's own, or unknown. `hubble_type` is of galaxies, where it is
    known: Sb, SABc, E; dE a dwarf elliptical or spheroidal. `others` are its other designations, `names` its common
    names, the usual one first.
    """

    designation: str
    type: ObjectType
    ra_hours: float
    dec_deg: float
    constellation: str
    major_arcmin: float | None
    minor_arcmin: float | None
    position_angle_deg: float | None
    v_mag: float | None
    b_mag: float | None
    surface_brightness: float | None
    magnitude_from: str | None
    size_from: str | None
    hubble_type: str | None
    others: tuple[str, ...]
    names: tuple[str, ...]

    @property
    def magnitude(self) -> float | None:
        """V where known, else B; `band` says which."""
        return self.b_mag if self.v_mag is None else self.v_mag

    @property
    def band(self) -> str | None:
        if self.v_mag is not None:
            return "V"
        return None if self.b_mag is None else "B"

    @property
    def messier(self) -> int | None:
        return self._number_in("M")

    @property
    def caldwell(self) -> int | None:
        return self._number_in("C")

    @property
    def note(self) -> str | None:
        """What one should know about the identity of the object, where it is not plain."""
        return NOTES.get(self.designation)

    @property
    def known_as(self) -> str:
        """The designation that people use: `M 31` rather than NGC 224."""
        return f"M {self.messier}" if self.messier else self.designation

    @property
    def title(self) -> str:
        """As people speak of it: `M 31, Andromeda Galaxy`."""
        return f"{self.known_as}, {self.names[0]}" if self.names else self.known_as

    def _number_in(self, catalogue: str) -> int | None:
        for designation in (self.designation, *self.others):
            word, _, number = designation.partition(" ")
            if word == catalogue:
                return int(number)
        return None


class NotOneObject(WrongInput):
    """A text that does not lead to one object."""


class UnknownObject(NotOneObject):
    """No object goes by that name; `nearest` are the names most like it."""

    def __init__(self, text: str) -> None:
        self.nearest = nearest_objects(text)
        hint = f"Did you mean {' or '.join(self.nearest)}?" if self.nearest else "Try: obslog sky find WORD"
        super().__init__(f"There is no deep-sky object named {text!r}.", hint)


class NothingThere(NotOneObject):
    """A number that the old catalogues gave to nothing."""

    def __init__(self, text: str) -> None:
        super().__init__(
            f"{text!r} is a mistake of the old catalogue: there is no object.", "Check the number."
        )


class AmbiguousObject(NotOneObject):
    """A short name that several objects share."""

    def __init__(self, text: str, names: dict[str, str]) -> None:
        super().__init__(
            f"{text!r} may mean several objects.",
            "Name one: " + ", ".join(f"{name} ({designation})" for name, designation in names.items()) + ".",
        )


def find_object(text: str) -> DeepSkyObject:
    """The object that goes by `text`: a designation in any spelling, or a common name.

    Case, accents, apostrophes and spaces do not matter; `whirlpool` stands for Whirlpool Galaxy. Of two
    objects with one name, the Messier object is meant, then the Caldwell object, then the larger.

    Raises: UnknownObject, with the nearest names; NothingThere; AmbiguousObject.
    """
    found = object_if_known(text)
    if found is None:
        raise UnknownObject(text)
    return found


def object_if_known(text: str) -> DeepSkyObject | None:
    """As `find_object`, with None for an unknown name: the nearest names are not looked for.

    Raises: NothingThere; AmbiguousObject.
    """
    designation = designation_of(text)
    if designation is None:
        designation = _shortly_named(text)
    if designation == "":
        raise NothingThere(text)
    row = _row_of(designation) if designation else None
    return None if row is None else object_of(row)


def object_or_none(text: str) -> DeepSkyObject | None:
    """As `find_object`, with None where no object or more than one goes by `text`."""
    try:
        return find_object(text)
    except NotOneObject:
        return None


@lru_cache(maxsize=1)
def objects() -> tuple[DeepSkyObject, ...]:
    """Every object, single and double stars of the NGC among them: NGC, then IC, then the rest, by number."""
    return tuple(object_of(row) for row in object_rows())


def names_and_titles(designations: Sequence[str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What objects of these designations are known as, and their titles, without making the objects."""
    messier: dict[str, str] = {}
    for other, designation in other_designations().items():
        if other.startswith("M "):
            messier.setdefault(designation, other)
    known = tuple(messier.get(designation, designation) for designation in designations)
    common = (_names().get(designation) for designation in designations)
    titles = (f"{name}, {names[0]}" if names else name for name, names in zip(known, common, strict=True))
    return known, tuple(titles)


def object_rows() -> list[list[str]]:
    """The fields of every line of the table, in the order of the first fourteen fields of `DeepSkyObject`."""
    return [line.split(",") for line in _table().splitlines()]


def object_columns() -> list[list[str]]:
    """The columns of the table, in the same order: a list for each of thousands of lines would take longer to make."""
    text = _table()
    fields = text[: text.index("\n")].count(",") + 1
    cells = text.rstrip("\n").replace("\n", ",").split(",")
    return [cells[column::fields] for column in range(fields)]


def object_of(row: list[str]) -> DeepSkyObject:
    """The object of one line of the table."""
    designation, kind, ra_hours, dec_deg, constellation = row[:5]
    major, minor, position_angle, v_mag, b_mag, surface = (
        float(text) if text else None for text in row[5:11]
    )
    magnitude_from, size_from, hubble_type = row[11:]
    return DeepSkyObject(
        designation=designation,
        type=ObjectType(kind),
        ra_hours=float(ra_hours),
        dec_deg=float(dec_deg),
        constellation=constellation,
        major_arcmin=major,
        minor_arcmin=minor,
        position_angle_deg=position_angle,
        v_mag=v_mag,
        b_mag=b_mag,
        surface_brightness=surface,
        magnitude_from=magnitude_from or None,
        size_from=size_from or None,
        hubble_type=hubble_type or None,
        others=_others().get(designation, ()),
        names=_names().get(designation, ()),
    )


def _shortly_named(text: str) -> str | None:
    full_names = objects_shortly_named(text)
    if len(full_names) > 1:
        raise AmbiguousObject(text, full_names)
    return next(iter(full_names.values()), None)


def _row_of(designation: str) -> list[str] | None:
    """The line of the table: one is found in its text; who asks for many has them in an index by and by."""
    if next(_ASKED) >= _MANY:
        line = _lines().get(designation)
        return None if line is None else line.split(",")
    text = _table()
    start = text.find(f"\n{designation},") + 1
    if not start and not text.startswith(f"{designation},"):
        return None
    return text[start : text.index("\n", start)].split(",")


@lru_cache(maxsize=1)
def _lines() -> dict[str, str]:
    return {line.partition(",")[0]: line for line in _table().splitlines()}


@lru_cache(maxsize=1)
def _table() -> str:
    return table_text("deepsky.csv")


@lru_cache(maxsize=1)
def _others() -> dict[str, tuple[str, ...]]:
    return _grouped(other_designations().items())


@lru_cache(maxsize=1)
def _names() -> dict[str, tuple[str, ...]]:
    return _grouped(common_names())


def _grouped(pairs: Iterable[tuple[str, str]]) -> dict[str, tuple[str, ...]]:
    groups: dict[str, list[str]] = {}
    for other, designation in pairs:
        groups.setdefault(designation, []).append(other)
    return {designation: tuple(others) for designation, others in groups.items()}


def nearest_objects(text: str) -> list[str]:
    """The names of objects most like a text; of a designation, those of its catalogue."""
    designation = read_designation(text)
    if designation is None:
        return nearest_names(text, [name for name, _ in common_names()])
    catalogue, _, number = designation.partition(" ")
    own = (line.partition(",")[0] for line in _table().splitlines())
    start = f"{catalogue} {number[:2]}"
    return nearest_names(designation, [d for d in (*own, *other_designations()) if d.startswith(start)])
