"""How laptops give each other what they know: as it is in memory, or by bundles that are written and read."""

from contextlib import suppress
from datetime import datetime, timedelta
from itertools import count
from pathlib import Path

from sqlalchemy import func, select

from obslog.club.together.merging import merge_bundles
from obslog.club.together.writing import NothingToTell, WhatToTell, write_bundle_to
from obslog.records.tables.logbook import Act
from tests.records.merging.laptops import BEGUN, Laptop

_numbers = count()


def take_from_files(taker: Laptop, *givers: Laptop) -> None:
    """Each giver writes a bundle, of everything or a part; the taker merges them together."""
    taker.now = max(taker.now, *(max(giver.now, _newest_act(giver)) for giver in givers))
    paths = [_written(giver, taker) for giver in givers]
    merge_bundles(taker.database, [path for path in paths if path.exists()], taker.now)
    for path in paths:
        path.unlink(missing_ok=True)


def _newest_act(laptop: Laptop) -> datetime:
    """A file that tells of a time ahead of the reader's clock is refused; no clock here is wrong by so much."""
    with laptop.database.read() as session:
        return session.scalars(select(func.max(Act.at_utc))).one() or laptop.now


def _written(giver: Laptop, taker: Laptop) -> Path:
    path = taker.folder / f"{next(_numbers)}.bundle"
    day = (BEGUN + timedelta(days=taker.chance.randrange(3))).date()
    what = taker.chance.choice(
        [
            WhatToTell(with_private=True),
            WhatToTell(),
            WhatToTell(untold=True, with_private=True),
            WhatToTell(since=day, with_private=True),
            WhatToTell(since=day),
        ]
    )
    with suppress(NothingToTell):
        write_bundle_to(giver.database, path, what, giver.now)
    return path
