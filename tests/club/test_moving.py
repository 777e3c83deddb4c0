"""After a move both places are asked the same, and an answer that is not the same is told."""

from pathlib import Path

import pytest

from obslog.club import moving
from obslog.club.moving import AnswersDiffer, move_club
from obslog.club.register.named_records import listed
from obslog.records.database import Database
from obslog.records.opening import open_database
from tests.conftest import NOW, quiet


def deaf(_table: str, _there: int, _every: int) -> None:
    """Hears of no batch."""


def test_the_answers_of_both_places_are_compared(club: Database, tmp_path: Path) -> None:
    moved = move_club(club, str(tmp_path / "new.db"), NOW, quiet, deaf)
    # The lists of nights, of the store-room, of sites, members and mounts, the review; and two of each of three mounts.
    assert moved.answers_compared == 6 + 2 * 3
    assert moved.rows == sum(table.rows for table in moved.tables)
    new = open_database(moved.database, NOW, quiet)
    assert listed(new, "mount") == listed(club, "mount")
    new.close()


def test_an_answer_that_came_out_otherwise_is_named(
    club: Database, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def odd(database: Database, kind: str, *, with_retired: bool = False) -> list[dict[str, object]]:
        found = listed(database, kind, with_retired=with_retired)
        return found[1:] if kind == "site" and database.where != club.where else found

    monkeypatch.setattr(moving, "listed", odd)
    with pytest.raises(AnswersDiffer, match=r"are not the same there: site list\.") as refused:
        move_club(club, str(tmp_path / "new.db"), NOW, quiet, deaf)
    assert "The old database was not touched" in str(refused.value.hint)
