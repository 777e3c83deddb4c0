"""Who was made nameless on one laptop is so on all that hear of it, and no older bundle tells their name again."""

from dataclasses import dataclass, field
from uuid import UUID

from sqlalchemy.orm import Session

from obslog.club.privacy.leaving_members import forget_as_told
from obslog.club.privacy.member_words import typed_by
from obslog.records.bundles.forgetting import (
    forgotten_by,
    forgotten_here,
    loans_of,
    names_told,
    take_out,
    with_selves,
)
from obslog.records.bundles.forgotten_contacts import contacts_of, take_out_of_log, take_out_of_told
from obslog.records.bundles.taken_out import take_out_as_told
from obslog.records.bundles.told import Told
from obslog.records.nameless import NEUTRAL, has_left
from obslog.records.redaction.words import Words


@dataclass(slots=True)
class Forgetting:
    """What a merge takes out: the neutral names of those it makes nameless here, and the words they were known by."""

    neutral: list[str] = field(default_factory=list)
    texts: set[str] = field(default_factory=set)

    def prepare(self, session: Session, told: Told) -> None:
        """Take those who are nameless by the log, or by what is told, out of what is told and of what is on record."""
        here = forgotten_here(session)
        told_of = {
            key: neutral
            for key, neutral in forgotten_by(told).items()
            if key not in here and has_left(neutral)
        }
        if not here and not told_of:
            return
        self.neutral += told_of.values()
        forgotten = with_selves(session, told, told_of.keys() | here)
        names = names_told(told, forgotten)
        words = Words({name: NEUTRAL for several in names.values() for name in several})
        contacts = contacts_of(session, told, forgotten)
        for key in sorted(forgotten - with_selves(session, Told(), here)):
            theirs = forget_as_told(session, UUID(key), forgotten)
            self.texts |= set(theirs.texts)
            words = Words(words.replacements | theirs.replacements)
            names.setdefault(key, set()).update(theirs.texts)
        typing = [
            typed_by(session, UUID(key), Words(dict.fromkeys(theirs, NEUTRAL)))
            for key, theirs in names.items()
        ]
        take_out_of_log(session, forgotten, contacts)
        take_out_of_told(told, forgotten, contacts)
        loans = loans_of(session, told, forgotten)
        take_out(told, forgotten, words, lambda who: any(theirs(who) for theirs in typing), loans)
        take_out_as_told(session, told)
