"""Tubes and eyepieces on record, seen through together."""

from obslog.errors import ObslogError, quoted
from obslog.optics import View, view_through
from obslog.records.opening import Database
from obslog.records.queries import by_name
from obslog.records.tables import Eyepiece, Tube


class SizesUnknown(ObslogError):
    def __init__(self, kind: str, name: str, options: str) -> None:
        super().__init__(
            f"The sizes of the {kind} {name} are not on record.",
            f"Tell them: obslog {kind} edit {quoted(name)} {options}",
        )


def view_with(
    database: Database, tube_name: str, eyepiece_name: str, *, barlow: float = 1.0
) -> tuple[tuple[str, str], View]:
    """The names as on record, and the view. Raises UnknownName, SizesUnknown, OutOfRange."""
    with database.read() as session:
        tube, eyepiece = by_name(session, Tube, tube_name), by_name(session, Eyepiece, eyepiece_name)
        if tube.aperture_mm is None or tube.focal_mm is None:
            raise SizesUnknown("tube", tube.name, "--aperture-mm MM --focal-mm MM")
        if eyepiece.focal_mm is None:
            raise SizesUnknown("eyepiece", eyepiece.name, "--focal-mm MM --field-deg DEG")
        view = view_through(
            tube.aperture_mm,
            tube.focal_mm,
            eyepiece.focal_mm,
            eyepiece.field_deg,
            eyepiece.field_stop_mm,
            barlow,
        )
        return (tube.name, eyepiece.name), view
