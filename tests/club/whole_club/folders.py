"""A club of two years out in a folder, and folders that were changed."""

import json
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path
from shutil import copytree
from typing import Any

from obslog.records.database import Database
from obslog.records.engine import make_engine

HOW_TO_READ_SITES = "sites.csv"


def opened(path: Path) -> Database:
    return Database(make_engine(str(path)), str(path))


def described_anew(folder: Path) -> None:
    """Let the description say what the sheets are now, as it would if they had been exported so."""
    path = folder / "datapackage.json"
    document = json.loads(path.read_text(encoding="utf-8"))
    for resource in document["resources"]:
        data = (folder / resource["path"]).read_bytes() if (folder / resource["path"]).is_file() else b""
        resource |= {"bytes": len(data), "hash": f"sha256:{sha256(data).hexdigest()}"}
        resource.pop("rows", None)
    path.write_text(json.dumps(document), encoding="utf-8")


def changed(folder: Path, copy: Path, change: Callable[[Path], object]) -> Path:
    """A copy of the folder with a change, described as it is then."""
    copytree(folder, copy)
    change(copy)
    described_anew(copy)
    return copy


def with_cell(file: str, line: int, column: str, cell: str) -> Callable[[Path], None]:
    """A change of one cell of a sheet in which no cell holds a comma or a line end."""

    def change(folder: Path) -> None:
        lines = (folder / file).read_text(encoding="utf-8").split("\n")
        heads, cells = lines[0].rstrip("\r").split(","), lines[line - 1].rstrip("\r").split(",")
        cells[heads.index(column)] = cell
        lines[line - 1] = ",".join(cells) + "\r"
        (folder / file).write_bytes("\n".join(lines).encode())

    return change


def cell_of(folder: Path, file: str, line: int, column: str) -> str:
    heads, *rows = [row.split(",") for row in (folder / file).read_text(encoding="utf-8").splitlines()]
    return rows[line - 2][heads.index(column)]


def description_of(folder: Path) -> Any:
    return json.loads((folder / "datapackage.json").read_text(encoding="utf-8"))
