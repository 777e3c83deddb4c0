"""Members who left, and whom another laptop had made one with a member who is on record by name.

They are told and not made nameless with them: whether the two are one person only people know, and no name comes back.
"""

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.together.standing_words import ToSettle, short
from obslog.errors import quoted
from obslog.records.bundles.forgetting import forgotten_here, neutral_name
from obslog.records.merging.same_aliases import Aliases, read_aliases
from obslog.records.nameless import MEMBER, has_left
from obslog.records.tables.column_types import key_of
from obslog.records.tables.logbook_tables import Member

WHY = "left"


def joined_leavers(session: Session) -> list[ToSettle]:
    """Each of them, with the commands that settle it; in the order of their keys."""
    aliases = read_aliases(session)
    joined = sorted(key for key in aliases.standing if aliases.kind_of.get(key) == MEMBER)
    left = forgotten_here(session) if joined else set()
    found = []
    for key in joined:
        if key not in left:
            continue
        stands = session.scalar(select(Member.name).where(Member.id == key_of(aliases.stands_for(key))))
        if stands is not None and not has_left(stands):
            found.append(_told(key, stands, short(max(_joining_acts(session, aliases, key)))))
    return found


def _joining_acts(session: Session, aliases: Aliases, key: str) -> set[str]:
    """The acts that made the member another name, or, where a third was made one with both, what made that one."""
    own = set(aliases.joining_acts(session, key))
    stands = aliases.stands_for(key)
    others = [other for other, one in aliases.standing.items() if one == stands]
    return own or {act for other in others for act in aliases.joining_acts(session, other)}


def _told(key: str, stands: str, joining: str) -> ToSettle:
    what = neutral_name(key)
    return ToSettle(
        reference=short(key),
        kind="member",
        why=WHY,
        what=what,
        beside=stands,
        sentence=f"{what} left, and was made one with {stands}, who is on record by name.",
        settle=f"If they are one: obslog member leave {quoted(stands)}. If two: obslog undo {joining}",
    )
