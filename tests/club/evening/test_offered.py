"""What Tab offers behind each verb."""

from datetime import datetime

import pytest

from obslog.club.evening.offered import offered
from obslog.club.routine.routine_loading import load_routine
from obslog.club.storeroom.inventory_details import write_paper
from obslog.club.storeroom.kits import add_kit
from obslog.records.database import Database
from tests.club.routine.own_step import OWN_STEP


@pytest.mark.parametrize(
    ("begun", "first"),
    [
        ("sn", [("snag ", 2)]),
        ("21:05 sy", [("sync ", 2)]),
        ("sync regul", [("Regulus", 5)]),
        ("saw m3", [("M 3", 2), ("M 30", 2)]),
        ("sync Regulus ce", [("centred", 2)]),
        ("sync Regulus 3E 2N p", [("pe", 1), ("pw", 1)]),
        ("tick pol", [("polar-axis", 3)]),
        ("night start mi", [("Mill Field", 2)]),
        ("night start mill with bra", [("Bram Ostler", 3)]),
        ("setup start heron, long", [("Long tube", 4)]),
        ("eye st", [("Stop 20", 2)]),
        ("help chec", [("check", 4), ("checklist", 4)]),
        ("pier w", [("west", 1)]),
        ("sky ant", [("antoniadi", 3)]),
        ("saw M 81; ov", []),
        ("nonsense x", []),
    ],
)
def test_what_is_offered(club: Database, begun: str, first: list[tuple[str, int]]) -> None:
    assert offered(club, begun)[: len(first) or None] == first


def test_the_clubs_own_steps_are_offered_and_those_left_out_are_not(club: Database, now: datetime) -> None:
    load_routine(club, OWN_STEP, "routine.toml", now)
    assert offered(club, "tick de")[0] == ("dew-heaters", 2)
    assert ("dew-heaters", 1) in offered(club, "snag d")
    assert all(word != "level" for word, _ in offered(club, "tick le"))


def test_while_tags_are_counted_these_are_offered_from_the_first_sign_on(
    club: Database, now: datetime
) -> None:
    write_paper(club, "Heron", {"tag": "M-01"}, now)
    add_kit(club, "Evening kit", ["dew cap"], now)
    assert offered(club, "m-", counting=True) == [("M-01", 2)]
    assert offered(club, "stocktake saw m-") == [("M-01", 2)]
    assert ("Evening kit", 3) in offered(club, "eve", counting=True)
    assert ("Wide 25", 4) in offered(club, "wide", counting=True)
    assert offered(club, "sy", counting=True) == []  # no verb
    assert ("finish", 1) in offered(club, "stocktake f", counting=True)


def test_at_the_start_all_verbs_are_offered(club: Database) -> None:
    assert ("sync ", 0) in offered(club, "")
    assert ("undo ", 0) in offered(club, "21:05 ")
