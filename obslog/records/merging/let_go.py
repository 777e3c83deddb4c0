"""Stocktakes that an upgrade let go so that one is open: made one with that, as those of two laptops are."""

from collections.abc import Collection, Mapping
from datetime import date

from sqlalchemy import Connection, Text, cast, select, update
from sqlalchemy.orm import Session

from obslog.records.merging.batch_images import keep_images_of
from obslog.records.merging.kinds import kinds
from obslog.records.merging.log_reading import LogReader
from obslog.records.merging.row_images import Row, rows_of
from obslog.records.merging.settling import settle
from obslog.records.tables.column_types import key_of
from obslog.records.tables.officer import Stocktake

_KIND = Stocktake.__name__
_LET_GO_ON = date(9999, 12, 31)
"""The day on which revision 0017 says that they were finished."""


def make_one_of_those_let_go(connection: Connection) -> None:
    """Make rows of the log for stocktakes that the upgrade let go, in the connection's transaction.

    One of which the log knows nothing, as another program may have written it, was finished on the day it began.
    """
    with Session(connection) as session:
        query = select(cast(Stocktake.id, Text)).where(Stocktake.finished_on == _LET_GO_ON)
        let_go = set(session.scalars(query))
        if not let_go:
            return
        known = _told_as_open(session, let_go)
        strangers = [key_of(one) for one in let_go - known]
        session.execute(
            update(Stocktake).where(Stocktake.id.in_(strangers)).values(finished_on=Stocktake.started_on)
        )
        settle(session, {(_KIND, one) for one in known})
        session.flush()


def _told_as_open(session: Session, let_go: Collection[str]) -> set[str]:
    """Those of them that the log knows; where a row alone tells of one, it is kept that it was open."""

    def as_they_were(kind: str, ids: Collection[str]) -> Mapping[str, Row]:
        rows = rows_of(session, kinds()[kind], ids)
        return {key: row | {"finished_on": None} if key in let_go else row for key, row in rows.items()}

    reader = LogReader(session=session, rows_now=as_they_were)
    known = set(reader.entries(_KIND, let_go))
    keep_images_of(reader, _KIND, known)
    return known
