"""One observation of a log as the columns of an entry: what has a place of its own, and the rest in its description."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any
from uuid import UUID

from obslog.club.night.plausibility import magnification_of
from obslog.club.open_log.log_keys import own_key
from obslog.club.open_log.log_names import LogNames
from obslog.club.open_log.log_words import chosen_result, result_lines, with_lines
from obslog.exchange.open_log.filter_kinds import filter_words
from obslog.exchange.open_log.kept_lines import without_kept_lines
from obslog.exchange.open_log.records import Log, LogObservation
from obslog.fields import DESCRIPTION, FILTER, MAGNIFICATION, RATING, SETUP_ORDINAL, SKETCH, usable
from obslog.records.tables.logbook_tables import Eyepiece, Tube
from obslog.vocabulary.observations import FindingMethod, Sighting, Vision

_NAKED_EYE, _BINOCULARS = "A", "B"


@dataclass(frozen=True, slots=True, kw_only=True)
class LogEntry:
    """The columns of an observation, and the set-up that it was made with: by its tube, its mount and its number."""

    columns: dict[str, Any]
    tube: Tube | None
    mount: tuple[UUID, str] | None
    ordinal: int | None
    eyepiece: Eyepiece | None


class EntryOf:
    """Reads one observation after the other; what is named in them is found or made."""

    def __init__(self, log: Log, names: LogNames, file: str, language: str | None) -> None:
        self._log, self._names, self._file, self._language = log, names, file, language

    def __call__(self, seen: LogObservation, target_lines: list[str]) -> LogEntry:
        """The entry of an observation. Raises UnusableText for words that are too long, EmptyName."""
        result = chosen_result(seen, self._language)
        words, kept = without_kept_lines(usable(result.description).strip())
        lines = [*target_lines]
        tube, eyepiece = self._optics(seen, kept, lines)
        columns: dict[str, Any] = {
            "sighting": _word(Sighting, "sighting", kept, lines) or Sighting.SEEN,
            "vision": _word(Vision, "vision", kept, lines),
            "found_by": _word(FindingMethod, "found by", kept, lines) or self._found_by(seen),
            "rating": _whole(RATING, "rating", kept, lines),
            "sketch": self._sketch(seen, kept, lines),
            "filter": self._filter(seen, lines),
            "magnification": self._magnification(seen, tube, eyepiece),
        }
        ordinal = _whole(SETUP_ORDINAL, "set-up", kept, lines)
        lines += [*self._not_kept(seen), *result_lines(seen, result), *seen.other]
        description = with_lines(words.strip(), lines, self._file)
        columns["description"] = DESCRIPTION.checked_or_none(description)
        mount = self._names.mount(kept["mount"]) if "mount" in kept else None
        return LogEntry(columns=columns, tube=tube, mount=mount, ordinal=ordinal, eyepiece=eyepiece)

    def _optics(
        self, seen: LogObservation, kept: Mapping[str, str], lines: list[str]
    ) -> tuple[Tube | None, Eyepiece | None]:
        scope = self._log.scopes.get(seen.scope or "")
        tube = None
        if scope is not None and scope.kind != _NAKED_EYE and scope.magnification is None:
            tube = self._names.tube(scope)
        elif scope is not None:
            size = (f"{scope.magnification:g}x",) if scope.magnification else ()
            aperture = (f"{scope.aperture_mm:g} mm",) if scope.aperture_mm else ()
            told = (scope.vendor, scope.model, *size, *aperture)
            lines += [f"seen with: {' '.join(text for text in told if text)}", *scope.other]
        elif "tube" in kept:
            tube = self._names.tube_named(kept["tube"])
        told_eyepiece = self._log.eyepieces.get(seen.eyepiece or "")
        if told_eyepiece is not None:
            return tube, self._names.eyepiece(told_eyepiece)
        return tube, self._names.eyepiece_named(kept["eyepiece"]) if "eyepiece" in kept else None

    def _found_by(self, seen: LogObservation) -> FindingMethod | None:
        """Of the naked eye and of binoculars the record says so in how an object was found."""
        scope = self._log.scopes.get(seen.scope or "")
        kind = scope.kind if scope is not None else None
        return {_NAKED_EYE: FindingMethod.NAKED_EYE, _BINOCULARS: FindingMethod.BINOCULARS}.get(kind or "")

    def _magnification(
        self, seen: LogObservation, tube: Tube | None, eyepiece: Eyepiece | None
    ) -> float | None:
        if seen.magnification is not None:
            return seen.magnification
        scope, lens = self._log.scopes.get(seen.scope or ""), self._log.lenses.get(seen.lens or "")
        if scope is not None and scope.magnification is not None:
            return scope.magnification if MAGNIFICATION.holds(scope.magnification) else None
        if own_key(seen.id) is not None:
            return None  # this program's own log says it wherever it is on record
        told = self._log.eyepieces.get(seen.eyepiece or "")
        if told is not None and told.longest_mm is not None:
            return None  # a zoom: nobody told at which of its focal lengths
        given = magnification_of(tube, eyepiece)
        if given is None or lens is None:
            return given
        enlarged = round(given * lens.factor, 1) if lens.factor is not None else None
        return enlarged if enlarged is not None and MAGNIFICATION.holds(enlarged) else None

    def _filter(self, seen: LogObservation, lines: list[str]) -> str | None:
        filter = self._log.filters.get(seen.filter or "")
        if filter is None:
            return None
        words = usable(filter_words(filter.model or filter.kind, filter.kind, filter.other)).strip()
        if 1 <= len(words) <= FILTER.longest:
            return words
        lines.append(f"filter: {words}")
        return None

    def _sketch(self, seen: LogObservation, kept: Mapping[str, str], lines: list[str]) -> str | None:
        told = [*([kept["sketch"]] if "sketch" in kept else []), *seen.images]
        texts = [text for one in told if (text := usable(one).strip())]
        fits = [text for text in texts[:1] if len(text) <= SKETCH.longest]
        lines += [f"image: {text}" for text in texts[len(fits) :]]
        return fits[0] if fits else None

    def _not_kept(self, seen: LogObservation) -> list[str]:
        """A lens and a camera, and references to what the log does not hold."""
        log = self._log
        lens, camera = log.lenses.get(seen.lens or ""), log.imagers.get(seen.imager or "")
        lines = []
        if lens is not None:
            factor = f", factor {lens.factor:g}" if lens.factor is not None else ""
            lines += [f"lens: {lens.model}{factor}", *lens.other]
        if camera:
            lines.append(f"camera: {camera}")
        held: dict[str, tuple[str | None, Mapping[str, object]]] = {
            "scope": (seen.scope, log.scopes),
            "eyepiece": (seen.eyepiece, log.eyepieces),
            "lens": (seen.lens, log.lenses),
            "filter": (seen.filter, log.filters),
            "camera": (seen.imager, log.imagers),
        }
        lines += [
            f"{name}: {reference} (not in the file)"
            for name, (reference, known) in held.items()
            if reference and reference not in known
        ]
        return lines


def _word(words: type[StrEnum], name: str, kept: Mapping[str, str], lines: list[str]) -> Any:
    told = kept.get(name)
    if told is None or told in list(words):
        return None if told is None else words(told)
    lines.append(f"{name}: {told}")
    return None


def _whole(field: Any, name: str, kept: Mapping[str, str], lines: list[str]) -> int | None:
    told = kept.get(name)
    if told is None:
        return None
    if told.isascii() and told.isdigit() and field.holds(int(told[:9])):
        return int(told)
    lines.append(f"{name}: {told}")
    return None
