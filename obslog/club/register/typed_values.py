"""What people write in their own words: targets, snags, services."""

from obslog.errors import WrongInput

LONGEST_TARGET = 200
LONGEST_TEXT = 4000


class UnusableText(WrongInput):
    def __init__(self, what: str, longest: int) -> None:
        super().__init__(
            f"{what} has 1 to {longest} characters and no control characters.", "Give it shorter or plainer."
        )


def written(text: str, what: str, longest: int = LONGEST_TEXT) -> str:
    """The text without the spaces around it; raises UnusableText where nothing is left, or it cannot be kept."""
    text = text.strip()
    if not 1 <= len(text) <= longest or not all(sign.isprintable() or sign in "\n\t" for sign in text):
        raise UnusableText(what, longest)
    return text
