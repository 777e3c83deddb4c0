"""Arrivals as a bundle carries them: 17 columns, eight to a set-up."""

import random
from collections.abc import Sequence
from datetime import timedelta
from typing import Any

from obslog.exchange.bundles.entries import BatchEntry
from tests.exchange.bundles.made import ACT, NOW, bundle_of, key

COLUMNS = (
    "id", "setup_id", "at_utc", "role", "target", "ra_hours", "dec_deg", "side", "offset_east_arcmin",
    "offset_north_arcmin", "centring_arcmin", "field_arcmin", "eyepiece_id", "note", "source", "order", "counted",
)  # fmt: skip


def arrival_rows(count: int) -> list[list[Any]]:
    chance = random.Random(1)
    rows: list[list[Any]] = []
    for place in range(count):
        at = NOW - timedelta(days=3000) + timedelta(minutes=5 * place)
        setup = key(place // 8, NOW - timedelta(days=3000))[:24] + f"{chance.getrandbits(48):012x}"
        rows.append(
            [
                key(place, at)[:24] + f"{chance.getrandbits(48):012x}", setup, f"{at:%Y-%m-%dT%H:%M:%S}.000000Z",
                "check" if place % 8 else "sync", f"star {place % 90}", round(chance.random() * 24, 6),
                round(chance.random() * 90, 6), chance.choice(["east", "west"]), round(chance.gauss(0, 10), 3),
                round(chance.gauss(0, 10), 3), None, 42.0, key(place % 9), None, "sheet", place % 8, 1,
            ]
        )  # fmt: skip
    return rows


def arrivals_batch(rows: Sequence[list[Any]]) -> BatchEntry:
    ids = [row[0] for row in rows]
    return BatchEntry(
        id=key(4),
        act_id=ACT.id,
        record_kind="Arrival",
        what="added",
        columns=COLUMNS,
        ids=ids,
        rows=list(rows),
    )


def arrivals_bundle(count: int) -> bytes:
    return bundle_of([ACT, arrivals_batch(arrival_rows(count))])
