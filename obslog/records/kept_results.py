"""Results that were computed from the records and kept, for as long as the records are as they were then.

Nothing here is trusted over the records: a result counts while the fingerprint of all that it was computed from is the
same, and everything may be deleted without changing an answer. Keeping is worth no waiting and no complaint: where
another program is writing, or the file may not be written, results are computed anew the next time.
"""

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from hashlib import sha256
from typing import TypeVar
from uuid import UUID

from sqlalchemy import ColumnElement, Connection, Engine, delete, insert, select
from sqlalchemy.exc import DBAPIError
from sqlalchemy.orm import Session

from obslog.packing import CannotUnpack, Readers, alike, packed, unpacked
from obslog.records.engine import AFTERWARDS, writing
from obslog.records.tables.kept import kept_results, mount_changes

THE_CLUB = "club"
_IN_SESSION = "kept results"
T = TypeVar("T")
_PATIENCE_MS = 200


@dataclass(frozen=True, slots=True)
class Result:
    """Which result: its kind, and of what: the key of a mount with a word for a variant of it, or the club."""

    kind: str
    subject: str = THE_CLUB

    @classmethod
    def of_mount(cls, kind: str, mount: UUID, variant: object = "") -> "Result":
        return cls(kind, f"{mount} {variant}".rstrip())


class KeptResults:
    """The kept results as a session sees them, and those that were made in it, to be kept when it ends."""

    def __init__(
        self, session: Session, version: str, *, doubted: Callable[[Result], bool] = lambda _: False
    ) -> None:
        """`version` is that of the mathematics. Results that are `doubted` are computed again.

        The counts are read before anything else is: a result that is computed from rows that came later is kept under
        an older count, and found out of date.
        """
        self._session, self._version, self._doubted = session, version, doubted
        counts = session.execute(select(mount_changes))
        self._changes: dict[UUID, int] = {row.mount_id: row.changes for row in counts}
        self._found: dict[Result, tuple[str, bytes] | None] = {}
        self._made: dict[Result, tuple[str, bytes]] = {}
        session.info |= {_IN_SESSION: self, AFTERWARDS: self.write}

    @classmethod
    def of(cls, session: Session, version: str) -> "KeptResults":
        """Those of this session, begun when they are first asked for."""
        return session.info.get(_IN_SESSION) or cls(session, version)

    def get(
        self,
        result: Result,
        mounts: Iterable[UUID],
        kind: type[T],
        make: Callable[[], T],
        *,
        basis: object = "",
        readers: Readers | None = None,
    ) -> T:
        """The result if it was kept and nothing it came from has changed; else what `make` gives, to be kept.

        It came from the nights of these mounts, and from `basis`. `readers` are for `unpacked`.
        """
        fingerprint = self._fingerprint(mounts, basis)
        kept = self._made.get(result) or (None if self._doubted(result) else self._kept(result))
        if kept is not None and kept[0] == fingerprint:
            try:
                return unpacked(kept[1], kind, readers)
            except CannotUnpack:
                pass  # damaged, or of another shape: as good as not kept
        made = make()
        self._made[result] = fingerprint, packed(made)
        return made

    def compared(self) -> tuple[int, list[str]]:
        """How many results that were made here had been kept from the same rows, and which of those were different."""
        pairs = [(result, *made, self._kept(result)) for result, made in self._made.items()]
        same_rows = [
            (result, made, kept[1]) for result, mark, made, kept in pairs if kept and kept[0] == mark
        ]
        differ = [
            f"{result.kind} of {result.subject}" for result, made, kept in same_rows if not alike(made, kept)
        ]
        return len(same_rows), differ

    def keep_nothing(self) -> None:
        """Let go of what was made."""
        self._made.clear()

    def write(self, engine: Engine) -> None:
        """Keep what was made; in vain where the database cannot be written now."""
        rows = [
            {"kind": result.kind, "subject": result.subject, "fingerprint": fingerprint, "payload": payload}
            for result, (fingerprint, payload) in sorted(self._made.items(), key=lambda item: str(item[0]))
        ]
        if not rows:
            return
        try:
            with _impatient(writing(engine)) as connection:
                for result in self._made:
                    connection.execute(delete(kept_results).where(_this(result)))
                connection.execute(insert(kept_results), rows)
        except DBAPIError:
            return

    def read_ahead(self, kind: str) -> None:
        """Read all results of a kind at once, for who asks for those of every mount."""
        for row in self._session.execute(select(kept_results).where(kept_results.c.kind == kind)):
            self._found[Result(row.kind, row.subject)] = row.fingerprint, row.payload

    def _kept(self, result: Result) -> tuple[str, bytes] | None:
        if result not in self._found:
            query = select(kept_results.c.fingerprint, kept_results.c.payload).where(_this(result))
            row = self._session.execute(query).first()
            self._found[result] = None if row is None else (row.fingerprint, row.payload)
        return self._found[result]

    def _fingerprint(self, mounts: Iterable[UUID], basis: object) -> str:
        counts = [f"{mount}:{self._changes.get(mount)}" for mount in mounts]
        told = "\n".join([self._version, *counts, repr(basis)])
        return sha256(told.encode()).hexdigest()


def forget_results(within: Session | Connection) -> None:
    """Delete all kept results, which may name people and things as they were called before."""
    within.execute(delete(kept_results))


def _this(result: Result) -> ColumnElement[bool]:
    return (kept_results.c.kind == result.kind) & (kept_results.c.subject == result.subject)


@contextmanager
def _impatient(engine: Engine) -> Iterator[Connection]:
    """A transaction that gives up at once where another program is writing."""
    with engine.connect() as connection:
        if connection.dialect.name != "sqlite":
            with connection.begin():
                connection.exec_driver_sql(f"SET LOCAL lock_timeout = {_PATIENCE_MS}")
                yield connection
            return
        raw = connection.connection.driver_connection
        assert raw is not None
        (usual,) = raw.execute("PRAGMA busy_timeout").fetchone()
        raw.execute(f"PRAGMA busy_timeout={_PATIENCE_MS}").close()
        try:
            with connection.begin():
                yield connection
        finally:
            raw.execute(f"PRAGMA busy_timeout={usual}").close()
