"""All readings of the sky of a night in words, and back."""

import re
from collections.abc import Sequence
from datetime import UTC, datetime

from obslog.club.night.sky_in_force import Reading
from obslog.exchange.open_log.xml_text import xml_number
from obslog.vocabulary.sky_scales import SKY_SCALE_RANGE, SkyScale

_READING = re.compile(r"([a-z0-9-]+) ([+-]?\d+(?:\.\d+)?)(?: at (\S+Z))?$")


def in_words(readings: Sequence[Reading]) -> str | None:
    """All readings of a night: `pickering 7 at 2026-03-02T21:00:00Z; bortle 4`."""
    return "; ".join(map(_words, readings)) or None


def from_words(text: str) -> list[Reading] | None:
    """The readings that `in_words` wrote; None for words of anybody else."""
    readings = []
    for part in text.split("; "):
        found = _READING.match(part)
        if found is None or found[1] not in list(SkyScale):
            return None
        scale, value = SkyScale(found[1]), float(found[2])
        low, high = SKY_SCALE_RANGE[scale]
        try:
            at_utc = datetime.fromisoformat(found[3]).astimezone(UTC) if found[3] else None
        except ValueError:
            return None
        if not low <= value <= high:
            return None
        readings.append(Reading(scale, value, at_utc))
    return readings


def _words(reading: Reading) -> str:
    at = "" if reading.at_utc is None else f" at {reading.at_utc.astimezone(UTC).isoformat()[:-6]}Z"
    return f"{reading.scale} {xml_number(reading.value)}{at}"
