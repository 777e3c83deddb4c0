"""Set-ups that are open although their night has ended: who ended it did not know of the other laptop's.

They are told and not ended: the end of the night by the one laptop is not the end of what was done at the other, which
may have gone on for hours.
"""

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.together.standing_words import ToSettle, short
from obslog.errors import quoted
from obslog.records.tables.logbook_tables import Mount, Night, Setup, Site

WHY = "open"


def setups_left_open(session: Session) -> list[ToSettle]:
    """Each of them, in the order of their nights, with the command that ends it."""
    query = (
        select(Setup.id, Setup.ordinal, Mount.name, Night.night_of, Site.name)
        .join(Mount, Mount.id == Setup.mount_id)
        .join(Night, Night.id == Setup.night_id)
        .join(Site, Site.id == Night.site_id)
        .where(Setup.open, ~Night.open)
        .order_by(Night.night_of, Mount.name, Setup.ordinal)
    )
    return [
        _told(short(str(key)), f"set-up {ordinal} of {mount} in the night of {night} at {site}", mount)
        for key, ordinal, mount, night, site in session.execute(query)
    ]


def _told(reference: str, what: str, mount: str) -> ToSettle:
    return ToSettle(
        reference=reference,
        kind="set-up",
        why=WHY,
        what=what,
        beside=None,
        sentence=f"{what[0].upper()}{what[1:]} is open, and its night has ended.",
        settle=f"When it ended: obslog setup end {quoted(mount)} --at HH:MM",
    )
