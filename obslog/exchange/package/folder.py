"""The folder that is read: its description, and which file holds which table. Nothing outside of it is opened."""

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from obslog.errors import WrongInput
from obslog.exchange.package.description import DESCRIPTION, OWN
from obslog.exchange.package.faults import FaultList
from obslog.exchange.package.sheet_file import NotToBeRead, plain_file

LARGEST_DESCRIPTION = 4 << 20
MOST_RESOURCES = 1000
_FILE_NAME = re.compile(r"[A-Za-z0-9_][A-Za-z0-9_.-]{0,99}", re.ASCII)
_COPY_AGAIN = "Copy the whole folder again, as obslog export all wrote it."


class NoClubInFolder(WrongInput):
    def __init__(self, folder: Path, why: str) -> None:
        super().__init__(
            f"{folder} is not a club's folder of sheets: {why}",
            "Name a folder that was written by: obslog export all FOLDER",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Resource:
    """A sheet that the description names, with what it says of the file; None where it says nothing."""

    table: str
    file: str
    rows: int | None
    bytes: int | None
    hash: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Package:
    """What the description says: the sheets by their tables, and the revision of the tables they were written from."""

    folder: Path
    resources: Mapping[str, Resource]
    revision: str | None
    not_named: tuple[str, ...]


def read_package(folder: Path, faults: FaultList) -> Package:
    """Read the description; what is wrong with single resources goes to `faults`. Raises NoClubInFolder."""
    if not folder.is_dir():
        raise NoClubInFolder(folder, "there is no such folder.")
    document = _document(folder)
    listed = document.get("resources")
    if not isinstance(listed, list) or not listed:
        raise NoClubInFolder(folder, f"{DESCRIPTION} names no resources.")
    if len(listed) > MOST_RESOURCES:
        raise NoClubInFolder(folder, f"{DESCRIPTION} names more than {MOST_RESOURCES} resources.")
    resources: dict[str, Resource] = {}
    for number, entry in enumerate(listed, start=1):
        resource = _resource(entry, number, faults)
        if resource is None:
            continue
        if resource.table in resources:
            faults.add(DESCRIPTION, f"names {resource.table!r} twice.", "Take one of the two out.")
            continue
        resources[resource.table] = resource
    own = document.get(OWN)
    revision = own.get("revision") if isinstance(own, dict) else None
    return Package(
        folder=folder,
        resources=resources,
        revision=revision if isinstance(revision, str) else None,
        not_named=_not_named(folder, resources),
    )


def _document(folder: Path) -> dict[str, Any]:
    try:
        with plain_file(folder / DESCRIPTION) as file:
            data = file.read(LARGEST_DESCRIPTION + 1)
    except NotToBeRead as error:
        raise NoClubInFolder(folder, f"{DESCRIPTION} {error.reason}") from error
    if len(data) > LARGEST_DESCRIPTION:
        raise NoClubInFolder(folder, f"{DESCRIPTION} is larger than {LARGEST_DESCRIPTION >> 20} MB.")
    try:
        document = json.loads(data.decode("utf-8-sig"))
    except UnicodeDecodeError as error:
        raise NoClubInFolder(folder, f"{DESCRIPTION} is not in UTF-8.") from error
    except json.JSONDecodeError as error:
        raise NoClubInFolder(
            folder, f"{DESCRIPTION} is not JSON: {error.msg.lower()} on line {error.lineno}."
        ) from error
    except (RecursionError, ValueError) as error:
        raise NoClubInFolder(folder, f"{DESCRIPTION} is not JSON that can be read.") from error
    if not isinstance(document, dict):
        raise NoClubInFolder(folder, f"{DESCRIPTION} holds no object.")
    return document


def _resource(entry: object, number: int, faults: FaultList) -> Resource | None:
    where = f"resource {number}"
    if not isinstance(entry, dict):
        faults.add(DESCRIPTION, f"{where} is no object.", _COPY_AGAIN)
        return None
    name, path = entry.get("name"), entry.get("path")
    if not isinstance(name, str) or not _FILE_NAME.fullmatch(name):
        faults.add(DESCRIPTION, f"{where} has no usable name.", _COPY_AGAIN)
        return None
    if not isinstance(path, str) or not _FILE_NAME.fullmatch(path) or path.casefold() == DESCRIPTION:
        faults.add(
            DESCRIPTION,
            f"the path of {name!r} is not the name of a file in this folder.",
            "Every sheet lies in the folder itself; nothing else is opened.",
        )
        return None
    return Resource(
        table=name,
        file=path,
        rows=_count(entry.get("rows")),
        bytes=_count(entry.get("bytes")),
        hash=entry["hash"] if isinstance(entry.get("hash"), str) else None,
    )


def _count(value: object) -> int | None:
    return value if isinstance(value, int) and not isinstance(value, bool) else None


def _not_named(folder: Path, resources: Mapping[str, Resource]) -> tuple[str, ...]:
    """Files in the folder of which the description says nothing; at most as many as one would read."""
    named = {resource.file for resource in resources.values()} | {DESCRIPTION}
    found = sorted(path.name for path in folder.iterdir() if path.name not in named)
    return tuple(found[:20])
