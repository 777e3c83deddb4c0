"""One sheet of the folder as a file: written and read a part at a time, counted and hashed on the way.

CSV after RFC 4180, UTF-8, with a head. Nothing that is read is trusted: a link is not followed, what is no plain file
is not opened, and no more than a line of bounded length is held at a time.
"""

import csv
import os
import stat
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from hashlib import sha256
from io import StringIO
from pathlib import Path
from typing import IO

LONGEST_LINE = 4 << 20
_NEVER_FOLLOW = getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)


class NotToBeRead(Exception):
    """A file that is not there, is no plain file, or may not be read: what is wrong with it, and what to do."""

    def __init__(self, reason: str, remedy: str) -> None:
        super().__init__(reason)
        self.reason, self.remedy = reason, remedy


class BadLine(Exception):
    """A line after which nothing of the file can be understood."""

    def __init__(self, line: int, reason: str, remedy: str) -> None:
        super().__init__(reason)
        self.line, self.reason, self.remedy = line, reason, remedy


@dataclass(frozen=True, slots=True)
class FileFacts:
    """What tells a file from one that was changed: its rows, its bytes, and the SHA-256 of them."""

    rows: int
    bytes: int
    sha256: str


class SheetWriter:
    """Writes rows of cells into an open binary file, and knows the facts of what was written."""

    def __init__(self, file: IO[bytes], heads: Sequence[str]) -> None:
        self._file, self._hash = file, sha256()
        self._rows, self._bytes = 0, 0
        self._write([heads])

    def write(self, rows: Sequence[Sequence[str]]) -> None:
        self._write(rows)
        self._rows += len(rows)

    def _write(self, rows: Sequence[Sequence[str]]) -> None:
        text = StringIO(newline="")
        csv.writer(text, lineterminator="\r\n").writerows(rows)
        data = text.getvalue().encode("utf-8")
        self._file.write(data)
        self._hash.update(data)
        self._bytes += len(data)

    @property
    def facts(self) -> FileFacts:
        return FileFacts(self._rows, self._bytes, self._hash.hexdigest())


@contextmanager
def plain_file(path: Path) -> Iterator[IO[bytes]]:
    """The file opened for reading, if it is a plain one. Raises NotToBeRead."""
    try:
        descriptor = os.open(path, os.O_RDONLY | _NEVER_FOLLOW)
    except FileNotFoundError as error:
        raise NotToBeRead("is not in the folder.", "Copy the whole folder again.") from error
    except (OSError, ValueError) as error:
        if path.is_symlink():
            raise NotToBeRead("is a link to somewhere else.", "Put the file itself there.") from error
        if path.is_dir():  # which Windows does not open
            raise _no_file() from error
        why = getattr(error, "strerror", None) or str(error)
        raise NotToBeRead(f"cannot be read: {why.lower()}.", "Check who may read it.") from error
    if not stat.S_ISREG(os.fstat(descriptor).st_mode):
        os.close(descriptor)
        raise _no_file()
    with os.fdopen(descriptor, "rb") as file:
        yield file


def _no_file() -> NotToBeRead:
    return NotToBeRead("is not a file.", "Put the file itself there.")


class SheetReader:
    """The rows of an open sheet with the line on which each begins; the facts of the file once all are read."""

    def __init__(self, file: IO[bytes], longest_line: int = LONGEST_LINE) -> None:
        self._file, self._longest = file, longest_line
        self._hash, self._bytes, self._rows, self._line = sha256(), 0, 0, 0
        self._cells = csv.reader(self._lines(), strict=True)
        self.heads = self._next() or []

    def rows(self) -> Iterator[tuple[int, list[str]]]:
        """Each row that is not empty. Raises BadLine."""
        while True:
            line = self._line + 1
            cells = self._next()
            if cells is None:
                return
            if cells:
                self._rows += 1
                yield line, cells

    @property
    def bytes_read(self) -> int:
        return self._bytes

    @property
    def facts(self) -> FileFacts:
        return FileFacts(self._rows, self._bytes, self._hash.hexdigest())

    def _next(self) -> list[str] | None:
        limit_of_others = csv.field_size_limit(self._longest)  # it is one for the whole process
        try:
            return next(self._cells, None)
        except csv.Error as error:
            raise BadLine(
                self._line,
                f"cannot be told apart into cells: {error}.",
                "Save the sheet as CSV with commas, each quote within a cell doubled.",
            ) from error
        finally:
            csv.field_size_limit(limit_of_others)

    def _lines(self) -> Iterator[str]:
        """The lines of the file as text."""
        while data := self._file.readline(self._longest):
            self._line += 1
            self._hash.update(data)
            self._bytes += len(data)
            if len(data) == self._longest:
                raise BadLine(
                    self._line, f"is longer than {self._longest} bytes.", "Shorten what stands in it."
                )
            try:
                text = data.decode("utf-8-sig" if self._line == 1 else "utf-8")
            except UnicodeDecodeError as error:
                raise BadLine(
                    self._line,
                    "has characters that are not UTF-8.",
                    "In the spreadsheet, save it again as CSV UTF-8.",
                ) from error
            yield text
