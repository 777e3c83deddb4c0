"""Tubes and eyepieces on record, seen through together."""

import math
from dataclasses import dataclass

from obslog.errors import ObslogError, quoted
from obslog.fields import BARLOW, NumberField
from obslog.optics import View, true_field_from_drift_deg, view_through
from obslog.records.database import Database
from obslog.records.name_lookup import by_name
from obslog.records.tables.logbook_tables import Eyepiece, Tube
from obslog.vocabulary.hint_options import EYEPIECE_OPTIONS, TUBE_OPTIONS


class SizesUnknown(ObslogError):
    def __init__(self, kind: str, name: str, options: str) -> None:
        super().__init__(
            f"The sizes of the {kind} {name} are not on record.",
            f"Set them: obslog {kind} edit {quoted(name)} {options}",
        )


@dataclass(frozen=True, slots=True)
class DriftedField:
    """A true field measured by a star's drift, and the field stop that it means in that tube."""

    true_field_arcmin: float
    field_stop_mm: float


def field_by_drift(
    database: Database, tube_name: str, seconds: float, dec_deg: float, *, barlow: float = 1.0
) -> DriftedField:
    """The true field from the time a star takes across its middle, the drive off. Raises UnknownName, OutOfRange.

    A Barlow lens lengthens the tube's focal length, so the stop behind it spans so much more.
    """
    BARLOW.check(barlow)
    NumberField("The drift time", 0.1, 3600, "seconds").check(seconds)
    NumberField("The star's declination", -85, 85, "degrees").check(dec_deg)
    with database.read() as session:
        tube = by_name(session, Tube, tube_name)
        if tube.focal_mm is None:
            raise SizesUnknown("tube", tube.name, TUBE_OPTIONS)
        field_deg = float(true_field_from_drift_deg(seconds, dec_deg))
        return DriftedField(
            field_deg * 60, 2 * tube.focal_mm * barlow * math.tan(math.radians(field_deg) / 2)
        )


def view_with(
    database: Database, tube_name: str, eyepiece_name: str, *, barlow: float = 1.0
) -> tuple[tuple[str, str], View]:
    """The names as on record, and the view. Raises UnknownName, SizesUnknown, OutOfRange."""
    with database.read() as session:
        tube, eyepiece = by_name(session, Tube, tube_name), by_name(session, Eyepiece, eyepiece_name)
        if tube.aperture_mm is None or tube.focal_mm is None:
            raise SizesUnknown("tube", tube.name, TUBE_OPTIONS)
        if eyepiece.focal_mm is None:
            raise SizesUnknown("eyepiece", eyepiece.name, EYEPIECE_OPTIONS)
        view = view_through(
            tube.aperture_mm,
            tube.focal_mm,
            eyepiece.focal_mm,
            eyepiece.field_deg,
            eyepiece.field_stop_mm,
            barlow,
        )
        return (tube.name, eyepiece.name), view
