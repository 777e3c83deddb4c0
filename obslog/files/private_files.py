"""Files that only their owner may read: whatever holds how people are reached.

On systems without such rights, and on file systems that keep none, nothing is changed and nothing is said.
"""

import os
import stat
from contextlib import suppress
from pathlib import Path

FILE, FOLDER = 0o600, 0o700
_OTHERS = stat.S_IRWXG | stat.S_IRWXO


def make_private(path: Path, mode: int = FILE) -> bool:
    """Take from everybody else the right to read and write; True where they had any, and have none now.

    The owner gets none by it: a file that is write-protected stays so.
    """
    if os.name != "posix":
        return False
    with suppress(OSError):  # another person's file, or a disk that is only read: then it stays as it is
        if path.stat().st_mode & _OTHERS:
            path.chmod(mode & path.stat().st_mode)
            return not path.stat().st_mode & _OTHERS
    return False


def open_to_others(path: Path) -> bool:
    """Whether a file is there that others on this machine can read or write."""
    if os.name != "posix":
        return False
    with suppress(OSError):
        return bool(path.stat().st_mode & _OTHERS)
    return False
