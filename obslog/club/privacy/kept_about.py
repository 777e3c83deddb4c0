"""Everything that is kept about a member, for them: each row that refers to them, each text that names them."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from sqlalchemy import ColumnElement, and_, select
from sqlalchemy.orm import Session

from obslog.club.privacy.member_words import all_selves, naming_texts, typed_by, words_of
from obslog.club.privacy.readable_rows import RowReader, cell_words
from obslog.club.privacy.why_kept import NOT_SAID, THROUGH, WHY, WhyKept, referring
from obslog.club.register.club_day import day_in
from obslog.club.register.contacts import contact_of
from obslog.club.register.rule_book import rules_in_force
from obslog.records.database import Database
from obslog.records.files.copies import copies_holding
from obslog.records.history.images import Image
from obslog.records.name_lookup import by_name
from obslog.records.redaction.log_search import every_image
from obslog.records.redaction.words import Words
from obslog.records.tables.keys import reference_of
from obslog.records.tables.logbook_tables import Act, Member
from obslog.records.tables.schema import metadata

KEEP_MONTHS = "keep-leavers-months"
_OWN = WhyKept("Your entry as a member", "So that what you do and borrow can be recorded under your name.")
_TEXTS = WhyKept(
    "Texts in which you may be named",
    "Somebody wrote your name, or a part of it, into a note. Ask for a correction where it should not stand there.",
)
_ACTS = WhyKept(
    "What was entered that names you",
    "The record of acts: so that a slip can be undone, and it can be told when something was entered.",
)
_EARLIER = WhyKept(
    "How records about you stood before and after each entry",
    "So that a slip can be undone, with the words as they were. It goes when your name is removed.",
)
_NOT_TOLD = {"name_key", "search_text"}


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptSection:
    """Rows of one kind: what they are, why they are kept, and each as text under the columns' heads."""

    title: str
    why: str
    columns: Sequence[str]
    rows: Sequence[Sequence[str]]


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptAbout:
    """All that is kept about a member on a day, and for how long; `copies` hold the name too, on this machine."""

    member: str
    day: date
    kept_until: str
    sections: Sequence[KeptSection]
    copies: Sequence[str]


def kept_about(database: Database, name: str, now: datetime) -> KeptAbout:
    """Everything on record about a member; other members are not named. Raises UnknownName, SeveralNamesFit."""
    with database.read() as session:
        member = by_name(session, Member, name)
        contact = contact_of(session, member)
        selves = all_selves(session, member.id)
        words = words_of(session, selves, contact)
        own = {*selves, *({contact.id} if contact else ())}
        typed = typed_by(session, member.id, words)
        sections = [
            *_rows(session, member),
            _texts(session, member, words),
            *_acts(session, own, words, typed),
        ]
        months = int(rules_in_force(session)[KEEP_MONTHS])
        return KeptAbout(
            member=member.name,
            day=day_in(session, now),
            kept_until=f"Your name and how you are reached are kept while you are a member and {months} months more, "
            "then they are due to be removed; what was observed and lent stays, without your name.",
            sections=[section for section in sections if section.rows],
            copies=copies_holding(database.engine, words.texts),
        )


def _rows(session: Session, member: Member) -> Iterator[KeptSection]:
    reader = RowReader(session, member.id)
    members = metadata.tables["members"]
    yield _section(_OWN, *reader.rows(members, members.c.id == member.id))
    for table, column in referring(metadata):
        reason = WHY.get(f"{table.name}.{column.name}", NOT_SAID)
        yield _section(reason, *reader.rows(table, column == member.id, left_out=[column.name]))
    for name, column_name, owner_name, reason in THROUGH:
        table, owner = metadata.tables[name], metadata.tables[owner_name]
        keys = select(owner.c.id).where(owner.c.member_id == member.id)
        theirs: ColumnElement[bool] = table.c[column_name].in_(keys)
        if "member_id" in table.c:  # else they are told above, or are another's
            theirs = and_(theirs, table.c.member_id.is_(None))
        yield _section(reason, *reader.rows(table, theirs))


def _texts(session: Session, member: Member, words: Words) -> KeptSection:
    rows = [
        [found.table.replace("_", " "), reference_of(found.key), found.column.replace("_", " "), found.text]
        for found, _whole in naming_texts(session, member, words)
    ]
    return _section(_TEXTS, ["where", "reference", "field", "text"], rows)


def _acts(
    session: Session, own: set[UUID], words: Words, typed: Callable[[str], bool]
) -> Iterator[KeptSection]:
    """Acts that the member entered or that name them, and every image of a record that is theirs or names them."""
    acts = {act.id: act for act in session.scalars(select(Act).order_by(Act.id))}
    theirs = {act.id for act in acts.values() if act.who and typed(act.who)}
    named = [act for act in acts.values() if act.id in theirs or words.stand_in(act.sentence)]
    yield _section(
        _ACTS,
        ["when", "entry", "entered by you"],
        [[cell_words(act.at_utc), act.sentence, "yes" if act.id in theirs else ""] for act in named],
    )
    keys = {str(key) for key in own}
    rows = []
    for act_id, kind, *images in every_image(session):
        texts = [value for image in images for value in image.values() if isinstance(value, str)]
        if any(text in keys or words.stand_in(text) for text in texts):
            when = cell_words(acts[act_id].at_utc)
            rows.append([when, kind.casefold(), *(_image(image) for image in images)])
    yield _section(_EARLIER, ["when", "record", "before", "after"], rows)


def _image(image: Image) -> str:
    """What stood in a record, without the keys by which records refer to one another."""
    return "; ".join(
        f"{name.replace('_', ' ')}: {value}"
        for name, value in image.items()
        if value is not None and name not in _NOT_TOLD and name != "id" and not name.endswith("_id")
    )


def _section(reason: WhyKept, columns: Sequence[str], rows: Sequence[Sequence[str]]) -> KeptSection:
    return KeptSection(title=reason.title, why=reason.why, columns=columns, rows=rows)
