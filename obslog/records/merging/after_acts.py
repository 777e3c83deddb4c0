"""After each act: whether it made room for a record that could not stand beside another until now.

Only asked where something is set aside, or was put back without a place, so that who works alone pays one small query.
"""

from sqlalchemy import Text, cast, select
from sqlalchemy.orm import Session

from obslog.records.history.recorder import TO_SETTLE
from obslog.records.tables.kept import record_obstacles
from obslog.records.tables.logbook import Act, Change, ChangeBatch


def settle_newest_act(session: Session) -> None:
    """Settle what the newest act touched, in its own transaction."""
    transaction = session.get_transaction()
    if (
        transaction is None or not transaction.is_active
    ):  # the database refused something, and nothing is kept
        return
    session.flush()
    waits = session.info.pop(TO_SETTLE, False)
    if not waits and session.execute(select(record_obstacles.c.id).limit(1)).first() is None:
        return
    from obslog.records.history.batches import unpacked_keys
    from obslog.records.merging.settling import settle

    newest = select(Act.id).order_by(Act.id.desc()).limit(1).scalar_subquery()
    single = select(Change.record_kind, cast(Change.record_id, Text)).where(Change.act_id == newest)
    many = select(ChangeBatch.record_kind, ChangeBatch.record_ids).where(ChangeBatch.act_id == newest)
    touched = {(kind, key) for kind, key in session.execute(single)}
    touched |= {(kind, key) for kind, packed in session.execute(many) for key in unpacked_keys(packed)}
    settle(session, touched)
