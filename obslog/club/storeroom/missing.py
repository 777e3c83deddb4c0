"""Things that go missing and are found, that are written off, and that come back into use."""

from datetime import date, datetime

from obslog.club.register.things import thing_named
from obslog.club.storeroom.custody import paper_of, refuse_if_lost_out
from obslog.club.storeroom.kits import set_missing_from
from obslog.club.storeroom.loans import lose_on_loan
from obslog.club.storeroom.retirement import BeforeThat
from obslog.errors import ObslogError, WrongInput, quoted
from obslog.records.opening import Database
from obslog.times import not_a_future_date


class NotMissing(ObslogError):
    def __init__(self, name: str) -> None:
        super().__init__(f"{name} is not missing.", "See what is: obslog store list --missing")


class MissingAlready(WrongInput):
    def __init__(self, name: str, since: date) -> None:
        super().__init__(
            f"{name} is missing since {since}.", f"Found again: obslog store found {quoted(name)}"
        )


def go_missing(
    database: Database,
    name: str,
    now: datetime,
    *,
    kind: str | None = None,
    on: date | None = None,
    lost_on_loan: bool = False,
) -> None:
    """Say that a thing is missing since a day, out of the store or, where said so, out of a borrower's hands.

    Raises UnknownName, WhichKind, MissingAlready, LostWhileOut, NotOut, FutureDate, BadDate.
    """
    day = not_a_future_date(on or now.date(), now)
    with database.write(now, f"{name} is missing") as session:
        thing = thing_named(session, name, kind)
        paper = paper_of(session, thing.id)
        if paper is not None and paper.missing_since is not None:
            raise MissingAlready(thing.name, paper.missing_since)
        if lost_on_loan:
            lose_on_loan(session, thing, day)
            return
        refuse_if_lost_out(session, thing, "missing")
        set_missing_from(session, thing, day, missing=True)


def be_found(
    database: Database, name: str, now: datetime, *, kind: str | None = None, on: date | None = None
) -> None:
    """Say that a missing thing is found. Raises UnknownName, WhichKind, NotMissing, BeforeThat, FutureDate."""
    day = not_a_future_date(on or now.date(), now)
    with database.write(now, f"{name} is found") as session:
        thing = thing_named(session, name, kind)
        paper = paper_of(session, thing.id)
        if paper is None or paper.missing_since is None:
            raise NotMissing(thing.name)
        if day < paper.missing_since:
            raise BeforeThat(thing.name, "missing", day, paper.missing_since)
        set_missing_from(session, thing, day, missing=False)
