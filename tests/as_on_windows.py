"""Windows imitated where it differs most: there a file that is open can be neither removed nor replaced nor moved.

`files_as_on_windows` refuses that for whatever this process has open itself, SQLite's files too; by their numbers on
the disk, for a second name of a file shares what is refused to the first. Folders with such a file below stay where
they are. Text is written with the line ends of Windows where nothing else is asked for, and no folder can be opened.
Made after Microsoft's pages on CreateFileW (sharing modes), DeleteFileW and MoveFileExW; it was never held against
Windows itself. Other tests run so with `pytest -p tests.as_on_windows`.
"""

import builtins
import io
import os
import shutil
import stat
from collections.abc import Callable, Iterator
from contextlib import contextmanager, nullcontext, suppress
from pathlib import Path
from typing import Any

import pytest

from obslog.files import atomic_file

SHARING_VIOLATION, ACCESS_DENIED = 32, 5
_DESCRIPTORS = Path("/proc/self/fd")


def refusal(path: object, winerror: int = SHARING_VIOLATION) -> PermissionError:
    """The error as Windows has it; elsewhere an OSError takes no such number when it is made."""
    error = PermissionError(13, "The process cannot access the file", str(path))
    error.winerror = winerror  # type: ignore[attr-defined]
    return error


@contextmanager
def files_as_on_windows() -> Iterator[list[str]]:
    """Refuse as Windows does, within this process; gives the list of what was refused."""
    refused: list[str] = []
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(atomic_file, "ON_WINDOWS", True)
        patch.setattr(atomic_file, "_wait", lambda _seconds: None)
        for name in ("unlink", "remove"):
            patch.setattr(os, name, _unless_open(getattr(os, name), refused))
        patch.setattr(os, "rename", _moved_unless_open(os.rename, refused, over=False))
        patch.setattr(os, "replace", _moved_unless_open(os.replace, refused, over=True))
        patch.setattr(os, "open", _no_folder_opened(os.open))
        patch.setattr(shutil, "_use_fd_functions", False)  # so it goes through folders there, opening none
        opened = _with_line_ends(io.open)
        patch.setattr(io, "open", opened)
        patch.setattr(builtins, "open", opened)
        yield refused


def _open_here() -> set[tuple[int, int]]:
    """Which files this process has open; folders are not asked for."""
    found = set()
    for descriptor in _DESCRIPTORS.iterdir():
        with suppress(OSError):
            about = descriptor.stat()
            if stat.S_ISREG(about.st_mode):
                found.add((about.st_dev, about.st_ino))
    return found


def _is_open(path: Any, dir_fd: int | None = None) -> bool:
    """Whether a file is open here, or for a folder one anywhere below it."""
    try:
        about = os.lstat(path, dir_fd=dir_fd)
    except OSError:
        return False
    if not stat.S_ISDIR(about.st_mode):
        return (about.st_dev, about.st_ino) in _open_here()
    return any(_is_open(Path(folder) / name) for folder, _, names in os.walk(path) for name in names)


def _unless_open(remove: Callable[..., None], refused: list[str]) -> Callable[..., None]:
    def removed(path: Any, *, dir_fd: int | None = None) -> None:
        if _is_open(path, dir_fd):
            refused.append(str(path))
            raise refusal(path)
        remove(path, dir_fd=dir_fd)

    return removed


def _moved_unless_open(move: Callable[..., None], refused: list[str], *, over: bool) -> Callable[..., None]:
    def moved(old: Any, new: Any, **folders: Any) -> None:
        if _is_open(old):
            refused.append(str(old))
            raise refusal(old)
        if os.path.lexists(new) and not over:  # elsewhere it takes the place of what is there
            raise FileExistsError(17, "Cannot create a file when that file already exists", str(new))
        if Path(new).is_dir() or _is_open(new):
            refused.append(str(new))
            raise refusal(new, ACCESS_DENIED)
        move(old, new, **folders)

    return moved


def _no_folder_opened(opening: Callable[..., int]) -> Callable[..., int]:
    def opened(path: Any, flags: int, mode: int = 0o777, *, dir_fd: int | None = None) -> int:
        if dir_fd is None and Path(path).is_dir() and not flags & os.O_DIRECTORY:
            raise refusal(path, ACCESS_DENIED)
        return opening(path, flags, mode, dir_fd=dir_fd)

    return opened


def _with_line_ends(opening: Callable[..., Any]) -> Callable[..., Any]:
    def opened(file: Any, mode: str = "r", *more: Any, **named: Any) -> Any:
        is_text_written = "b" not in mode and any(sign in mode for sign in "wax+")
        if is_text_written and len(more) < 4 and named.get("newline") is None:
            named["newline"] = "\r\n"
        return opening(file, mode, *more, **named)

    return opened


@pytest.hookimpl(hookwrapper=True)
def pytest_runtest_call(item: pytest.Function) -> Iterator[None]:
    """As a plugin: every test runs so, but for those that do so by themselves."""
    with nullcontext() if "windows_files" in item.fixturenames else files_as_on_windows():
        yield
