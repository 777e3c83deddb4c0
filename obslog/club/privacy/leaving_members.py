"""A member who leaves: a neutral name takes the place of theirs, and what belongs to the person is deleted.

Nights, arrivals, loans and all else stay on record under the neutral name. It cannot be undone: that is its point.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from functools import partial
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session, aliased

from obslog.club.privacy.member_words import all_selves, naming_texts, typed_by, words_of
from obslog.club.register.club_day import day_in
from obslog.club.register.contacts import contact_of
from obslog.english import enumerated
from obslog.errors import ObslogError, quoted
from obslog.records.bundles.forgetting import as_forgotten, neutral_name
from obslog.records.bundles.forgotten_contacts import contacts_of, take_out_of_log
from obslog.records.bundles.told import Told
from obslog.records.database import Database
from obslog.records.files.copies import copies_holding
from obslog.records.files.unused_pages import wipe_deleted
from obslog.records.history.images import Image
from obslog.records.history.recorder import author_of, call_act, notes_of, write_under
from obslog.records.kept_results import forget_results
from obslog.records.merging.settling import settle
from obslog.records.name_lookup import by_name
from obslog.records.nameless import MEMBER, NAMES, NEUTRAL, refuse_who_left
from obslog.records.redaction.log_rewriting import (
    clear_in_images,
    redact_acts,
    redact_authors,
    rewrite_images,
)
from obslog.records.redaction.words import Words
from obslog.records.redaction.written_texts import WrittenText, replace_texts, texts_with, with_texts
from obslog.records.tables.base import name_key
from obslog.records.tables.keys import reference_of
from obslog.records.tables.lending import Kit, Loan, Reservation
from obslog.records.tables.logbook_tables import Equipment, Member
from obslog.records.tables.officer import Call
from obslog.records.tables.storeroom import Contact


class StillHas(ObslogError):
    def __init__(self, member: str, things: Sequence[str]) -> None:
        super().__init__(
            f"{member} still has {enumerated(things)}.",
            f"Take it back first: obslog loan back {quoted(things[0])}; "
            f"or pass it on: obslog loan hand-over {quoted(things[0])} MEMBER",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Mention:
    """A text that names the person, in whole or in part; `replaced` where the neutral name stands in it now."""

    kind: str
    reference: str
    field: str
    text: str
    whole_name: bool
    replaced: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaving:
    """What was done, or where one only looked would be: the new name, and what the officer must still see to.

    `acts` counts the rows of the record of acts from which the name went; `wiped` is False where the file's unused
    pages could not be written anew, None on a server. `copies` lie beside the database and hold
    the old name, or how they were reached, still.
    """

    name: str
    done: bool
    contact_deleted: bool
    no_longer_waits_for: list[str]
    mentions: list[Mention]
    acts: int
    wiped: bool | None
    copies: list[str]


def leave(database: Database, name: str, now: datetime, *, only_look: bool = False) -> Leaving:
    """Make a member nameless, delete their contact and note, close their places in waiting lists.

    Free texts with the whole name lose it, for the record of acts does, and all who merge it would say another thing
    than a row that kept it; those with a part of it are pointed out.
    Raises UnknownName, WholeNameNeeded, StillHas, HasLeft.
    """
    with database.write(now, "a member left") as session:
        member = by_name(session, Member, name, whole=True)
        refuse_who_left(member.name)
        _refuse_while_lent(session, member)
        neutral = _neutral_name(session, member.id)
        contact = contact_of(session, member)
        selves = all_selves(session, member.id)
        words = words_of(session, selves, contact)
        places = _places(session, member)
        mentions = [(_mention(text, whole), text) for text, whole in naming_texts(session, member, words)]
        done = Leaving(
            name=neutral,
            done=not only_look,
            contact_deleted=contact is not None,
            no_longer_waits_for=[what for _, what in places],
            mentions=[mention for mention, _ in mentions],
            acts=0,
            wiped=None,
            copies=copies_holding(database.engine, words.texts),
        )
        if only_look:
            return done
        for reservation, _ in places:
            reservation.closed_on, reservation.served = day_in(session, now), False
        replace_texts(session, [found for mention, found in mentions if mention.replaced], words)
        acts = _forget(session, member, selves, contact, neutral, words, now)
    return replace(done, acts=acts, wiped=wiped(database))


def _forget(
    session: Session,
    member: Member,
    selves: Collection[UUID],
    contact: Contact | None,
    neutral: str,
    words: Words,
    now: datetime,
) -> int:
    """Take the person out of their record and out of the record of acts.

    The act that does it tells what became of each record, not what was there before: nobody can take it back.
    """
    call_act(session, f"a member left, and is {neutral} from now on")
    who = author_of(session).who
    if who is not None and typed_by(session, member.id, words)(who):
        write_under(session, NEUTRAL)
    notes = notes_of(session)
    keys = {str(one) for one in selves}
    contacts = contacts_of(session, Told(), keys)
    acts = _forget_in_log(session, member.id, selves, words)
    if contact is not None:
        session.delete(contact)
        session.flush()
    take_out_of_log(session, keys, contacts)
    for key in map(UUID, sorted(contacts)):
        if contact is None or key != contact.id:
            notes.changed("Contact", key, {"id": str(key)}, None)  # it was there, and is not
    member.name, member.name_key, member.note = neutral, name_key(neutral), None
    member.retired_on, member.retired_why = member.retired_on or day_in(session, now), "left the club"
    session.flush()  # first the new name, which counts; from then on nobody keeps a result with the old one
    forget_results(session)
    notes.forget(partial(_left_of, keys, words))
    return acts


def forget_as_told(session: Session, member_id: UUID, forgotten: Collection[str]) -> Words:
    """Take a person out of all that is on record here whom another laptop made nameless; gives their words.

    Their own record, and what was closed with it, comes with the act that did it. `forgotten` are the keys of all who
    are nameless: who was joined to one of them, and is not among these, was taken for them by mistake.
    """
    member = session.get(Member, member_id)
    contact = contact_of(session, member) if member is not None else None
    selves = [one for one in all_selves(session, member_id) if str(one) in forgotten]
    words = words_of(session, selves, contact)
    found = [text for text in texts_with(session, words) if text.key != member_id]
    replace_texts(session, [text for text in found if text.column not in NAMES], words)
    _forget_in_log(session, member_id, selves, words)
    session.flush()
    # Of two of whom each was made the other one stands, and no act that is told need touch them.
    settle(session, {(MEMBER, str(one)) for one in selves})
    forget_results(session)
    return words


def _forget_in_log(session: Session, member_id: UUID, selves: Collection[UUID], words: Words) -> int:
    """Take the person out of the record of acts; gives how many rows held them."""
    for one in selves:
        rewrite_images(session, one, as_forgotten)
    acts = redact_authors(session, typed_by(session, member_id, words), NEUTRAL) + redact_acts(session, words)
    _forget_calls(session, member_id)
    return acts


def _left_of(selves: Collection[str], words: Words, kind: str, key: str, image: Image) -> Image:
    """What the act keeps of a record as it was: of the person and contact the key, of others all but the words."""
    if key in selves or kind == "Contact":
        return {"id": image["id"]}
    if kind == Call.__name__:
        return {name: value for name, value in image.items() if name != "note"}
    return with_texts(kind, image, words.replaced)


def _forget_calls(session: Session, member_id: UUID) -> None:
    """What was said in telephone calls is the member's own affair; that there were calls stays with the loans."""
    query = select(Call).join(Loan, Call.loan_id == Loan.id)
    for call in session.scalars(query.where(Loan.member_id == member_id, Call.note.is_not(None))).all():
        clear_in_images(session, call.id, ("note",))
        call.note = None


def _refuse_while_lent(session: Session, member: Member) -> None:
    kit, thing = aliased(Kit), aliased(Equipment)
    query = (
        select(kit.name, thing.name)
        .select_from(Loan)
        .outerjoin(kit, Loan.kit_id == kit.id)
        .outerjoin(thing, Loan.equipment_id == thing.id)
        .where(Loan.member_id == member.id, Loan.back_on.is_(None))
        .order_by(Loan.due_on)
    )
    things = [of_kit or of_thing for of_kit, of_thing in session.execute(query)]
    if things:
        raise StillHas(member.name, things)


def _neutral_name(session: Session, member_id: UUID) -> str:
    """The name of a member who left: by their key, so that it is the same on each laptop, and nobody else's."""
    name = neutral_name(str(member_id))
    taken = session.scalar(select(Member.id).where(Member.name_key == name_key(name)))
    return name if taken is None else f"{NEUTRAL} {member_id.hex}"


def _places(session: Session, member: Member) -> list[tuple[Reservation, str]]:
    kit, thing = aliased(Kit), aliased(Equipment)
    query = (
        select(Reservation, kit.name, thing.name)
        .outerjoin(kit, Reservation.kit_id == kit.id)
        .outerjoin(thing, Reservation.equipment_id == thing.id)
        .where(Reservation.member_id == member.id, Reservation.closed_on.is_(None))
        .order_by(Reservation.asked_utc)
    )
    return [(place, of_kit or of_thing) for place, of_kit, of_thing in session.execute(query)]


def _mention(text: WrittenText, whole_name: bool) -> Mention:
    return Mention(
        kind=text.table,
        reference=reference_of(text.key),
        field=text.column.replace("_", " "),
        text=text.text,
        whole_name=whole_name,
        replaced=whole_name and text.column not in NAMES,
    )


def wiped(database: Database) -> bool | None:
    """Whether nothing that was deleted is left in the file's unused pages; None on a server."""
    if database.engine.dialect.name != "sqlite":
        return None
    try:
        with database.read():  # a driver's error becomes a sentence
            wipe_deleted(database.engine)
    except ObslogError:
        return False
    return True
