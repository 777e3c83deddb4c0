"""What a newer program told is kept by an older one, and goes into the rows when that is upgraded."""

import shutil
import subprocess
import sys
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlalchemy import text

from obslog.exchange.bundles.entries import ActEntry, BatchEntry, ChangeEntry, Entry, Image
from obslog.records.bundles.taking_in import take_in
from obslog.records.care.checking import look_through
from obslog.records.care.mending import mend
from obslog.records.database import Database
from obslog.records.merging.kept_for_later import set_aside_otherwise, settle_set_aside
from obslog.records.merging.known_world import KnownWorld
from obslog.records.merging.standing import Aside, Why
from obslog.records.opening import open_database
from obslog.records.tables.column_types import key_of
from obslog.records.tables.keys import new_keys_as_text
from obslog.settings import resource_dir
from tests.conftest import quiet
from tests.records.merging.laptops import Laptop
from tests.records.merging.test_settling import loan

BEGUN = datetime(2026, 3, 2, 20, 0, tzinfo=UTC)
ADDED, EDITED, MANY = (f"019d0000-0000-7000-8000-00000000000{number}" for number in (1, 2, 3))
INES, BRAM, CLEO = (f"019d0000-0000-7000-8000-0000000000{number}0" for number in (1, 2, 3))
REVISION = '''
"""later"""
import sqlalchemy as sa
from alembic import op
revision, down_revision, branch_labels, depends_on = "9999", {newest!r}, None, None

def upgrade():
    op.add_column("members", sa.Column("badge", sa.Text(), nullable=True))
    op.execute("UPDATE members SET badge = 'unknown'")
'''
NEWER = """
import sys
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from sqlalchemy.orm import Mapped, mapped_column
from obslog.records.tables.logbook_tables import Member

Member.badge = mapped_column(Member.__table__.c.note.type.__class__(), nullable=True)
from obslog.records.opening import open_database

open_database(
    sys.argv[1], datetime(2026, 3, 9, tzinfo=UTC), print, migrations=Path(sys.argv[2])
).close()
"""


def image(key: str, name: str, **more: str | None) -> Image:
    """A member as a newer program tells of them."""
    plain: Image = dict.fromkeys(("note", "retired_on", "retired_why"))
    return {"id": key, "name": name, "name_key": name.casefold(), **plain, **more}


@pytest.fixture
def older(tmp_path: Path) -> Database:
    """A file of this program, into which a bundle of a newer one came."""
    database = open_database(str(tmp_path / "club.db"), BEGUN, quiet)
    ines, cleo = (image(key, name, badge=None) for key, name in ((INES, "Ines"), (CLEO, "Cleo")))
    columns = tuple(ines)
    entries: list[Entry] = [
        ActEntry(id=ADDED, at_utc=BEGUN, sentence="add two members"),
        ActEntry(id=EDITED, at_utc=BEGUN, sentence="give Ines a badge"),
        ActEntry(id=MANY, at_utc=BEGUN, sentence="add member Cleo"),
        ChangeEntry(
            id=ADDED, act_id=ADDED, record_kind="Member", record_id=BRAM, before=None,
            after=image(BRAM, "Bram", badge="silver"),
        ),
        BatchEntry(
            id=ADDED[:-1] + "a", act_id=ADDED, record_kind="Member", what="added", columns=columns, ids=[INES],
            rows=[list(ines.values())],
        ),
        ChangeEntry(
            id=EDITED, act_id=EDITED, record_kind="Member", record_id=INES, before=ines,
            after=ines | {"badge": "gold"},
        ),
        BatchEntry(
            id=MANY, act_id=MANY, record_kind="Member", what="added", columns=columns, ids=[CLEO],
            rows=[list((cleo | {"badge": "bronze"}).values())],
        ),
    ]  # fmt: skip
    with database.write(BEGUN) as session:
        take_in(session, [entries])
    return database


def upgraded(database: Database, tmp_path: Path) -> dict[str, tuple[str | None, str | None]]:
    """The members' badges and notes, after a newer program has opened the file."""
    folder = tmp_path / "later"
    shutil.copytree(resource_dir("migrations"), folder, ignore=shutil.ignore_patterns("__pycache__"))
    newest = max(path.name[:4] for path in (folder / "versions").glob("[0-9]*.py"))
    (folder / "versions" / "9999_later.py").write_text(REVISION.format(newest=newest))
    database.close()
    told = subprocess.run(
        [sys.executable, "-c", NEWER, str(tmp_path / "club.db"), str(folder)],
        capture_output=True, text=True, timeout=300, check=False,
    )  # fmt: skip
    assert told.returncode == 0, told.stderr
    with database.read() as session:
        rows = session.execute(text("SELECT name, badge, note FROM members"))
        return {name: (badge, note) for name, badge, note in rows}


def test_a_column_of_a_newer_program_goes_into_the_rows_after_the_upgrade(
    older: Database, tmp_path: Path
) -> None:
    with older.read() as session:
        assert set(session.scalars(text("SELECT name FROM members"))) == {"Ines", "Bram", "Cleo"}
    assert upgraded(older, tmp_path) == {
        "Ines": ("gold", None),
        "Bram": ("silver", None),
        "Cleo": ("bronze", None),
    }


def test_what_was_done_meanwhile_with_the_older_program_stays(older: Database, tmp_path: Path) -> None:
    from obslog.club.register.named_records import add, edit
    from obslog.club.register.undo import undo

    edit(older, "member", "Ines", {"note": "has the key"}, BEGUN)
    edit(older, "member", "Bram", {}, BEGUN, rename="Bram Ostler")
    undo(older, BEGUN)
    add(older, "member", "Dora", {}, BEGUN)
    assert upgraded(older, tmp_path) == {
        "Ines": ("gold", "has the key"),
        "Bram": ("silver", None),
        "Cleo": ("bronze", None),
        "Dora": ("unknown", None),
    }


def test_what_was_removed_and_brought_back_keeps_what_only_the_newer_program_knows(
    older: Database, tmp_path: Path
) -> None:
    from sqlalchemy import select

    from obslog.club.register.undo import undo
    from obslog.records.tables.logbook_tables import Member

    with older.write(BEGUN, "remove Bram") as session:
        session.delete(session.scalars(select(Member).where(Member.name == "Bram")).one())
    undo(older, BEGUN)
    assert upgraded(older, tmp_path)["Bram"] == ("silver", None)


@pytest.fixture
def merged_by_an_older(some_laptops: Callable[[int], list[Laptop]]) -> tuple[Laptop, Laptop]:
    """Who wrote of a loan that was handed over from one of a later key, and who merged it before that could stand."""
    one, two = some_laptops(2)
    second, first = new_keys_as_text(2)
    two.do(lambda session: loan(session, first, back_on=BEGUN.date()))
    two.do(lambda session: loan(session, second, handed_over_from_id=key_of(first)))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(KnownWorld, "_place", lambda _world, _kind, record_id: (record_id, 0))
        one.take_from(two)
    assert one.asides() == {("Loan", second, Aside(Why.WAITS, first))}
    return one, two


def test_what_an_older_version_set_aside_is_known_without_writing(
    merged_by_an_older: tuple[Laptop, Laptop],
) -> None:
    one, two = merged_by_an_older
    (waiting,) = two.rows().keys() - one.rows().keys()
    before = one.rows(), one.asides()
    with one.database.read() as session:
        assert set_aside_otherwise(session) == [waiting]
    assert (one.rows(), one.asides()) == before


def test_what_an_older_version_set_aside_stands_when_it_is_settled_anew(
    merged_by_an_older: tuple[Laptop, Laptop],
) -> None:
    one, two = merged_by_an_older
    with one.database.write(one.now) as session:
        settle_set_aside(session)
    assert one.rows() == two.rows()
    assert one.asides() == set()


def test_a_check_tells_of_what_an_older_version_set_aside_and_a_repair_settles_it(
    merged_by_an_older: tuple[Laptop, Laptop],
) -> None:
    one, two = merged_by_an_older
    ((_kind, waiting),) = two.rows().keys() - one.rows().keys()
    (found,) = (each for each in look_through(one.database, one.now) if each.subject == "merging")
    assert found.what == "1 record stands otherwise than this version merges."
    assert found.lines == [f"Loan {waiting[-6:]}"]
    assert not found.grave
    done = mend(one.database, [found], one.now)
    assert done.done[0] == "1 record of a merge settled anew, as this version merges."
    assert done.copy is not None
    assert one.rows() == two.rows()
    assert [each for each in look_through(one.database, one.now) if each.subject == "merging"] == []


def test_what_this_version_set_aside_would_not_stand_otherwise(
    some_laptops: Callable[[int], list[Laptop]],
) -> None:
    laptops = some_laptops(3)
    for _ in range(4):
        for laptop in laptops:
            for _ in range(25):
                laptop.something()
        laptops[0].take_from(*laptops[1:])
    assert len(laptops[0].asides()) > 5
    with laptops[0].database.read() as session:
        assert set_aside_otherwise(session) == []
