"""What is told beside a target in a word or two: `pier east`, `eyepiece Wide`, `150x`, `not seen`; in any order.

A setting is read where a list of words begins with it; what its words are is a reader of this file, and which of them a
line may hold is the line's own affair. A name of several words ends where it is quoted, where the next setting or the
line ends, or where a name on record does.
"""

import re
import unicodedata
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from obslog import fields
from obslog.errors import WrongInput
from obslog.fields import NumberField
from obslog.vocabulary.mounts import PierSide
from obslog.vocabulary.observations import FindingMethod, Sighting, Vision

NamesOnRecord = Callable[[str], Sequence[str]]
"""The names on record of a kind, which is `eyepiece` or `member`."""

Setting = tuple[str, Any, int]
"""What was told, its value, and how many words it took."""

# Patterns as texts: compiled only where a line has such a setting, for a quick verb seldom has any.
_NUMBER = r"\d{1,9}([.,]\d{1,9})?|\.\d{1,9}"
_TIMES = r"(\d{1,9}(?:[.,]\d{1,9})?)[xX×]"
_MOST_WORDS_OF_A_NAME = 8
_SIDES = {"east": PierSide.EAST, "e": PierSide.EAST, "west": PierSide.WEST, "w": PierSide.WEST}


class UnclearEnd(WrongInput):
    """A name of which nobody can say where it ends."""

    def __init__(self, keyword: str, words: Sequence[str]) -> None:
        super().__init__(
            f"Where the name behind {keyword!r} ends is not clear: {' '.join(words)}.",
            "Put the text in quotes.",
        )


class SaidTwice(WrongInput):
    def __init__(self, what: str) -> None:
        super().__init__(f"{what} is said twice.", "Say it once.")


class UnreadableSetting(WrongInput):
    def __init__(self, text: str, example: str) -> None:
        super().__init__(f"{text!r} cannot be read.", f"Write it like {example}.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """The settings that a line may hold.

    `closed`: no free text can follow, so that a name reaches to the next setting. `stops` tells of words whether
    something else begins there that ends a name.
    """

    readers: tuple["Reader", ...]
    names: NamesOnRecord | None = None
    closed: bool = True
    stops: Callable[[Sequence[str]], bool] | None = None

    def first(self, words: Sequence[str]) -> Setting | None:
        """The setting that the words begin with, if any. Raises WrongInput where it begins and cannot be read."""
        for reader in self.readers:
            if words and (found := reader(words, self)):
                return found
        return None

    def name(self, words: Sequence[str], kind: str | None = None) -> tuple[str, int]:
        """The name behind the first of the words, and how many words it takes with that. Raises UnclearEnd."""
        keyword, *rest = words
        if not rest:
            raise UnreadableSetting(keyword, f"{keyword} NAME")
        if " " in rest[0]:
            return rest[0], 2
        end = next((n for n in range(1, len(rest)) if self._ends_before(rest[n:])), len(rest))
        known = [_plain(name) for name in self.names(kind)] if kind and self.names else []
        for length in range(min(len(rest), _MOST_WORDS_OF_A_NAME) if known else 0, 0, -1):
            if any(_holds(name, " ".join(rest[:length])) for name in known):
                return " ".join(rest[:length]), length + 1
        if end > 1 and not self.closed:
            raise UnclearEnd(keyword, rest[:end])
        return " ".join(rest[:end]), end + 1

    def _ends_before(self, words: Sequence[str]) -> bool:
        """Whether a name ends before these words: they are quoted, or a setting begins here, readable or not."""
        word = words[0].casefold()
        if " " in word or (self.stops is not None and self.stops(words)):
            return True
        return any(
            word in _KEYWORDS[reader] if reader in _KEYWORDS else reader(words, self)
            for reader in self.readers
        )


Reader = Callable[[Sequence[str], Settings], Setting | None]


def add(told: dict[str, Any], setting: Setting) -> int:
    """Put a setting among those told; gives how many words it took. Raises SaidTwice."""
    name, value, taken = setting
    if name in told:
        raise SaidTwice(WORDS[name])
    told[name] = value
    return taken


def once(name: str, said: Any, told: Any) -> Any:
    """What was said of a setting in words or told otherwise. Raises SaidTwice where the two differ."""
    if said is not None and told is not None and said != told:
        raise SaidTwice(WORDS[name])
    return told if said is None else said


def pier(words: Sequence[str], settings: Settings) -> Setting | None:
    """`pier east`, `pier w`, `pe`, `pw`."""
    word = words[0].casefold()
    if word in ("pe", "pw"):
        return "pier_side", _SIDES[word[1]], 1
    if word != "pier":
        return None
    side = _SIDES.get(words[1].casefold()) if len(words) > 1 else None
    if side is None:
        raise UnreadableSetting(" ".join(words[:2]), "pier east or pier west: the side that the TUBE is on")
    return "pier_side", side, 2


def field_of_view(words: Sequence[str], settings: Settings) -> Setting | None:
    """`field 42`, in arcminutes."""
    return _number(words, ("field",), "field_arcmin", fields.FIELD_ARCMIN, "'")


def centring(words: Sequence[str], settings: Settings) -> Setting | None:
    """`centring 0.3`, in arcminutes."""
    return _number(words, ("centring", "centering"), "centring_arcmin", fields.CENTRING_ARCMIN, "'")


def rating(words: Sequence[str], settings: Settings) -> Setting | None:
    """`rating 4`."""
    found = _number(words, ("rating",), "rating", fields.RATING)
    if found is None:
        return None
    if found[1] != int(found[1]):
        raise UnreadableSetting(" ".join(words[:2]), "rating 4")
    return "rating", int(found[1]), found[2]


def magnification(words: Sequence[str], settings: Settings) -> Setting | None:
    """`150x`."""
    times = re.fullmatch(_TIMES, words[0]) if words[0][:1].isdigit() else None
    if times is None:
        return None
    value = float(times[1].replace(",", "."))
    fields.MAGNIFICATION.check(value)
    return "magnification", value, 1


def eyepiece(words: Sequence[str], settings: Settings) -> Setting | None:
    """`eyepiece NAME`."""
    if words[0].casefold() != "eyepiece":
        return None
    name, taken = settings.name(words, "eyepiece")
    return "eyepiece", name, taken


def observer(words: Sequence[str], settings: Settings) -> Setting | None:
    """`by NAME`, or `observer NAME`: who."""
    if words[0].casefold() not in ("by", "observer"):
        return None
    name, taken = settings.name(words, "member")
    return "observer", name, taken


def found_by(words: Sequence[str], settings: Settings) -> Setting | None:
    """`by star-hop`, `by naked eye`: how it was found; a method's words, and no name."""
    if words[0].casefold() != "by":
        return None
    for length in (2, 1):
        text = " ".join(words[1 : 1 + length]).casefold()
        for method in FindingMethod:
            if text.replace("-", " ") == method.replace("-", " "):
                return "found_by", method, 1 + len(words[1 : 1 + length])
    return None


def filter_used(words: Sequence[str], settings: Settings) -> Setting | None:
    """`filter NAME`."""
    if words[0].casefold() != "filter":
        return None
    name, taken = settings.name(words)
    return "filter", fields.FILTER.checked(name), taken


def sketch(words: Sequence[str], settings: Settings) -> Setting | None:
    """`sketch FILE`."""
    if words[0].casefold() != "sketch":
        return None
    name, taken = settings.name(words)
    return "sketch", fields.SKETCH.checked(name), taken


def sighting(words: Sequence[str], settings: Settings) -> Setting | None:
    """`not seen`, `suspected`."""
    if words[0].casefold() == "suspected":
        return "sighting", Sighting.SUSPECTED, 1
    if words[0].casefold() in ("not-seen", "unseen"):
        return "sighting", Sighting.NOT_SEEN, 1
    if [word.casefold() for word in words[:2]] == ["not", "seen"]:
        return "sighting", Sighting.NOT_SEEN, 2
    return None


def vision(words: Sequence[str], settings: Settings) -> Setting | None:
    """`averted`, `direct`, with or without `vision` behind it."""
    try:
        how = Vision(words[0].casefold())
    except ValueError:
        return None
    return "vision", how, 2 if [word.casefold() for word in words[1:2]] == ["vision"] else 1


_KEYWORDS: Mapping[Reader, tuple[str, ...]] = {
    pier: ("pier", "pe", "pw"), eyepiece: ("eyepiece",), observer: ("by", "observer"), found_by: ("by",),
    filter_used: ("filter",), sketch: ("sketch",),
}  # fmt: skip
"""What settings begin with that are known by their first word: it alone is looked at, so that names do not ask
each other."""

WORDS = {
    "pier_side": "The side of the pier", "field_arcmin": "The true field", "centring_arcmin": "The centring error",
    "rating": "The rating", "magnification": "The magnification", "eyepiece": "The eyepiece",
    "observer": "The observer", "found_by": "How it was found", "filter": "The filter", "sketch": "The sketch",
    "sighting": "Whether it was seen", "vision": "How it was seen", "note": "The note", "description": "The text",
}  # fmt: skip


def _number(
    words: Sequence[str], keywords: Sequence[str], name: str, field: NumberField, mark: str = ""
) -> Setting | None:
    """A number behind one of the keywords; without a number it is no setting."""
    if words[0].casefold() not in keywords or len(words) < 2:
        return None
    text = words[1].removesuffix(mark) if mark else words[1]
    if not re.fullmatch(_NUMBER, text):
        return None
    value = float(text.replace(",", "."))
    field.check(value)
    return name, value, 2


def _holds(plain_name: str, typed: str) -> bool:
    """Whether a name on record begins so, or a word of it does."""
    return f" {_plain(typed)}" in f" {plain_name}"


def _plain(text: str) -> str:
    letters = unicodedata.normalize("NFKD", text.casefold())
    return " ".join("".join(c for c in letters if not unicodedata.combining(c)).split())
