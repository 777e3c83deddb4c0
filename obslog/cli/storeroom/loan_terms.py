"""The question that a loan begins with, where the club has terms of its own: whether the borrower agrees to them."""

import sys
from typing import TYPE_CHECKING

from obslog.cli.terminal.questions import says_yes
from obslog.cli.terminal.state import State
from obslog.errors import ObslogError

if TYPE_CHECKING:
    from obslog.records.database import Database


class TermsNotAgreed(ObslogError):
    def __init__(self) -> None:
        super().__init__(
            "Nothing was lent: the borrower does not agree to the club's terms.",
            "To lend it all the same, and put that on record: --no-terms",
        )


def terms_agreed(database: "Database", state: State, told: bool | None) -> bool | None:
    """Whether the borrower agrees: as told, else as asked at a terminal; None where nobody said, and that is noted.

    Only of terms that are the club's own. Raises TermsNotAgreed.
    """
    from obslog.club.routine.loan_terms import read_terms

    terms = read_terms(database)
    if told is not None or not terms.own:
        return told
    if not sys.stdin.isatty():
        state.taken.append(
            "Whether the borrower agrees to the club's terms is not on record. Say so: --terms or --no-terms"
        )
        return None
    state.screen.note("The club's terms:")
    for statement in terms.statements:
        state.screen.note(f"- {statement}", indent=2, hang=2)
    if not says_yes(state.screen, "Does the borrower agree to them?"):
        raise TermsNotAgreed
    return True
