"""Where a database's file lies: room on its disk, folders that are kept in step elsewhere, who may read it."""

import os
import re
import shutil
from collections.abc import Iterator
from pathlib import Path, PurePath

from obslog.english import counted
from obslog.files.private_files import open_to_others
from obslog.records.care.finding import Finding
from obslog.records.files.copies import copies_beside

LITTLE_ROOM = 20_000_000
_LISTED = Path("/proc/mounts")
# File systems that lie on another machine, by the kinds that the system itself names.
_ON_THE_NETWORK = {
    "nfs", "nfs4", "cifs", "smb3", "smbfs", "afs", "ceph", "9p", "davfs", "ncpfs", "coda", "lustre", "fuse.sshfs",
}  # fmt: skip
# Words that people and programs put into the names of folders that are kept in step with other machines, and the names
# that the services give theirs: on Windows the folder Documents itself may lie in OneDrive.
_IN_STEP = re.compile(
    r"\b(sync|synced|syncs|synchroni[sz]ed|cloud|clouds|online|network|shared|share|shares"
    r"|one drive|google drive|my drive|dropbox|nextcloud|owncloud|syncthing)\b"
)
_WORDS = re.compile(r"[A-Z]?[a-z]+|[A-Z]+|\d+")
_MAY_HAPPEN = (
    "Two machines would write into it at once, or it would be copied away in the middle of a change: records may be "
    "lost without a word. Move the database to a folder of this machine alone, and put copies there: "
    "obslog db backup --into FOLDER"
)


def surroundings(path: Path, *, shared: bool) -> list[Finding]:
    """What is worth knowing of the place of a file; `shared` where several accounts are meant to read it."""
    path = path.resolve()
    return [
        *_room(path),
        *_elsewhere(path),
        *([] if shared or os.name != "posix" else _open_to_others(path)),
        *_second_names(path),
        *_left_over(path),
    ]


def _room(path: Path) -> Iterator[Finding]:
    free, needed = shutil.disk_usage(path.parent).free, path.stat().st_size + LITTLE_ROOM
    if free < needed:
        yield Finding(
            subject="room",
            what=f"There is little room left on the disk: {free // 1_000_000} MB.",
            count=1,
            advice=f"Free some: a copy, or an upgrade, needs {-(-needed // 1_000_000)} MB here.",
            grave=False,
        )


def _elsewhere(path: PurePath, mounts: Path = _LISTED) -> Iterator[Finding]:
    kind = file_system_of(path, mounts)
    if kind in _ON_THE_NETWORK or str(path).startswith("\\\\"):
        yield Finding(
            subject="place",
            what="The database lies on another machine, reached over the network.",
            count=1,
            example=None if kind is None else f"a file system of the kind {kind}",
            advice=_MAY_HAPPEN + ". For several at once there is the server: see the page on it.",
            grave=False,
        )
        return
    named = [part for part in path.parent.parts if _IN_STEP.search(" ".join(_WORDS.findall(part)).casefold())]
    if named:
        yield Finding(
            subject="place",
            what="By its name, the folder of the database may be kept in step with other machines.",
            count=1,
            example=named[-1],
            advice=f"If it is: {_MAY_HAPPEN[0].lower()}{_MAY_HAPPEN[1:]}",
            grave=False,
        )


def file_system_of(path: PurePath, mounts: Path = _LISTED) -> str | None:
    """The kind of file system that a path lies on, where the system lists them; None elsewhere."""
    try:
        lines = mounts.read_text(encoding="utf-8", errors="replace").splitlines()
    except OSError:
        return None
    found, longest = None, -1
    for line in lines:
        _, place, kind, *_ = [*line.split(" "), "", ""]
        place = re.sub(r"\\([0-7]{3})", lambda escaped: chr(int(escaped[1], 8)), place)
        if place and path.is_relative_to(place) and len(place) >= longest:
            found, longest = kind, len(place)
    return found


def _open_to_others(path: Path) -> Iterator[Finding]:
    files = [
        path,
        *(path.with_name(f"{path.name}{ending}") for ending in ("-wal", "-shm")),
        *copies_beside(path),
    ]
    others = [file for file in files if open_to_others(file)]
    if others:
        yield Finding(
            subject="rights",
            what=f"{counted(len(others), 'file')} with members' names can be read by others on this machine.",
            count=len(others),
            example=str(others[0]),
            advice="obslog db check --repair closes them. Where accounts share the file on purpose: OBSLOG_SHARED=1",
            grave=False,
            repairable=True,
        )


def _second_names(path: Path) -> Iterator[Finding]:
    """A restore that was stopped at the wrong moment leaves the file under two names, which are one file."""
    if path.stat().st_nlink < 2:
        return
    same = [other for other in copies_beside(path) if other.samefile(path)]
    yield Finding(
        subject="place",
        what="The file has a second name: what looks like a copy of it is the same file.",
        count=path.stat().st_nlink - 1,
        example=str(same[0]) if same else None,
        advice="Delete the other name; then make a copy with obslog db backup.",
        grave=False,
    )


def _left_over(path: Path) -> Iterator[Finding]:
    """Drafts of copies that were stopped half way: no program will look at them again."""
    drafts = sorted(
        folder
        for beside in (path.parent, path.with_name(f"{path.stem}-copies"))
        if beside.is_dir()
        for folder in beside.iterdir()
        if folder.is_dir()
        and re.fullmatch(rf"\.({re.escape(path.stem)}[^/]*|new)-[a-z0-9_]{{8}}", folder.name)
    )
    if drafts:
        yield Finding(
            subject="place",
            what=f"{counted(len(drafts), 'unfinished copy', 'unfinished copies')} of a program that was stopped.",
            count=len(drafts),
            example=str(drafts[0]),
            advice="If no program is at work on this database, delete the folder.",
            grave=False,
        )
