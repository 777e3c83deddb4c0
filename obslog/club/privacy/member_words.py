"""The words by which a member is known, or ever was: names, ways of being reached, and the texts that hold them."""

from collections.abc import Callable, Collection
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.register.contacts import FIELDS, contact_of
from obslog.grammar.name_choice import fitting_names
from obslog.records.database import Database
from obslog.records.name_lookup import by_name
from obslog.records.nameless import NEUTRAL, TAKEN_OUT, has_left
from obslog.records.redaction.log_search import changes_of_kind, earlier_values, joined_to
from obslog.records.redaction.words import Words
from obslog.records.redaction.written_texts import WrittenText, texts_with
from obslog.records.tables.logbook_tables import Member
from obslog.records.tables.storeroom import Contact

SHORTEST_PART = 3
SHORTEST_CONTACT = 5


def known_by(database: Database, name: str) -> list[str]:
    """Every name and way of being reached that a member ever had on record. Raises UnknownName, WholeNameNeeded."""
    with database.read() as session:
        member = by_name(session, Member, name, whole=True)
        return sorted(words_of(session, all_selves(session, member.id), contact_of(session, member)).texts)


def words_of(session: Session, selves: Collection[UUID], contact: Contact | None) -> Words:
    """Every name the member ever had on record, also before spellings were joined, and every way they were reached.

    `selves` are their key and those that were joined to it, see `all_selves`. They may have no record of their own any
    more, since they were joined to another.
    """
    on_record = set(session.scalars(select(Member.name).where(Member.id.in_(selves))))
    names = on_record.union(*(earlier_values(session, key, "name") for key in selves))
    contacts = {
        key for one in selves for _, key in changes_of_kind(session, "Contact", "member_id", str(one))
    }
    ways = {getattr(contact, way) for way in FIELDS} if contact else set()
    for key in contacts:
        for way in FIELDS:
            ways |= earlier_values(session, key, way)
    reached = {way: TAKEN_OUT for way in ways if way and len(way) >= SHORTEST_CONTACT}
    return Words(reached | {name: NEUTRAL for name in names if not has_left(name)})


def typed_by(session: Session, member_id: UUID, words: Words) -> Callable[[str], bool]:
    """Whether a name by which somebody says who they are is this member's: it may be a beginning of one."""
    others = list(session.scalars(select(Member.name).where(Member.id != member_id)))

    def theirs(who: str) -> bool:
        fitting = fitting_names(who, [*words.texts, *others])
        return bool(fitting) and not set(fitting) & set(others)

    return theirs


def all_selves(session: Session, member_id: UUID) -> list[UUID]:
    """The member's key, and those of the members that were joined to it, which are on record no more."""
    found = [member_id]
    for key in found:  # it grows while it is gone through: one that was joined may have been joined to before
        found += [one for one in joined_to(session, "Member", key) if one not in found]
    return found


def naming_texts(session: Session, member: Member, words: Words) -> list[tuple[WrittenText, bool]]:
    """Texts that name the member; first those with the whole name. Their own record is not among them."""
    parts = {part: "" for part in member.name.split() if len(part) >= SHORTEST_PART}
    whole = [text for text in texts_with(session, words) if text.key != member.id]
    parted = [text for text in texts_with(session, Words(parts)) if text.key != member.id]
    return [(text, number < len(whole)) for number, text in enumerate(dict.fromkeys((*whole, *parted)))]
