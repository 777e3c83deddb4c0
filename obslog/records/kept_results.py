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

from sqlalchemy import Connection, Engine, bindparam, delete, insert, select
from sqlalchemy.exc import DBAPIError
from sqlalchemy.orm import Session

from obslog.packing import DamagedBytes, Readers, alike, packed, unpacked
from obslog.records.change_counting import is_counting
from obslog.records.engine import AFTERWARDS, writing
from obslog.records.tables.kept import kept_results, mount_changes

THE_CLUB = "club"
_IN_SESSION = "kept results"
T = TypeVar("T")
_PATIENCE_MS = 200
_SEAL_BYTES = 32
_SAME_RESULT = (kept_results.c.kind == bindparam("kind")) & (kept_results.c.subject == bindparam("subject"))


@dataclass(frozen=True, slots=True)
class Result:
    """Which result: its kind, and of what: the key of a mount with a word for a variant of it, or the club."""

    kind: str
    subject: str = THE_CLUB

    @classmethod
    def of_mount(cls, kind: str, mount: UUID, variant: object = "") -> "Result":
        return cls(kind, f"{mount} {variant}".rstrip())


@dataclass(frozen=True, slots=True)
class _Made:
    """A result that was made in this session: the mounts whose nights it came from, its fingerprint and its bytes."""

    mounts: tuple[UUID, ...]
    fingerprint: str
    data: bytes


class KeptResults:
    """The kept results as a session sees them, and those that were made in it, to be kept when it ends."""

    def __init__(
        self, session: Session, version: str, *, doubted: Callable[[Result], bool] = lambda _: False
    ) -> None:
        """`version` is that of the mathematics. Results that are `doubted` are computed again.

        The counts are read before anything else is: a result that is computed from rows that came later is kept under
        an older count, and found out of date. Where the database does not count, nothing is believed or kept.
        """
        self._session, self._version, self._doubted = session, version, doubted
        self._counting = is_counting(session.connection())
        self._changes = _counts(session) if self._counting else {}
        self._found: dict[Result, tuple[str, bytes] | None] = {}
        self._made: dict[Result, _Made] = {}
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

        It came from the nights of these mounts, and from `basis`. `readers` are for `unpacked`. Of a mount that nobody
        counts the changes of, nothing that was kept is believed.
        """
        of = tuple(mounts)
        fingerprint = self._fingerprint(of, basis)
        made_here = self._made.get(result)
        if made_here is not None and made_here.fingerprint == fingerprint:
            data: bytes | None = made_here.data
        elif self._doubted(result) or not (self._counting and self._changes.keys() >= set(of)):
            data = None
        else:
            data = self._kept(result, fingerprint)
        if data is not None:
            try:
                return unpacked(data, kind, readers)
            except DamagedBytes:
                pass  # of another shape: as good as not kept
        made = make()
        self._made[result] = _Made(of, fingerprint, packed(made))
        return made

    def compared(self) -> tuple[int, list[str]]:
        """How many results that were made here had been kept from the same rows, and which of those were different.

        One that was damaged is different. What another program has changed meanwhile is not compared.
        """
        same_rows, differ = 0, []
        now = _counts(self._session)
        unchanged = {mount for mount, changes in self._changes.items() if now.get(mount) == changes}
        for result, made in self._made.items():
            if not (unchanged.issuperset(made.mounts) and self._stands_under(result, made.fingerprint)):
                continue
            same_rows += 1
            kept = self._kept(result, made.fingerprint)
            if kept is None or not alike(made.data, kept):
                differ.append(f"{result.kind} of {result.subject}")
        return same_rows, differ

    def keep_nothing(self) -> None:
        """Let go of what was made."""
        self._made.clear()

    def write(self, engine: Engine) -> None:
        """Keep what was made; in vain where the database cannot be written now.

        What has changed since the counts were read is not kept: no name may come back that was taken out meanwhile.
        """
        if not (self._made and self._counting):
            return
        try:
            with _impatient(writing(engine)) as connection:
                rows = [
                    {
                        "kind": result.kind,
                        "subject": result.subject,
                        "fingerprint": made.fingerprint,
                        "payload": sealed(result, made.fingerprint, made.data),
                    }
                    for result, made in self._unchanged(connection)
                ]
                if rows:
                    connection.execute(delete(kept_results).where(_SAME_RESULT), rows)
                    connection.execute(insert(kept_results), rows)
        except DBAPIError:
            return

    def _unchanged(self, connection: Connection) -> list[tuple[Result, _Made]]:
        """What was made of mounts that stand as they were counted, in one order for all; they stay so until the end.

        A mount that is being changed at this moment is passed by on a server; on SQLite nobody else writes now.
        """
        mounts = {mount for made in self._made.values() for mount in made.mounts}
        query = select(mount_changes).where(mount_changes.c.mount_id.in_(mounts)).order_by("mount_id")
        counts = connection.execute(query.with_for_update(read=True, skip_locked=True))
        now = {row.mount_id: row.changes for row in counts}
        same = {mount for mount in mounts if mount in now and now[mount] == self._changes.get(mount)}
        made_of_same = [(result, made) for result, made in self._made.items() if same.issuperset(made.mounts)]
        return sorted(made_of_same, key=lambda item: str(item[0]))

    def read_ahead(self, kind: str) -> None:
        """Read all results of a kind at once, for who asks for those of every mount."""
        for row in self._session.execute(select(kept_results).where(kept_results.c.kind == kind)):
            self._found[Result(row.kind, row.subject)] = row.fingerprint, row.payload

    def _kept(self, result: Result, fingerprint: str) -> bytes | None:
        """The bytes of what was kept under this fingerprint; None where nothing was, or where it is damaged."""
        found = self._row(result)
        if found is None or found[0] != fingerprint:
            return None
        data = found[1][_SEAL_BYTES:]
        return data if sealed(result, fingerprint, data) == found[1] else None

    def _stands_under(self, result: Result, fingerprint: str) -> bool:
        found = self._row(result)
        return found is not None and found[0] == fingerprint

    def _row(self, result: Result) -> tuple[str, bytes] | None:
        if result not in self._found:
            query = select(kept_results.c.fingerprint, kept_results.c.payload).where(_SAME_RESULT)
            row = self._session.execute(query, {"kind": result.kind, "subject": result.subject}).first()
            self._found[result] = None if row is None else (row.fingerprint, row.payload)
        return self._found[result]

    def _fingerprint(self, mounts: Iterable[UUID], basis: object) -> str:
        counts = [f"{mount}:{self._changes.get(mount)}" for mount in mounts]
        told = "\n".join([self._version, *counts, repr(basis)])
        return sha256(told.encode()).hexdigest()


def forget_results(within: Session | Connection) -> None:
    """Delete all kept results, which may name people and things as they were called before."""
    within.execute(delete(kept_results))


def sealed(result: Result, fingerprint: str, data: bytes) -> bytes:
    """The bytes of a result behind a digest of them: damage would else be a wrong number, or one thing for another."""
    told = "\n".join((result.kind, result.subject, fingerprint, ""))
    return sha256(told.encode() + data).digest() + data


def _counts(session: Session) -> dict[UUID, int]:
    return {row.mount_id: row.changes for row in session.execute(select(mount_changes))}


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
