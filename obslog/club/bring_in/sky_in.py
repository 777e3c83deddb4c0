"""What the sky was like beside observations that come in: only what is on record otherwise becomes a reading."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime
from uuid import UUID

from obslog.club.bring_in.intake import Intake
from obslog.club.night.sky_in_force import Reading, in_force, readings_by_night
from obslog.records.tables.logbook_tables import SkyReading
from obslog.vocabulary.sky_scales import SkyScale

ScaleChanges = dict[SkyScale, tuple[float | None, float]]
"""Scales, each with what was in force, None where nothing was, and what is in force now."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SkyTold:
    """What a line tells: that in this night a scale read so at this time."""

    line: int
    night: UUID
    at_utc: datetime
    scale: SkyScale
    value: float


@dataclass(slots=True, kw_only=True)
class SkyIn:
    """Readings by their nights, on record or new."""

    intake: Intake
    _readings: dict[UUID, list[Reading]] = field(default_factory=dict)
    _on_record: set[tuple[UUID, SkyScale, datetime | None]] = field(default_factory=set)

    def load(self) -> None:
        """Read what is on record."""
        self._readings = readings_by_night(self.intake.session)
        self._on_record = {
            (night, reading.scale, reading.at_utc)
            for night, readings in self._readings.items()
            for reading in readings
        }

    def note(self, night: UUID, reading: Reading) -> None:
        """A reading of a night, unless the night had one of that scale and time; what was corrected stays so."""
        here = self._readings.setdefault(night, [])
        if (night, reading.scale, reading.at_utc) not in self._on_record and reading not in here:
            self._add(night, reading)

    def settle(self, told: Iterable[SkyTold]) -> dict[int, ScaleChanges]:
        """Make the readings without which the record would say otherwise than was told; by lines what they change."""
        changes: dict[int, ScaleChanges] = {}
        in_order = sorted(told, key=lambda one: one.at_utc)
        # What is added may be the first reading after lines before it, which had another one there: so look again.
        as_it_is = [one for one in in_order if not self._made(one, changes)]
        for one in as_it_is:
            self._made(one, changes)
        return changes

    def _made(self, told: SkyTold, changes: dict[int, ScaleChanges]) -> bool:
        before = in_force(self._readings.get(told.night, ()), told.scale, told.at_utc)
        if before == told.value:
            return False
        self._add(told.night, Reading(told.scale, told.value, told.at_utc))
        changes.setdefault(told.line, {})[told.scale] = (before, told.value)
        return True

    def _add(self, night: UUID, reading: Reading) -> None:
        self._readings.setdefault(night, []).append(reading)
        self.intake.add(
            SkyReading,
            night_id=night,
            scale=reading.scale,
            value=reading.value,
            at_utc=reading.at_utc,
            note=None,
        )


def refuse_what_disagrees(intake: Intake, told: Iterable[SkyTold]) -> None:
    """A fault for each line that tells otherwise of a scale and an instant than one above it."""
    first: dict[tuple[UUID, SkyScale, datetime], SkyTold] = {}
    for one in told:
        other = first.setdefault((one.night, one.scale, one.at_utc), one)
        if other.value != one.value:
            intake.fault(
                one.line,
                one.scale.column,
                f"It is {one.value:g} here and {other.value:g} in row {other.line}, at the same time of one night. "
                "Correct one of the two, or leave it blank.",
            )
