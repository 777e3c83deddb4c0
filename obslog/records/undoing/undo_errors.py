"""Why something cannot be taken back or done again, each in a sentence and with what to do."""

from obslog.errors import ObslogError

_NOTHING_CHANGED = "Nothing was changed."


class NothingToUndo(ObslogError):
    def __init__(self) -> None:
        super().__init__("There is nothing to undo.", "See what is on record: obslog night show")


class NothingOfHereToUndo(NothingToUndo):
    """Others did what is on record: with another laptop, from which it was merged, or on the same server.

    `with_login` where each person has a login of their own there, so that one computer may be several people's.
    """

    def __init__(self, with_login: bool = False) -> None:
        ObslogError.__init__(
            self,
            f"There is nothing to undo that {'you did' if with_login else 'was done'} on this computer.",
            "An act of another is named by its reference: obslog history, then obslog undo REFERENCE",
        )


class CannotUndo(ObslogError):
    """`last` is False where the act was named by its reference."""

    def __init__(
        self, sentence: str, why: str, hint: str = "Use edit instead.", *, last: bool = True
    ) -> None:
        which = "The last act" if last else "The act"
        super().__init__(f"{which} ({sentence}) cannot be undone: {why}.", f"{_NOTHING_CHANGED} {hint}")


class NotOneToUndo(CannotUndo):
    """An act of which it is not kept what was there before."""

    def __init__(self, sentence: str, *, last: bool = True) -> None:
        super().__init__(
            sentence,
            "what was there before is not kept",
            "Removing a member cannot be undone, nor the joining of another to them, "
            "nor what came in with a sheet before a history was kept. Something older can: obslog history",
            last=last,
        )


class ContradictsItself(ObslogError):
    """A record of which two laptops wrote fields that cannot stand together: it had no row when it was removed."""

    def __init__(self, sentence: str) -> None:
        super().__init__(
            f"The act ({sentence}) cannot be taken back: two laptops wrote of that record what contradicts itself.",
            f"{_NOTHING_CHANGED} Record it anew, as it was.",
        )


class UndoneAlready(ObslogError):
    def __init__(self, sentence: str) -> None:
        super().__init__(
            f"The act ({sentence}) is undone already.", "See what came of each act: obslog history"
        )


class NothingToRedo(ObslogError):
    def __init__(self) -> None:
        super().__init__(
            "There is nothing to redo.", "Only what was undone last, before anything new, can be."
        )


class CannotRedo(ObslogError):
    def __init__(self, sentence: str, why: str, hint: str = "Record it anew instead.") -> None:
        super().__init__(
            f"The act that was undone ({sentence}) cannot be done again: {why}.", f"{_NOTHING_CHANGED} {hint}"
        )
