"""Records that are on record by the history and have no row, since another stands where they would."""

import json
from collections.abc import Sequence
from typing import Any

from sqlalchemy import Text, cast, select
from sqlalchemy.orm import Session

from obslog.records.history.rows import by_many
from obslog.records.tables.kept import parked_records


def parked_among(session: Session, keys: Sequence[str]) -> dict[str, dict[str, Any]]:
    """The images of those of the records that are parked."""
    key = cast(parked_records.c.record_id, Text)
    return {
        record_id: json.loads(image)
        for some in by_many(session, keys)
        for record_id, image in session.execute(
            select(key, parked_records.c.image).where(parked_records.c.record_id.in_(some))
        )
    }
