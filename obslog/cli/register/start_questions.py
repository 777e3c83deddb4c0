"""The questions for a new club's first things: what each is for, how its answer is read, and how it is said back."""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from obslog.cli.register.start_page import Known
from obslog.errors import WrongInput, quoted
from obslog.grammar.optics_words import read_aperture_mm, read_eyepiece, read_field_deg, read_focal_mm
from obslog.grammar.place_words import place_in_words, read_place
from obslog.grammar.zone_words import nearest_zones, offset_words, zone_meant
from obslog.vocabulary.mounts import Controller, MountType

Choice = tuple[str, str]
ZONES_LISTED = 6
METRES_PER_FOOT = 0.3048
_HEIGHT = re.compile(
    r"(?P<number>[-+\u2212]?\d+(?:[.,]\d+)?)\s*(?P<unit>m|metres?|meters?|ft|feet|')?", re.IGNORECASE
)


class UnreadableElevation(WrongInput):
    def __init__(self, text: str) -> None:
        super().__init__(f"The elevation {text.strip()!r} cannot be read.", "Write it like 20, or 65 ft.")


class NotInTheList(WrongInput):
    def __init__(self, text: str, words: Sequence[str]) -> None:
        super().__init__(
            f"{text.strip()!r} is none of the list.",
            f"Type {', '.join(words[:-1])} or {words[-1]}, or its number; Enter alone leaves it for later.",
        )


class WhichEquatorial(WrongInput):
    """A word that german and fork mounts share."""

    def __init__(self, text: str) -> None:
        super().__init__(
            f"{text.strip()!r} may be german or fork: both have an axis that is pointed at the pole.",
            "Type german if a counterweight hangs opposite the tube, else fork.",
        )


class NoNameOfAPerson(WrongInput):
    """An answer to another question, as a rule: a number that stands one line too late."""

    def __init__(self, text: str) -> None:
        super().__init__(
            f"{text.strip()!r} has no letter in it: is it the answer to another question?",
            f"Type a name. If somebody is called so: obslog member add {quoted(text.strip())}",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class StartQuestion:
    """One question: the columns that its answer fills, what it is for, and how it is asked and answered.

    `read` gets what is known already; `listed` are the answers to choose from, each with its meaning. An answer that
    may be insisted on is taken as it is where it ends in an exclamation mark.
    """

    columns: tuple[str, ...]
    label: str
    purpose: str
    read: Callable[[str, Known], dict[str, Any]]
    said: Callable[[Known], str]
    listed: Callable[[Known], Sequence[Choice]] = lambda _known: ()
    may_insist: bool = False

    def answered(self, known: Known) -> bool:
        return all(known.get(column) is not None for column in self.columns)


@dataclass(frozen=True, slots=True)
class Topic:
    """One of the first things: its title, why it is asked for, and its questions in their order."""

    title: str
    purpose: str
    questions: tuple[StartQuestion, ...]


def _read_name(text: str, _known: Known) -> dict[str, Any]:
    return {"name": text}


def _read_person(text: str, _known: Known) -> dict[str, Any]:
    if not any(sign.isalpha() for sign in text):
        raise NoNameOfAPerson(text)
    return {"name": text}


def _name(purpose: str, read: Callable[[str, Known], dict[str, Any]] = _read_name) -> StartQuestion:
    return StartQuestion(
        columns=("name",),
        label="Name",
        purpose=purpose,
        read=read,
        said=lambda known: str(known["name"]),
    )


def _read_place(text: str, _known: Known) -> dict[str, Any]:
    lat_deg, lon_deg = read_place(text)
    return {"lat_deg": lat_deg, "lon_deg": lon_deg}


def _zones(known: Known) -> list[Choice]:
    if known.get("lat_deg") is None or known.get("lon_deg") is None:
        return []
    nearest = nearest_zones(known["lat_deg"], known["lon_deg"], ZONES_LISTED)
    return [(place.zone, f"{place.country}; {offset_words(place.zone)}") for place in nearest]


def _read_zone(text: str, known: Known) -> dict[str, Any]:
    return {"zone": zone_meant(text, [zone for zone, _ in _zones(known)])}


def _read_elevation(text: str, _known: Known) -> dict[str, Any]:
    found = _HEIGHT.fullmatch(text.strip())
    if found is None:
        raise UnreadableElevation(text)
    number = float(found["number"].replace(",", ".").replace("\u2212", "-"))
    feet = (found["unit"] or "m")[0] in "fF'"
    return {"elevation_m": round(number * METRES_PER_FOOT, 1) if feet else number}


_TYPES = {
    MountType.GERMAN: "one axis is pointed at the pole; the tube on one side, a counterweight on the other",
    MountType.FORK: "on a wedge, one axis pointed at the pole; the tube hangs between two arms, or on one",
    MountType.ALTAZ: "it turns left and right, up and down, as a Dobsonian or a fork without a wedge; no axis is "
    "pointed at the pole",
}
_CONTROLLERS = {
    Controller.SHIFT: "the whole sky is shifted to fit the new star; only the last sync counts",
    Controller.MODEL: "all the stars are kept, and a model of the mount is made from them",
    Controller.NONE: "it has none, and you point it by hand; then only what you saw is recorded",
}
# How people say it who have never seen these lists; a beginning of such a word will not do.
_SAID_FOR: Mapping[str, StrEnum] = {
    "gem": MountType.GERMAN,
    "dob": MountType.ALTAZ,
    "dobson": MountType.ALTAZ,
    "dobsonian": MountType.ALTAZ,
    "altazimuth": MountType.ALTAZ,
    "alt az": MountType.ALTAZ,
    "alt/az": MountType.ALTAZ,
    "no": Controller.NONE,
    "manual": Controller.NONE,
}
_EQUATORIAL = re.compile(r"eq\d*|equatorial")
_MOUNT = re.compile(r"\s+mount$")


def _choice(column: str, meanings: Mapping[Any, str]) -> dict[str, Any]:
    """What a question with a fixed list has in common: any beginning of a word of it will do, or its number."""
    words = list(meanings)

    def read(text: str, _known: Known) -> dict[str, Any]:
        return {column: _word_meant(text, words)}

    return {
        "columns": (column,),
        "read": read,
        "said": lambda known: f"{column.removeprefix('mount_')} {known[column]}",
        "listed": lambda _known: [(str(word), meaning) for word, meaning in meanings.items()],
    }


def _word_meant(text: str, words: Sequence[StrEnum]) -> StrEnum:
    typed = _MOUNT.sub("", text.strip().casefold().replace("-", ""))
    if typed.isdecimal() and 1 <= int(typed) <= len(words):
        return words[int(typed) - 1]
    if typed in _SAID_FOR and _SAID_FOR[typed] in words:
        return _SAID_FOR[typed]
    fitting = [word for word in words if typed and (word.startswith(typed) or typed.startswith(word))]
    if len(fitting) != 1:
        if MountType.GERMAN in words and _EQUATORIAL.fullmatch(typed):
            raise WhichEquatorial(text)
        raise NotInTheList(text, words)
    return fitting[0]


def _read_aperture(text: str, _known: Known) -> dict[str, Any]:
    aperture_mm, focal_mm = read_aperture_mm(text)
    return {"aperture_mm": aperture_mm} | ({} if focal_mm is None else {"focal_mm": focal_mm})


def _read_focal(text: str, known: Known) -> dict[str, Any]:
    return {"focal_mm": read_focal_mm(text, known.get("aperture_mm"))}


def _tube_said(known: Known) -> str:
    aperture, focal = known.get("aperture_mm"), known.get("focal_mm")
    told = [] if aperture is None else [f"aperture {aperture:g} mm"]
    told += [] if focal is None else [f"focal length {focal:g} mm"]
    return ", ".join(told) + (f", f/{focal / aperture:.3g}" if aperture and focal else "")


def _read_eyepiece(text: str, _known: Known) -> dict[str, Any]:
    focal_mm, field_deg = read_eyepiece(text)
    return {"focal_mm": focal_mm} | ({} if field_deg is None else {"field_deg": field_deg})


def _eyepiece_said(known: Known) -> str:
    focal, field = known.get("focal_mm"), known.get("field_deg")
    told = [] if focal is None else [f"focal length {focal:g} mm"]
    told += [] if field is None else [f"apparent field {field:g}°"]
    return ", ".join(told)


TOPICS: Mapping[str, Topic] = {
    "site": Topic(
        "Site",
        "A place you observe from. When it gets dark, and what you key in to a mount, is worked out for it.",
        (
            _name('What you call it, like "Fen Edge".'),
            StartQuestion(
                columns=("lat_deg", "lon_deg"),
                label="Place",
                purpose="Where it is: latitude, then longitude, typed or copied from a map. 52.2 0.12 will do, and so "
                "will 52°12'N 0°7'E. Without letters, north and east are positive, south and west negative.",
                read=_read_place,
                said=lambda known: place_in_words(known["lat_deg"], known["lon_deg"]),
                may_insist=True,
            ),
            StartQuestion(
                columns=("zone",),
                label="Time zone",
                purpose="It makes every time shown the time on your clock, summer time included. Type a number from "
                "the list, or any part of the name of a zone or a country.",
                read=_read_zone,
                said=lambda known: f"{known['zone']} ({offset_words(known['zone'])})",
                listed=_zones,
                may_insist=True,
            ),
            StartQuestion(
                columns=("elevation_m",),
                label="Elevation",
                purpose="Its height above the sea, like 20 (metres) or 65 ft: thinner air bends starlight less. Press "
                "Enter if you do not know it; sea level is then assumed.",
                read=_read_elevation,
                said=lambda known: f"{known['elevation_m']:g} m above the sea",
            ),
        ),
    ),
    "mount": Topic(
        "Mount",
        "The machine that carries and points the telescope. How well it points is what this logbook follows over the "
        "months.",
        (
            _name('Give each mount a name of its own, like "Heron", even if you have two alike.'),
            StartQuestion(
                label="Type",
                purpose="How it is built: this decides which errors it can have, and which steps its set-up has.",
                **_choice("mount_type", _TYPES),
            ),
            StartQuestion(
                label="Controller",
                purpose="What its controller does when you sync on a second star. Its handbook tells, under alignment "
                "or sync; press Enter if you are not sure.",
                **_choice("controller", _CONTROLLERS),
            ),
        ),
    ),
    "tube": Topic(
        "Tube",
        "The telescope itself, without its mount. With an eyepiece it decides how large a piece of sky you see.",
        (
            _name('What you call it, like "Long tube".'),
            StartQuestion(
                columns=("aperture_mm",),
                label="Aperture",
                purpose="The width of its main lens or mirror in mm; with the focal length if you like: 200 f/5, "
                "200/1000, or 8 in f/6.",
                read=_read_aperture,
                said=_tube_said,
            ),
            StartQuestion(
                columns=("focal_mm",),
                label="Focal length",
                purpose="In mm, or as a ratio, like f/5. It is written on most tubes.",
                read=_read_focal,
                said=_tube_said,
            ),
        ),
    ),
    "eyepiece": Topic(
        "Eyepiece",
        "The eyepiece you centre stars with. The width of its field turns what you see into arcminutes.",
        (
            _name('What you call it, like "Wide 25".'),
            StartQuestion(
                columns=("focal_mm",),
                label="Focal length",
                purpose="In mm; it is written on the eyepiece. Add the apparent field if you know it: 25 mm 52°.",
                read=_read_eyepiece,
                said=_eyepiece_said,
            ),
            StartQuestion(
                columns=("field_deg",),
                label="Apparent field",
                purpose="The angle that it seems to open to the eye, in degrees. It is often written on the eyepiece, "
                "or in its description: simple ones have 40 to 55, wide ones 60 to 100.",
                read=lambda text, _known: {"field_deg": read_field_deg(text)},
                said=_eyepiece_said,
            ),
        ),
    ),
    "member": Topic(
        "Member",
        "Yourself. What you record from now on is yours where you name nobody else: set-ups, observations, snags.",
        (_name("Your name, as the club knows you.", _read_person),),
    ),
}
