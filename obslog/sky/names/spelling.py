"""How a typed name is compared with a known one."""

from unicodedata import normalize


def folded(text: str) -> str:
    """Only the letters and digits of a text, in lower case: without accents, spaces and signs.

    Superscript and subscript digits become plain ones; Greek letters stay Greek.
    """
    plain = normalize("NFKD", text).casefold()
    return "".join(c for c in plain if c.isalnum())
