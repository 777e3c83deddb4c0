"""What somebody sees who moves the club."""

from collections.abc import Callable
from pathlib import Path

from tests.cli.program import Program


def test_it_says_where_the_club_is_now_and_what_was_compared(in_club: Program, tmp_path: Path) -> None:
    new = tmp_path / "new.db"
    answer = in_club("db", "move", "--to", str(new))
    assert answer.code == 0
    assert f"The club is in {new}: " in answer.out
    assert "Every row is the same there, and so are 12 answers that were compared." in " ".join(
        answer.out.split()
    )
    there = in_club.document("--db", str(new), "mount", "list")
    assert there == in_club.document("mount", "list")


def test_a_password_in_the_address_is_never_shown(
    in_club: Program, new_postgres_url: Callable[[], str]
) -> None:
    url = new_postgres_url().replace("obslog@", "obslog:s3cret-word@")
    answer = in_club("db", "move", "--to", url)
    assert answer.code == 0
    assert "obslog:***@" in answer.out
    again = in_club("db", "move", "--to", url)
    assert again.code == 1
    for told in (answer, again):
        assert "s3cret" not in told.out + told.err


def test_the_database_itself_is_no_place_to_move_to(in_club: Program) -> None:
    answer = in_club("db", "move", "--to", in_club.environment["OBSLOG_DB"])
    assert answer.code == 2
    assert "is the database itself" in answer.err
