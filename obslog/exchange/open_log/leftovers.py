"""The parts of an element one after the other; what nobody asks for is told in words, so that nothing is lost."""

import re
from math import degrees, isfinite, log10

from obslog.exchange.open_log.guarded import Element

_DEGREES = {"deg": 1.0, "arcmin": 1 / 60, "arcsec": 1 / 3600, "rad": degrees(1.0)}
_WORD = re.compile(r"(?<=[a-z])(?=[A-Z])|(?<=[A-Z])(?=[A-Z][a-z])|[-_]")
_SQUARE_ARCMINUTE_MAG = 2.5 * log10(60 * 60)
"""By what a square arcminute is brighter than one of its 3600 parts."""
_SPELT = {"nearHorizion": "near horizon", "comparismSequenceProblem": "comparison sequence problem"}
"""Names that the schema itself spells wrong."""
_NUMBER = re.compile(r"[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d{1,3})?$")


class Parts:
    """An element whose parts are taken out one by one; `left` tells those that were not.

    Whatever is not written as it should be is left, and so told in words.
    """

    def __init__(self, element: Element) -> None:
        self._element = element
        self._children = list(element.children)
        self._attributes = dict(element.attributes)
        self._spoilt: list[str] = []

    def attribute(self, name: str) -> str | None:
        """The attribute's value; none where it is blank or not there."""
        return self._attributes.pop(name, "").strip() or None

    def texts(self, *names: str) -> tuple[str, ...]:
        """The texts of all children of a name, or of an older one, that are not blank."""
        found = [child for child in self._children if child.tag in names and not child.children]
        self._children = [child for child in self._children if not any(child is one for one in found)]
        return tuple(text for child in found if (text := child.text.strip()))

    def text(self, *names: str) -> str | None:
        """The first text of a name; of others of that name it is told that they were there."""
        texts = self.texts(*names)
        self._spoilt += [f"{in_words(names[0])}: {text}" for text in texts[1:]]
        return texts[0] if texts else None

    def number(self, *names: str, low: float = -1e12, high: float = 1e12) -> float | None:
        """The number of a child, where it is one between these."""
        return self._number(names, low, high, lambda child, value: None if child.attributes else value)

    def angle_deg(self, name: str, low: float = -1e12, high: float = 1e12) -> float | None:
        """The angle of a child in degrees, whatever its unit; degrees where it tells none."""
        return self._number(
            (name,),
            low,
            high,
            lambda child, value: (
                value * _DEGREES[unit] if (unit := child.attributes.get("unit", "deg")) in _DEGREES else None
            ),
        )

    def surface_brightness(self, *names: str, low: float, high: float) -> float | None:
        """Magnitudes per square arcsecond, whatever the unit; these where none is told.

        What is told of a square arcminute is rounded to a hundredth, as such readings are told.
        """
        return self._number(names, low, high, _per_square_arcsecond)

    def child(self, name: str) -> "Parts | None":
        """The parts of the one child of that name."""
        found = [child for child in self._children if child.tag == name]
        if len(found) != 1:
            return None
        self._children = [child for child in self._children if child is not found[0]]
        return Parts(found[0])

    def children(self, name: str) -> list["Parts"]:
        """The parts of all children of that name."""
        found = [child for child in self._children if child.tag == name]
        self._children = [child for child in self._children if child.tag != name]
        return [Parts(child) for child in found]

    def drop(self, *names: str) -> bool:
        """Leave out children of these names for good; True where there were any."""
        before = len(self._children)
        self._children = [child for child in self._children if child.tag not in names]
        return len(self._children) < before

    def left(self) -> tuple[str, ...]:
        """All that was not taken, a line each."""
        attributes = [
            f"{in_words(name)}: {value}" for name, value in self._attributes.items() if name != "id"
        ]
        return (*self._spoilt, *attributes, *(line for child in self._children for line in told(child)))

    def _number(self, names, low, high, meant) -> float | None:  # type: ignore[no-untyped-def]
        for child in self._children:
            if child.tag in names and not child.children:
                value = read_number(child.text)
                value = None if value is None else meant(child, value)
                if value is not None and low <= value <= high:
                    self._children = [one for one in self._children if one is not child]
                    return float(value)
        return None


def _per_square_arcsecond(child: Element, value: float) -> float | None:
    unit = child.attributes.get("unit", "mags-per-squarearcsec")
    if unit == "mags-per-squarearcmin":
        return round(value + _SQUARE_ARCMINUTE_MAG, 2)
    return value if unit == "mags-per-squarearcsec" else None


def read_number(text: str) -> float | None:
    """The number that a text is, with a point or a comma; None for what is none."""
    text = text.strip()
    if not _NUMBER.match(text):
        return None
    value = float(text.replace(",", "."))
    return value if isfinite(value) else None


def in_words(name: str) -> str:
    """A name of the schema in words: `smallDiameter` as small diameter."""
    if name in _SPELT:
        return _SPELT[name]
    return " ".join(_WORD.split(name)).lower()


def told(element: Element, before: str = "") -> list[str]:
    """What an element tells, a line for each text in it, its attributes behind it."""
    name = f"{before}{in_words(element.tag)}"
    attributes = [
        value if key == "unit" else f"{in_words(key)} {value}"
        for key, value in element.attributes.items()
        if key != "id"
    ]
    text = " ".join([*element.text.split(), *attributes])
    lines = [f"{name}: {text}"] if text else []
    return [*lines, *(line for child in element.children for line in told(child, f"{name} "))]
