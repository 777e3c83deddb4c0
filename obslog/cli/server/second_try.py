"""A command whose line to the server broke is done again, unless anything of it is on record already."""

from collections.abc import Callable
from typing import TYPE_CHECKING, TypeVar

from obslog.cli.terminal.state import State

if TYPE_CHECKING:
    from obslog.records.database import Database

Value = TypeVar("Value")
WAITS_S = (0.2, 1.0, 3.0)


def tried_again(work: Callable[[], Value], database: "Database | None", state: State) -> Value:
    """What the work gives. It is done up to three times more where it failed for a reason that may pass.

    Once it has written anything it is not begun again: nothing may be recorded twice. Raises what the last try raises.
    """
    if database is None or "://" not in database.where:
        return work()
    from obslog.records.driver_errors import TryAgain

    for wait_s in WAITS_S:
        try:
            return work()
        except TryAgain as error:
            if database.written:
                raise
            state.screen.note(f"{error} Trying again.")
            state.pause(wait_s)
    return work()
