"""Why a file is not taken for a log of observations: what it cannot be, or must not hold, and what to do about it."""

from pathlib import Path

from obslog.errors import ObslogError, WrongInput

_HINT = "Nothing was taken. Ask whoever made the file for one without it."


class NoSuchLog(ObslogError):
    def __init__(self, path: Path, why: str) -> None:
        super().__init__(f"{path} cannot be opened: {why}.", "Check the name and the folder.")


class XmlRefused(WrongInput):
    """A file that is not taken for what it holds, or for how it is written."""


class NotWellFormed(XmlRefused):
    def __init__(self, name: str, line: int, column: int, why: str) -> None:
        super().__init__(
            f"{name} is not well-formed XML: line {line}, column {column}: {why}.",
            "Write the file out again from where it came; it may be cut off.",
        )


class WrongEncoding(XmlRefused):
    def __init__(self, name: str, line: int) -> None:
        super().__init__(
            f"{name}: line {line} holds bytes that are not of the encoding which the file names.",
            'Correct the encoding in its first line, such as encoding="ISO-8859-1".',
        )


class UnknownEncoding(XmlRefused):
    def __init__(self, name: str) -> None:
        super().__init__(
            f"{name} names an encoding that is not known.",
            "Save it as UTF-8, and name that in its first line.",
        )


class DeclaresEntities(XmlRefused):
    def __init__(self, name: str, entity: str) -> None:
        super().__init__(f"{name} declares entities of its own ({entity[:40]!r}), which can do harm.", _HINT)


class NeedsEntity(XmlRefused):
    def __init__(self, name: str, line: int) -> None:
        super().__init__(
            f"{name}: line {line} uses an entity that XML does not know.",
            "Write the character itself in its place, such as ä for &auml;.",
        )


class RefersOutside(XmlRefused):
    def __init__(self, name: str, where: str) -> None:
        super().__init__(f"{name} refers to something outside of it ({where[:60]!r}): not followed.", _HINT)


class HasDocumentType(XmlRefused):
    def __init__(self, name: str) -> None:
        super().__init__(
            f"{name} begins with a document type declaration, which no log of observations needs.",
            "Nothing was taken. Delete the line that begins with <!DOCTYPE, if you know where the file is from.",
        )


class TooMuch(XmlRefused):
    def __init__(self, name: str, line: int, what: str) -> None:
        super().__init__(f"{name}: line {line}: {what}: this is no log of observations.", _HINT)


class LogTooLarge(XmlRefused):
    def __init__(self, name: str, most_bytes: int) -> None:
        super().__init__(
            f"{name} is larger than {most_bytes // 1_000_000} MB.",
            "Write the log out in parts, a year in each.",
        )


class NotALog(XmlRefused):
    def __init__(self, name: str, root: str) -> None:
        super().__init__(
            f"{name} is no log of observations: its first element is {root[:40]!r}, not 'observations'.",
            "Name a file in the schema OpenAstronomyLog.",
        )
