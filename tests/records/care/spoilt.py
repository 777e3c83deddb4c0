"""A file changed past the program, without the rules that would have kept it whole."""

import sqlite3
from contextlib import closing
from pathlib import Path


def spoil(path: Path | str, *statements: str) -> None:
    with closing(sqlite3.connect(path)) as file:
        file.execute("PRAGMA foreign_keys=OFF")
        file.execute("PRAGMA ignore_check_constraints=ON")
        for statement in statements:
            file.execute(statement)
        file.commit()
