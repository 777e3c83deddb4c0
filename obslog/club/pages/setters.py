"""Who set a mount up, how often, and when last."""

from dataclasses import dataclass
from datetime import date

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from obslog.records.tables.logbook_tables import Member, Mount, Night, Setup


@dataclass(frozen=True, slots=True, kw_only=True)
class SetUpBy:
    """A member with the number of set-ups of one mount; None where nobody wrote down who it was."""

    member: str | None
    setups: int
    last: date


def set_up_by(session: Session, mount: Mount) -> list[SetUpBy]:
    """Who set it up, who did so most first."""
    setups = func.count(Setup.id)
    query = (
        select(Member.name, setups, func.max(Night.night_of))
        .select_from(Setup)
        .join(Night, Setup.night_id == Night.id)
        .outerjoin(Member, Setup.member_id == Member.id)
        .where(Setup.mount_id == mount.id)
        .group_by(Member.name, Member.name_key)
        .order_by(setups.desc(), Member.name_key)
    )
    return [SetUpBy(member=member, setups=count, last=last) for member, count, last in session.execute(query)]
