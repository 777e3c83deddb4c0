"""What the prompt itself keeps beside the database, readable by nobody else: its settings, and the lines typed."""

import json
import os
from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import asdict
from pathlib import Path
from typing import BinaryIO

from obslog.club.evening.asked import PromptSettings
from obslog.settings import default_database_path

MOST_LINES = 2000


def beside_database(target: str, ending: str) -> Path:
    """A file of one's own beside the database's file; for a server, in the folder of one's own database."""
    path = default_database_path() if "://" in target else Path(target)
    return path.with_name(f"{path.name}.{ending}")


class KeptSettings:
    """The settings in their file. Written whole or not at all, and on the disk when `write` returns."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._known: PromptSettings | None = None

    def read(self) -> PromptSettings:
        """As they were last kept; the usual ones where nothing can be read."""
        try:
            told = json.loads(self._path.read_text(encoding="utf-8"))
            found = PromptSettings(
                **{name: told[name] for name in ("site", "mount", "quiet")},
                counting=told.get("counting", False),  # not in a file of before there was counting
                place=told.get("place"),
            )
        except (OSError, ValueError, LookupError, TypeError):
            found = PromptSettings()
        self._known = found
        return found

    def write(self, settings: PromptSettings) -> None:
        if settings == self._known:
            return
        _write_whole(self._path, json.dumps(asdict(settings)))
        self._known = settings


class KeptLines:
    """The lines typed at a terminal, one a line in their file, the newest last."""

    def __init__(self, path: Path) -> None:
        self._path = path

    def newest_first(self) -> Iterable[str]:
        """The newest lines; where there are more of them in the file, these alone stay there."""
        try:
            lines = self._path.read_text(encoding="utf-8", errors="replace").split("\n")
        except OSError:
            return []
        lines = [line for line in lines if line]
        if len(lines) > MOST_LINES:
            lines = lines[-MOST_LINES:]
            with suppress(OSError):  # a full disk is no reason not to begin
                _write_whole(self._path, "".join(f"{line}\n" for line in lines))
        return lines[::-1]

    def add(self, line: str) -> None:
        with open_privately(self._path, os.O_WRONLY | os.O_CREAT | os.O_APPEND) as file:
            file.write((" ".join(line.split()) + "\n").encode("utf-8", errors="replace"))

    def drop(self, is_dropped: Callable[[str], bool]) -> int:
        """Take out the lines of which that is so; gives how many."""
        try:
            lines = [
                line for line in self._path.read_text(encoding="utf-8", errors="replace").split("\n") if line
            ]
        except FileNotFoundError:
            return 0
        kept = [line for line in lines if not is_dropped(line)]
        if len(kept) < len(lines):
            _write_whole(self._path, "".join(f"{line}\n" for line in kept))
        return len(lines) - len(kept)


def _write_whole(path: Path, text: str) -> None:
    """Write the file whole or not at all; it is on the disk when this returns."""
    from obslog.files.atomic_file import replaced_file

    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)  # that of a server's may not be there yet
    with replaced_file(path, private=True, lasting=True) as draft:
        draft.write_bytes(text.encode("utf-8", errors="replace"))


def open_privately(path: Path, flags: int) -> BinaryIO:
    """A file to write to that only its owner may read, also where it was there before."""
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)  # that of a server's may not be there yet
    descriptor = os.open(path, flags, 0o600)
    if hasattr(os, "fchmod"):
        os.fchmod(descriptor, 0o600)
    return os.fdopen(descriptor, "wb")
