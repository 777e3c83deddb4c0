"""What was deleted stands in a file's unused pages until they are written anew."""

from pathlib import Path

from sqlalchemy import text

from obslog.records.engine import make_engine
from obslog.records.files.unused_pages import wipe_deleted


def test_nothing_deleted_is_left_in_the_file_nor_in_the_log_beside_it(tmp_path: Path) -> None:
    file = tmp_path / "club.db"
    engine = make_engine(str(file))
    with engine.begin() as connection:
        connection.execute(text("PRAGMA secure_delete = OFF"))
        connection.execute(text("CREATE TABLE notes (words TEXT)"))
        connection.execute(text("INSERT INTO notes VALUES ('Quentin Quagmire'), ('Heron')"))
        connection.execute(text("DELETE FROM notes WHERE words LIKE 'Q%'"))

    def stands_in_it(words: bytes) -> bool:
        return any(words in path.read_bytes() for path in tmp_path.glob("club.db*"))

    assert stands_in_it(b"Quentin")
    wipe_deleted(engine)
    assert not stands_in_it(b"Quentin")
    assert stands_in_it(b"Heron")
    engine.dispose()
