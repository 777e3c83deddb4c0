"""What a table holds, in a few bytes: two databases hold the same rows where these are the same."""

from collections.abc import Sequence
from contextlib import closing
from dataclasses import dataclass
from hashlib import sha256

import msgspec
from sqlalchemy import Connection, Table

from obslog.records.moving.stored_rows import Row, stored_rows

_pack = msgspec.msgpack.Encoder().encode


@dataclass(frozen=True, slots=True)
class TableDigest:
    """How many rows there are, and the SHA-256 of all their values in the order of their keys."""

    rows: int
    sha256: str


class Digesting:
    """Takes rows batch by batch; each value is packed with its kind, so that 1, 1.0 and "1" differ."""

    def __init__(self) -> None:
        self._hash = sha256()
        self._rows = 0

    def take(self, rows: Sequence[Row]) -> None:
        self._hash.update(b"".join(map(_pack, rows)))
        self._rows += len(rows)

    def digest(self) -> TableDigest:
        return TableDigest(self._rows, self._hash.hexdigest())


def digest_of(connection: Connection, table: Table) -> TableDigest:
    """The digest of a table as it stands, the same on either database for the same records."""
    digesting = Digesting()
    with closing(stored_rows(connection, table)) as batches:
        for rows in batches:
            digesting.take(rows)
    return digesting.digest()
