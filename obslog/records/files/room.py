"""Whether a disk has room left, where what it says of a failed write does not tell."""

import shutil
from pathlib import Path

_ENOUGH_BYTES = 1 << 20
"""More than SQLite asks for at once in the file beside a database that its readers share (32 KiB)."""


def has_room(path: Path) -> bool:
    """Whether the disk that a file lies on, or would, has room for more; so too where it does not tell."""
    try:
        return shutil.disk_usage(path.absolute().parent).free >= _ENOUGH_BYTES
    except OSError:
        return True
