"""What the program says when it is asked: laptops that know the same have to say the same."""

from collections.abc import Callable, Iterator
from datetime import date
from functools import partial
from typing import Any

from sqlalchemy import select

from obslog.club.history.told import history_of, newest_acts
from obslog.club.night.night_pages import list_nights, whole_night_of
from obslog.club.night.snags import list_snags
from obslog.club.register.named_records import listed
from obslog.club.review.review import review
from obslog.club.shelves.standing import past_counts, standing
from obslog.club.storeroom.loan_pages import list_loans
from obslog.club.storeroom.store_list import store_list
from obslog.club.together.contradictions import list_conflicts
from obslog.errors import ObslogError
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Mount, Night, Site
from tests.records.merging.laptops import BEGUN

DAY = BEGUN.date().replace(month=4)


def answers(database: Database, day: date = DAY) -> dict[str, Any]:
    """What it says of nights, arrivals, loans, the store-room, counting, people, contradictions and the log."""
    with database.one_look() as look:
        return {
            "nights": list_nights(look),
            "in the nights": list(_whole_nights(look)),
            "loans": list_loans(look, day),
            "store": store_list(look, with_retired=True),
            "review": review(look, day, with_names=True),
            "snags": list_snags(look, with_fixed=True),
            "stocktake": _said(partial(standing, look)),
            "stocktakes": past_counts(look),
            "members": listed(look, "member", with_retired=True),
            "sites": listed(look, "site"),
            "conflicts": list_conflicts(look),
            "acts": newest_acts(look, 50),
            "histories": [_said(partial(history_of, look, name, 50)) for name in _mounts(look)],
        }


def _whole_nights(database: Database) -> Iterator[Any]:
    with database.read() as session:
        for night, site in session.execute(select(Night, Site).join(Site).order_by(Night.id)):
            yield whole_night_of(session, night, site)


def _mounts(database: Database) -> list[str]:
    with database.read() as session:
        return list(session.scalars(select(Mount.name).order_by(Mount.id).limit(2)))


def _said(asked: Callable[[], Any]) -> Any:
    """The answer, or the sentence by which it is refused."""
    try:
        return asked()
    except ObslogError as error:
        return error.message
