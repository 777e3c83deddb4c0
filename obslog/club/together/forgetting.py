"""Who was made nameless on one laptop is so on all that hear of it, and no older bundle tells their name again."""

from collections.abc import Callable
from dataclasses import dataclass, field
from uuid import UUID

from sqlalchemy.orm import Session

from obslog.club.register.leaving_members import NEUTRAL, forget_as_told, typed_by
from obslog.records.bundles.forgetting import (
    forgotten_by,
    forgotten_here,
    names_told,
    take_out,
    with_selves,
)
from obslog.records.bundles.receiving import Told
from obslog.records.redaction import Words


@dataclass(slots=True)
class Forgetting:
    """What a merge takes out: the neutral names of those it makes nameless here, and the words they were known by."""

    neutral: list[str] = field(default_factory=list)
    texts: set[str] = field(default_factory=set)

    def prepare(self, session: Session, told: Told) -> None:
        """Take those who are nameless by the log, or by what is told, out of what is told and of what is on record."""
        here = forgotten_here(session)
        told_of = {
            key: image
            for key, image in forgotten_by(told).items()
            if key not in here and str(image.get("name")).startswith(NEUTRAL)
        }
        if not here and not told_of:
            return
        forgotten = with_selves(session, told, told_of | here)
        replaced = names_told(told, forgotten)
        authors: list[tuple[Callable[[str], bool], str]] = []
        for key, image in told_of.items():
            neutral = str(image["name"])
            words = forget_as_told(session, UUID(key), image)
            self.neutral.append(neutral)
            self.texts |= set(words.texts) - {neutral}
            replaced |= words.replacements
        for key, image in forgotten.items():
            theirs = {name: put for name, put in replaced.items() if put == image["name"]}
            if theirs:
                authors.append((typed_by(session, UUID(key), Words(theirs)), str(image["name"])))
        take_out(
            told,
            forgotten,
            Words(replaced),
            lambda who: next((put for theirs, put in authors if theirs(who)), None),
        )
