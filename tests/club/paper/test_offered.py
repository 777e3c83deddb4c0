"""What is half typed on a page is offered whole."""

from datetime import datetime

import pytest

from obslog.club.paper.offered import offered_for
from obslog.club.routine.routine_loading import load_routine
from obslog.records.database import Database
from tests.club.routine.own_step import OWN_STEP


@pytest.mark.parametrize(
    ("kind", "begun", "text", "signs"),
    [
        ("site", "fie", "Mill Field", 3),
        ("member", "Ines, bra", "Bram Ostler", 3),
        ("scale", "antoniadi 2, sky-m", "sky-meter", 5),
        ("line", "21:05 sy", "sync ", 2),
        ("line", "21:05 sync Regul", "Regulus", 5),
        ("line", "20:25 snag key", "key-in ", 3),
    ],
)
def test_what_is_half_typed_is_offered_whole(
    sqlite_club: Database, kind: str, begun: str, text: str, signs: int
) -> None:
    assert (text, signs) in offered_for(sqlite_club, kind, begun)


def test_the_clubs_own_steps_are_offered(sqlite_club: Database, now: datetime) -> None:
    load_routine(sqlite_club, OWN_STEP, "routine.toml", now)
    assert offered_for(sqlite_club, "line", "20:25 snag d") == [("dew-heaters ", 1)]
    assert offered_for(sqlite_club, "line", "20:25 snag lev") == []


def test_free_words_are_not_completed(sqlite_club: Database) -> None:
    assert offered_for(sqlite_club, None, "thin clou") == []
    assert offered_for(sqlite_club, "line", "21:05 saw M 81; ov") == []
