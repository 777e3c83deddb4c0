"""The words of an observation that came in: its description, and below it what has no place of its own."""

import re
from collections.abc import Iterable, Sequence

from obslog.exchange.open_log.records import LogObservation, LogResult, LogTarget
from obslog.fields import usable

_TYPES = {
    "deepSkyAS": "asterism",
    "deepSkyCG": "cluster of galaxies",
    "deepSkyDN": "dark nebula",
    "deepSkyDS": "double star",
    "deepSkyGC": "globular cluster",
    "deepSkyGN": "gaseous nebula",
    "deepSkyGX": "galaxy",
    "deepSkyMS": "multiple star",
    "deepSkyOC": "open cluster",
    "deepSkyPN": "planetary nebula",
    "deepSkyQS": "quasar",
    "deepSkySC": "star cloud",
    "starTargetType": "star",
    "variableStarTargetType": "variable star",
    "CometTargetType": "comet",
    "MinorPlanetTargetType": "minor planet",
    "MoonTargetType": "Moon",
    "PlanetTargetType": "planet",
    "SunTargetType": "Sun",
}


_RATING = "rating of the standard: "
_RATED = re.compile(rf"^{_RATING}([1-7])$", re.MULTILINE)


def standard_rating(description: str) -> int | None:
    """The rating on the schema's own scale that came in with an observation and stands in its words."""
    found = _RATED.search(description)
    return int(found[1]) if found else None


def chosen_result(seen: LogObservation, language: str | None) -> LogResult:
    """The result in the language that is asked for, else the first one."""
    if not seen.results:
        return LogResult(description="")
    asked = (
        result
        for result in seen.results
        if language is not None and (result.language or "").casefold() == language.casefold()
    )
    return next(asked, seen.results[0])


def result_lines(seen: LogObservation, chosen: LogResult) -> list[str]:
    """What results tell beside the words of the one that is taken."""
    told = chosen.rating is not None and standard_rating(chosen.description) != chosen.rating
    lines = [f"{_RATING}{chosen.rating}"] if told else []
    lines += chosen.other
    for result in seen.results:
        if result is not chosen:
            lines.append(f"in {result.language or 'other words'}: {result.description}")
            lines += result.other
    return lines


def target_lines(target: LogTarget, *, known: bool, by_alias: bool, own_notes: str | None) -> list[str]:
    """What a log tells of a target: all where no table here knows it, else its notes and another name alone."""
    lines = [f"object: {target.name}"] if by_alias else []
    if known:
        return [*lines, *([f"notes: {target.notes}"] if target.notes and target.notes != own_notes else [])]
    if target.kind in _TYPES:
        lines.append(f"type: {_TYPES[target.kind]}")
    if target.aliases:
        lines.append(f"also called: {', '.join(target.aliases)}")
    if target.ra_deg is not None and target.dec_deg is not None:
        lines.append(f"place: right ascension {target.ra_deg:g}°, declination {target.dec_deg:g}°")
    told = (("constellation", target.constellation), ("notes", target.notes), ("from", target.datasource))
    return [*lines, *(f"{name}: {text}" for name, text in told if text), *target.other]


def with_lines(words: str, lines: Iterable[str], file: str) -> str:
    """Words, and below a line that says where they are from what else was told."""
    told = [" ".join(usable(line).split()) for line in lines]
    if not told:
        return words
    return "\n".join([*([words, ""] if words else []), f"From {file}:", *told])


def added_lines(there: str | None, new: Sequence[str]) -> str | None:
    """A note with texts that it does not hold yet; None where it holds them all."""
    missing = [text for text in new if text and text not in (there or "")]
    if not missing:
        return None
    return "\n".join([*([there] if there else []), *missing])
