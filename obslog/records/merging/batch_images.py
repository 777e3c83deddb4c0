"""Images of records that came with many, kept beside their keys once their rows do not tell them any more."""

from collections.abc import Collection

from sqlalchemy import update

from obslog.errors import ObslogError
from obslog.records.history.batches import packed_images, place_in, unpacked_keys
from obslog.records.merging.log_reading import LogReader
from obslog.records.tables.column_types import key_of
from obslog.records.tables.logbook import ChangeBatch


class CameWithAnothers(ObslogError):
    def __init__(self) -> None:
        super().__init__(
            "What came in together with it is of others' nights too, and history has yet to keep what all of it was.",
            "Nothing was changed. An officer of the club can do it for you.",
        )


def keep_images_of(reader: LogReader, kind: str, ids: Collection[str]) -> None:
    """Keep the images of all records of the batches by which one of these was added, where they are not kept yet.

    Raises CameWithAnothers where a server does not let this login write them.
    """
    for head in list(reader.heads(kind)):
        if head.with_images:
            continue
        packed = reader.keys(head.id)
        if not any(head.first_id <= one <= head.last_id and place_in(packed, one) is not None for one in ids):
            continue
        keys = unpacked_keys(packed)
        entries = reader.entries(kind, keys)
        images = []
        for key in keys:
            added = next((one for one in entries.get(key, ()) if one.change_id == head.id), None)
            images.append(dict(added.after or {}) if added else {})
        columns = sorted({name for image in images for name in image})
        rows = [[image.get(name) for name in columns] for image in images]
        filling = update(ChangeBatch).where(ChangeBatch.id == key_of(head.id))
        kept = reader.session.execute(
            filling.values(images=packed_images(columns, rows)).returning(ChangeBatch.id)
        )
        if kept.first() is None:
            raise CameWithAnothers
        reader.forget(head.id)
