"""Members who left, and when their names are due to be removed by the club's rule."""

from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy import select

from obslog.club.privacy.kept_about import KEEP_MONTHS
from obslog.club.register.club_day import day_in
from obslog.club.register.rule_book import rules_in_force
from obslog.records.database import Database
from obslog.records.nameless import has_left
from obslog.records.tables.lending import Loan
from obslog.records.tables.logbook_tables import Member
from obslog.times import months_later


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaver:
    """A member who left but whose name stands; `due` from `due_on` on; `has_out` while a loan of theirs is open."""

    name: str
    left_on: date
    due_on: date
    due: bool
    has_out: bool


def list_leavers(database: Database, now: datetime) -> list[Leaver]:
    """Everybody who was retired and not made nameless, the one due first at the top."""
    query = (
        select(Member.id, Member.name, Member.retired_on)
        .where(Member.retired_on.is_not(None))
        .order_by(Member.retired_on, Member.name_key)
    )
    with database.read() as session:
        today = day_in(session, now)
        months = int(rules_in_force(session)[KEEP_MONTHS])
        out = set(session.scalars(select(Loan.member_id).where(Loan.back_on.is_(None))))
        left = [(key, name, day) for key, name, day in session.execute(query) if day is not None]
    return [
        Leaver(
            name=name,
            left_on=day,
            due_on=(due_on := months_later(day, months)),
            due=due_on <= today,
            has_out=key in out,
        )
        for key, name, day in left
        if not has_left(name)
    ]
