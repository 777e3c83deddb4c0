"""Services: work done on a thing. One that is mechanical starts the mount's mechanical history afresh."""

from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy import select

from obslog.club.texts import written
from obslog.records.opening import Database
from obslog.records.queries import KINDS, by_name
from obslog.records.tables import Equipment, Member, Service
from obslog.times import not_a_future_date


@dataclass(frozen=True, slots=True)
class ServiceLine:
    kind: str
    name: str
    done_on: date
    text: str
    mechanical: bool
    by: str | None


def add_service(
    database: Database,
    kind: str,
    name: str,
    text: str,
    now: datetime,
    *,
    on: date,
    mechanical: bool = False,
    by: str | None = None,
) -> ServiceLine:
    """Note work done on a mount, tube, eyepiece or item. Raises UnknownName, FutureDate, UnusableText."""
    text = written(text, "The service")
    not_a_future_date(on, now)
    with database.write(now, f"note a service of {name}") as session:
        thing = by_name(session, KINDS[kind], name)
        doer = by_name(session, Member, by) if by else None
        session.add(
            Service(
                equipment_id=thing.id,
                done_on=on,
                text=text,
                mechanical=mechanical,
                member_id=doer.id if doer else None,
            )
        )
        return ServiceLine(kind, thing.name, on, text, mechanical, doer.name if doer else None)


def list_services(database: Database, *, name: str | None = None, kind: str = "mount") -> list[ServiceLine]:
    """The services on record, the newest first; of one thing where it is named."""
    query = (
        select(Equipment.kind, Equipment.name, Service.done_on, Service.text, Service.mechanical, Member.name)
        .join(Equipment, Service.equipment_id == Equipment.id)
        .outerjoin(Member, Service.member_id == Member.id)
        .order_by(Service.done_on.desc(), Service.id.desc())
    )
    with database.read() as session:
        if name is not None:
            query = query.where(Service.equipment_id == by_name(session, KINDS[kind], name).id)
        return [ServiceLine(*row) for row in session.execute(query)]
