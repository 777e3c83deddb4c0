"""Folders with something wrong in them: the change, and how the fault is told."""

import shutil
from collections.abc import Callable
from pathlib import Path

from tests.club.whole_club.folders import with_cell


def dropped(name: str) -> Callable[[Path], None]:
    return lambda folder: (folder / name).unlink()


def without_last_line(name: str) -> Callable[[Path], None]:
    def change(folder: Path) -> None:
        lines = (folder / name).read_bytes().splitlines(keepends=True)
        (folder / name).write_bytes(b"".join(lines[:-1]))

    return change


def _append(name: str, data: bytes) -> Callable[[Path], None]:
    def change(folder: Path) -> None:
        with (folder / name).open("ab") as file:
            file.write(data)

    return change


def _head(name: str, before: bytes, after: bytes) -> Callable[[Path], None]:
    def change(folder: Path) -> None:
        data = (folder / name).read_bytes()
        assert before in data
        (folder / name).write_bytes(data.replace(before, after, 1))

    return change


def _link(name: str) -> Callable[[Path], None]:
    def change(folder: Path) -> None:
        shutil.move(folder / name, folder.parent / "moved.csv")
        (folder / name).symlink_to(folder.parent / "moved.csv")

    return change


NOWHERE = "0190a6e5-0000-7000-8000-0000000000ff"
CHANGES: dict[str, tuple[Callable[[Path], object], str]] = {
    "a number out of its range": (
        with_cell("sites.csv", 2, "lat_deg", "91"),
        "sites.csv, line 2: lat_deg: 91 is not a number from -90 to 90 degrees. Correct it, or leave",
    ),
    "a number that is none": (
        with_cell("tubes.csv", 2, "focal_mm", "1.000,5"),
        "tubes.csv, line 2: ",
    ),
    "a word of no vocabulary": (
        with_cell("mounts.csv", 2, "mount_type", "dobson"),
        "mounts.csv, line 2: mount_type: 'dobson' is none of german, fork, altaz. Write one of",
    ),
    "a zone of no clock": (
        with_cell("sites.csv", 2, "zone", "Mars/Base"),
        "sites.csv, line 2: zone: There is no time zone named 'Mars/Base'.",
    ),
    "what refers to nothing": (
        with_cell("nights.csv", 2, "site_id", NOWHERE),
        f"nights.csv, line 2: site_id: sites.csv has no row with the key {NOWHERE}. Put that row back.",
    ),
    "what refers to nothing in its own sheet": (
        with_cell("loans.csv", 2, "handed_over_from_id", NOWHERE),
        f"loans.csv, line 2: handed_over_from_id: loans.csv has no row with the key {NOWHERE}. Put that row back, or",
    ),
    "a rule of the database": (
        with_cell("loans.csv", 2, "due_on", "2026-01-09"),
        "loans.csv, line 2: breaks the rule: due_on >= out_on. Correct the row so that the rule holds.",
    ),
    "a row twice": (
        lambda folder: _append("sites.csv", (folder / "sites.csv").read_bytes().splitlines()[1])(folder),
        "sites.csv, line 4: ",
    ),
    "a name twice in other capitals": (
        with_cell("members.csv", 3, "name", "INES"),
        "members.csv, line 3: name: another row has the same name; capitals and spaces do not make another",
    ),
    "a kind that its sheet contradicts": (
        lambda folder: _head("equipment.csv", b",tube,", b",item,")(folder),
        "equipment.csv, line ",
    ),
    "a column that is not known": (
        _head("sites.csv", b"zone", b"zones"),
        "sites.csv, line 1: 'zones': is no column of sites. Is it meant to be zone? Else take it out.",
    ),
    "a column that is made of others": (
        _head("sites.csv", b"horizon", b"name_key"),
        "sites.csv, line 1: name_key: is made of the name",
    ),
    "a column twice": (
        _head("sites.csv", b"horizon", b"zone"),
        "sites.csv, line 1: zone: stands twice in the head. Keep one of the two.",
    ),
    "a column that is needed": (
        _head("sites.csv", b"id,name,", b"id,note,"),
        "sites.csv, line 1: name: is not in the head, but it is needed. Put it back.",
    ),
    "a cell too many": (
        _append("sites.csv", b"a,b\r\n"),
        "sites.csv, line 4: has 2 cells, but the head has 11. See whether a comma",
    ),
    "no head at all": (
        lambda folder: (folder / "sites.csv").write_bytes(b""),
        "sites.csv, line 1: ",
    ),
    "another encoding": (
        _append("sites.csv", b"\xe9\r\n"),
        "sites.csv, line 4: has characters that are not UTF-8.",
    ),
    "two bytes a character": (
        lambda folder: (folder / "sites.csv").write_text("id,name\r\n", encoding="utf-16"),
        "sites.csv, line 1: has characters that are not UTF-8.",
    ),
    "a character that ends texts elsewhere": (
        with_cell("sites.csv", 2, "note", "a\x00b"),
        "sites.csv, line 2: note: 'a\\x00b' has",
    ),
    "a cell that is huge": (
        with_cell("sites.csv", 2, "note", "x" * 5_000_000),
        "sites.csv, line 2: is longer than",
    ),
    "a file that is not there": (dropped("nights.csv"), "nights.csv: is not in the folder. Copy the whole folder"),
    "a link": (_link("nights.csv"), "nights.csv: is a link to somewhere else. Put the file itself there."),
    "a record of history that is none": (
        with_cell("acts.csv", 2, "at_utc", "yesterday"),
        "acts.csv, line 2: at_utc: 'yesterday' is not an instant of universal time. Write it like 2026-03-02T",
    ),
}  # fmt: skip
