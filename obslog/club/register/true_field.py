"""The true field of view in use: from the eyepiece and the tube of a set-up."""

import math

from sqlalchemy.orm import Session

from obslog.fields import FIELD_ARCMIN
from obslog.records.name_lookup import by_name
from obslog.records.tables.logbook_tables import Eyepiece, Setup, Tube
from obslog.vocabulary.observations import says_none


def field_in_use_arcmin(session: Session, setup: Setup, eyepiece_name: str | None) -> float | None:
    """The true field's diameter with the eyepiece that was named, or the set-up's own; None if not known or `none`."""
    if says_none(eyepiece_name):
        return None
    if eyepiece_name is not None:
        eyepiece: Eyepiece | None = by_name(session, Eyepiece, eyepiece_name)
    else:
        eyepiece = session.get(Eyepiece, setup.eyepiece_id) if setup.eyepiece_id else None
    tube = session.get(Tube, setup.tube_id) if setup.tube_id else None
    return true_field_arcmin(tube, eyepiece) if tube and eyepiece else None


def true_field_arcmin(tube: Tube, eyepiece: Eyepiece) -> float | None:
    """From the field stop where it is known, else from the apparent one; None where neither is, or it cannot be right.

    The same as obslog.optics gives; written for single numbers, so that a quick verb need not import numpy.
    """
    if tube.focal_mm is None:
        return None
    if eyepiece.field_stop_mm is not None:
        field_deg = 2 * math.degrees(math.atan2(eyepiece.field_stop_mm, 2 * tube.focal_mm))
    elif eyepiece.focal_mm is not None and eyepiece.field_deg is not None:
        field_deg = eyepiece.field_deg * eyepiece.focal_mm / tube.focal_mm
    else:
        return None
    field_arcmin = round(field_deg * 60, 2)
    return field_arcmin if FIELD_ARCMIN.holds(field_arcmin) else None
