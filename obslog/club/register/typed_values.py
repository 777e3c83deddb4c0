"""What people write in their own words: targets, snags, services, and the names of what is on record."""

from obslog.errors import WrongInput
from obslog.fields import NAME, NOTE, TARGET, TextField, UnusableText
from obslog.vocabulary.observations import NO_ONE, says_none

OR_NONE = ("mount", "tube", "eyepiece", "member")
"""Kinds of which `none` may stand in place of a name."""
LONGEST_TARGET, LONGEST_TEXT = TARGET.longest, NOTE.longest


class EmptyName(WrongInput):
    def __init__(self, kind: str) -> None:
        super().__init__(
            f"The name of a {kind} has 1 to {NAME.longest} characters and no control characters.",
            "Give it a shorter, plain name.",
        )


class NameMeansNone(WrongInput):
    def __init__(self, kind: str) -> None:
        super().__init__(
            f"{NO_ONE!r} in place of a name says that there was no {kind}: no {kind} can be called so.",
            "Give it another name.",
        )


def written(text: str, what: str, longest: int = LONGEST_TEXT) -> str:
    """The text without the spaces around it; raises UnusableText where nothing is left, or it cannot be kept."""
    return TextField(what, longest).checked(text)


def checked_name(kind: str, name: str) -> str:
    """The name with its spaces tidied.

    Raises EmptyName where there is none, or it is too long or unprintable, and NameMeansNone.
    """
    try:
        name = NAME.checked(name)
    except UnusableText as error:
        raise EmptyName(kind) from error
    if not name.isprintable():  # what cannot be seen in a name could never be typed again
        raise EmptyName(kind)
    if kind in OR_NONE and says_none(name):
        raise NameMeansNone(kind)
    return name
