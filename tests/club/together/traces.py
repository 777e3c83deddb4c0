"""A member who leaves, and where anything of them is left: tables and columns, acts, images."""

from sqlalchemy import select

from obslog.records.database import Database
from obslog.records.redaction.log_search import every_image
from obslog.records.tables.logbook import Act
from obslog.records.tables.schema import metadata

NAME, LATER_NAME, PHONE = "Zora Kettlewell", "Zora Amberley", "0551 2345678"
TRACES = ("Zora", "Kettlewell", "Amberley", "2345678", "plays the lute")


def traces(database: Database) -> set[str]:
    """Where anything of the member is left: tables and columns, acts, images."""
    found: set[str] = set()
    with database.read() as session:
        for table in metadata.sorted_tables:
            for row in session.execute(select(table)).mappings():
                for column, value in row.items():
                    if isinstance(value, str) and any(one.casefold() in value.casefold() for one in TRACES):
                        found.add(f"{table.name}.{column}: {value}")
        for act, kind, *images in every_image(session):
            for image in images:
                for value in image.values():
                    if isinstance(value, str) and any(one in value for one in TRACES):
                        found.add(f"image of {kind} in {session.get_one(Act, act).sentence}: {value}")
    return found
