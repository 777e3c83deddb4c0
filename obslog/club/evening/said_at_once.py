"""What is said of its own accord after a line: the answers of the open set-up, each when it is new or has changed."""

import os
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING

from obslog.club.evening.asked import Answer
from obslog.club.evening.standing import EveningStanding, standing
from obslog.club.night.open_night import SetupChoice
from obslog.records.database import Database
from obslog.times import night_of

if TYPE_CHECKING:
    from obslog.club.live.answers import LiveAnswer
    from obslog.club.live.situation import LiveMemory

TELLING = frozenset(
    {"sync", "check", "goto", "edit", "undo", "redo", "flip", "pier", "setup", "saw", "suspected", "not-seen"}
)
"""Verbs behind which something may be said: they change what is known, or go on through the night."""


@dataclass(slots=True)
class SaidAtOnce:
    """What was said so far of the set-up that is open, and what need not be computed again."""

    _setup: str | None = None
    _memory: "LiveMemory | None" = None
    _given: list["LiveAnswer"] = field(default_factory=list)

    def after(self, database: Database, answer: Answer, now: datetime) -> Sequence["LiveAnswer"]:
        """What is new after a line was done, while its night lasts.

        A fault in it disturbs nobody, for the line itself is on record.
        """
        if answer.verb not in TELLING:
            return []
        try:
            here = standing(database, answer.settings.mount, answer.settings.site)
            new = self._new(database, here, answer, now) if _is_tonight(here, now) else []
        except Exception:
            if os.environ.get("OBSLOG_DEBUG"):
                raise
            return []
        shown = getattr(answer.value, "caution", None)  # with what was recorded, before all else
        return [one for one in new if not (one.is_caution and one.words == shown)]

    def _new(
        self, database: Database, here: EveningStanding, answer: Answer, now: datetime
    ) -> Sequence["LiveAnswer"]:
        from obslog.club.live.answers import what_is_new
        from obslog.club.live.answers_now import answers_now
        from obslog.club.live.situation import LiveMemory

        if self._memory is None or self._setup != here.setup:
            self._setup, self._memory, self._given = here.setup, LiveMemory(), []
        quiet = answer.settings.quiet
        found = answers_now(database, SetupChoice(mount=here.mount), now, memory=self._memory, quiet=quiet)
        new = what_is_new(self._given, found)
        if not quiet:
            self._given = found
        else:
            self._given = [*(one for one in self._given if not one.is_caution), *found]
        return new


def _is_tonight(here: EveningStanding, now: datetime) -> bool:
    """Whether a set-up is open in the night that now is: of one typed in later nobody can go to another star."""
    return here.setup is not None and here.zone is not None and night_of(now, here.zone) == here.night
