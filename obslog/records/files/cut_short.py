"""A database's file of which a part is missing, as a copy that was broken off leaves it."""

from pathlib import Path

HEADER = b"SQLite format 3\x00"
_HEADER_BYTES = 100
_LARGEST_PAGE = 65536


def missing_bytes(path: Path) -> int:
    """How many bytes a SQLite file lacks of those that it says it has; 0 where none, or where it does not say.

    What waits in the log beside it may hold the rest: then nothing is missed.
    Source: SQLite's description of its file format, 1.3 (offsets 16, 24, 28 and 92 of the header).
    """
    log = path.with_name(f"{path.name}-wal")
    if log.exists() and log.stat().st_size:
        return 0
    with path.open("rb") as file:
        header = file.read(_HEADER_BYTES)
    size = path.stat().st_size
    if not header.startswith(HEADER):
        return 0
    if len(header) < _HEADER_BYTES:
        return _HEADER_BYTES - len(header)
    page = int.from_bytes(header[16:18], "big")
    page = _LARGEST_PAGE if page == 1 else page
    if header[24:28] != header[92:96]:  # the number of pages was written by a program that did not keep it
        return 0
    return max(0, page * int.from_bytes(header[28:32], "big") - size)
