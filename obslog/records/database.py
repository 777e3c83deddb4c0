"""An open database: sessions to read in, transactions to write in, and what becomes of the driver's errors."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from uuid import UUID

from sqlalchemy import Engine
from sqlalchemy.orm import Session

from obslog.errors import ObslogError
from obslog.records.driver_errors import ConnectionLost, DiskFull, EndUnknown, NotAllowed, in_sentences
from obslog.records.engine import AFTERWARDS, writing
from obslog.records.history.author import NOBODY, Author
from obslog.records.history.recorder import ACT_WRITTEN, AUTHOR, ActRecorder, wait_for_other_acts
from obslog.records.merging.after_acts import settle_newest_act
from obslog.records.tables.logbook import Act


def nobody() -> Author:
    return NOBODY


@dataclass(frozen=True)
class Database:
    """An open database: `read` and `write` give sessions, and turn driver errors into sentences.

    One on a disk without any room, or that may not be written, is `only_read`. Who writes is found out when something
    is written.
    """

    engine: Engine
    where: str
    only_read: bool = False
    find_author: Callable[[], Author] = nobody
    refusal: Callable[[str], ObslogError] = field(default=DiskFull, kw_only=True)
    """What is raised where something is to be written to one that can only be read."""
    written: list[UUID | None] = field(default_factory=list, compare=False, repr=False, kw_only=True)
    """The transactions that were written here, each by its act if it is one."""

    @property
    def author(self) -> Author:
        return self.find_author()

    @contextmanager
    def read(self) -> Iterator[Session]:
        """A session to read in; what it has AFTERWARDS is called with the engine when it has ended well."""
        with self._in_sentences(), Session(self.engine) as session:
            yield session
        if afterwards := session.info.get(AFTERWARDS):
            afterwards(self.engine)

    @contextmanager
    def write(self, now: datetime, sentence: str | None = None) -> Iterator[Session]:
        """One transaction; what it changes is kept as one act under `sentence`, and can be undone.

        Where the line to a server breaks while the end of the act is on its way, it is looked up whether it arrived.
        """
        if self.only_read:
            raise self.refusal(self.where)
        ending, act_id = False, None
        try:
            with self._in_sentences(), Session(writing(self.engine)) as session, session.begin():
                wait_for_other_acts(session)
                session.info[AUTHOR] = self.find_author
                recorder = ActRecorder(session) if sentence else None
                yield session
                if recorder and sentence:
                    recorder.write(sentence, now)
                settle_newest_act(session)
                session.flush()
                ending, act_id = True, session.info.get(ACT_WRITTEN)
        except ConnectionLost:
            if not (ending and self._is_on_record(act_id)):
                raise
        self.written.append(act_id)

    @contextmanager
    def _in_sentences(self) -> Iterator[None]:
        """Driver errors as sentences; a server's refusal also says whether another version's rights may be why."""
        try:
            with in_sentences(self.where):
                yield
        except NotAllowed as refused:
            from obslog.records.roles.given_rights import explained_refusal

            raise explained_refusal(refused, self.engine, self.where) from refused

    def _is_on_record(self, act_id: UUID | None) -> bool:
        """Whether the act arrived before the line broke. Raises EndUnknown."""
        if act_id is None:
            raise EndUnknown(self.where)
        try:
            with self.read() as session:
                return session.get(Act, act_id) is not None
        except ObslogError as error:
            raise EndUnknown(self.where) from error

    @contextmanager
    def one_look(self) -> Iterator["Database"]:
        """The same database for who asks much at once: whatever is read from it is read in one session."""
        with self.read() as session:
            yield OneLook(
                self.engine,
                self.where,
                self.only_read,
                self.find_author,
                refusal=self.refusal,
                written=self.written,
                session=session,
            )

    def close(self) -> None:
        self.engine.dispose()


@dataclass(frozen=True)
class OneLook(Database):
    """A database that is read in one session by all who read from it; what was computed is computed once."""

    session: Session = field(kw_only=True)

    @contextmanager
    def read(self) -> Iterator[Session]:
        yield self.session

    @contextmanager
    def one_look(self) -> Iterator[Database]:
        yield self
