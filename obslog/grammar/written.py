"""Acts written out as lines that read in as the same acts: what is said back can be typed, changed and typed again."""

from collections.abc import Iterable
from decimal import Decimal

from obslog.grammar.arrival_words import ArrivalSaid
from obslog.grammar.lines import quoted_word
from obslog.grammar.target_names import Target
from obslog.offsets import OffsetOrLanding, WrittenOffset
from obslog.vocabulary.arrivals import Role


def arrival_line(role: Role, said: ArrivalSaid, *, at: str | None = None, sure: bool = False) -> str:
    """`21:05 sync Vega 3E 2N pier east; thin cloud`. An unknown name is quoted, and taken by the `!` at the end."""
    words = [
        role.value,
        target_words(said.target),
        "" if said.where is None else place_words(said.where),
        f"pier {said.pier_side}" if said.pier_side else "",
        _named("eyepiece", said.eyepiece),
        _numbered("field", said.field_arcmin),
        _numbered("centring", said.centring_arcmin),
        _named("by", said.observer),
    ]
    return _line(words, said.note, at, sure=sure or not said.target.known)


def target_words(target: Target) -> str:
    return target.name if target.known else quoted_word(target.name)


def place_words(where: OffsetOrLanding) -> str:
    """`3E 2N`, `0.4f W`, `4s E @16x`, `edge`."""
    if not isinstance(where, WrittenOffset):
        return where.value
    parts = [
        _part(where.east, where.east_unit, "E", "W"),
        _part(where.north, where.north_unit, "N", "S"),
    ]
    rate = "" if where.rate is None else f"@{number_words(where.rate)}x"
    return " ".join(part for part in (*parts, rate) if part) or "0E 0N"


def number_words(number: float) -> str:
    """A number with all its digits and no exponent: 0.00001, 42."""
    text = f"{Decimal(repr(number)):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _part(amount: float, unit: str, positive: str, negative: str) -> str:
    if amount == 0 and unit == "'":
        return ""
    side = positive if amount >= 0 else negative
    unit = {"'": "", '"': "arcsec"}.get(unit, unit)
    return f"{number_words(abs(amount))}{unit}{' ' if unit else ''}{side}"


def _named(keyword: str, name: str | None) -> str:
    """The setting of a name; quoted where it would not be read as one word."""
    if name is None:
        return ""
    plain = name.isascii() and name.replace("-", "").replace(".", "").isalnum()
    return f"{keyword} {name if plain else quoted_word(name)}"


def _numbered(keyword: str, number: float | None) -> str:
    return "" if number is None else f"{keyword} {number_words(number)}"


def _line(words: Iterable[str], text: str | None, at: str | None, *, sure: bool) -> str:
    line = " ".join(word for word in (at or "", *words) if word)
    if text:
        line += f"; {_text(text)}"
    return f"{line} !" if sure else line


def _text(text: str) -> str:
    """A text in one line; quoted where its last sign or its quotes would be read as more than a text."""
    plain = " ".join(text.split())
    return quoted_word(plain) if plain.endswith("!") or plain.startswith('"') else plain
