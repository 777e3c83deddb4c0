"""What is known while an act is taken back, and what has come of it so far."""

from collections.abc import Callable
from dataclasses import dataclass, field

from sqlalchemy.orm import Session

from obslog.errors import ObslogError
from obslog.records.history.notes import Notes
from obslog.records.history.recorder import TO_SETTLE
from obslog.records.nameless import MEMBER
from obslog.records.tables.logbook import Act, SameRecord
from obslog.records.undoing.dependents import Hanging, Later

HAVE_OTHERS_STAND = frozenset({MEMBER, SameRecord.__name__})
"""Kinds of which a row that comes or goes may change how others stand: who has left comes back as one who has, and of
two joinings the other way round only one counts."""

Refuse = Callable[[str, Later | None], ObslogError]


@dataclass(frozen=True, slots=True, kw_only=True)
class TakingBack:
    """The act that is taken back, and what that changes.

    `joined` are records that were made one with others, `decided` those of which a choice was only confirmed.
    """

    session: Session
    act: Act
    refuse: Refuse
    joined: set[str]
    decided: set[str]
    notes: Notes = field(default_factory=Notes)

    def settle(self) -> None:
        """Let how the records stand be settled before the transaction ends."""
        self.session.info[TO_SETTLE] = True

    def in_the_way(self, one: Hanging) -> ObslogError:
        """The refusal of what cannot come back, since another has its place, or what it belongs to is gone."""
        gone = "what it belongs to has been removed since"
        return self.refuse(gone if one.gone else "something on record has taken its place since", one.later)
