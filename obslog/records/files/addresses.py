"""Files as SQLite is told of them by address, for it takes some of what a path may be for another machine."""

from pathlib import PurePath


def file_address(path: PurePath) -> str:
    """The address of an absolute path, to which `?mode=ro` and the like may be added.

    A Windows path on another machine has that machine at the place of an authority, which SQLite refuses: there it is
    given as a part of the path. Source: SQLite's documentation, "Uniform Resource Identifiers", 3.1.
    """
    address = path.as_uri()
    return address if address.startswith("file:///") else address.replace("file://", "file:////", 1)
