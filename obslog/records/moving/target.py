"""Where a club is moved to: an empty place, or one where a move was broken off."""

from datetime import datetime
from pathlib import Path

from sqlalchemy import Engine

from obslog.errors import ObslogError, WrongInput
from obslog.records.driver_errors import in_sentences
from obslog.records.engine import is_url, make_engine
from obslog.records.found_revision import UnfinishedMove
from obslog.records.moving.move import mark_unfinished
from obslog.records.moving.stored_rows import count_rows, tables_to_move
from obslog.records.opening import Say, open_database


class TargetNotEmpty(ObslogError):
    def __init__(self, where: str) -> None:
        super().__init__(
            f"There are records in {where} already.",
            "Name an empty database or a new file; nothing was changed there.",
        )


class SamePlace(WrongInput):
    def __init__(self, where: str) -> None:
        super().__init__(f"{where} is the database itself.", "Name another with --to.")


def target_of_move(target: str, source: Engine, now: datetime, say: Say) -> tuple[Engine, str]:
    """An engine on the tables of an unfinished move, made or found at `target`; and how to call the place.

    Raises TargetNotEmpty, SamePlace, and what open_database raises.
    """
    engine = make_engine(target)
    where = engine.url.render_as_string(hide_password=True) if is_url(target) else target
    if _place(engine) == _place(source):
        raise SamePlace(where)
    try:
        opened = open_database(target, now, say)
    except UnfinishedMove:
        say(f"Going on with a move to {where} that was broken off.")
        return engine, where
    try:
        with in_sentences(where), opened.engine.connect() as connection:
            if any(count_rows(connection, table) for table in tables_to_move()):
                raise TargetNotEmpty(where)
        mark_unfinished(opened.engine)
    finally:
        opened.close()
    return engine, where


def _place(engine: Engine) -> tuple[str, ...]:
    url = engine.url
    if engine.dialect.name == "sqlite":
        return ("file", str(Path(url.database or "").resolve()))
    return ("server", url.host or "", str(url.port or ""), url.database or "", str(sorted(url.query.items())))
