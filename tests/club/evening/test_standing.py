"""What stands open, as the bottom line of a prompt and the lines themselves need it."""

from datetime import date

from obslog.club.evening.standing import standing
from obslog.club.shelves.counting import start
from obslog.club.shelves.finishing import finish
from obslog.records.database import Database
from tests.club.evening.typing import NOW, Typing


def test_with_nothing_open_the_site_and_mount_used_last_are_known(club: Database) -> None:
    typing = Typing(club)
    assert standing(club).site is None, "of two sites neither was used"
    typing.begun()
    typing("night end")
    here = standing(club)
    assert (here.site, here.night, here.mount, here.last_mount) == ("Mill Field", None, None, "Heron")


def test_the_next_arrival_has_the_number_after_the_last(club: Database) -> None:
    typing = Typing(club).begun()
    assert standing(club).next_number == 1
    typing("20:50 sy regulus pw")
    typing("20:55 ch procyon")
    here = standing(club)
    assert (here.next_number, here.last_pier, here.night) == (3, "west", date(2026, 3, 2))
    assert (here.tube, here.eyepiece, here.observer) == ("Long tube", "Wide 25", "Ines")


def test_of_several_setups_none_is_meant_until_one_is_named(club: Database) -> None:
    typing = Typing(club).begun()
    typing("setup start bracken")
    here = standing(club)
    assert (here.mount, here.several) == (None, ("Bracken", "Heron"))
    assert standing(club, "Heron").mount == "Heron"
    assert standing(club, "Thistle").mount is None, "it has no set-up open"
    typing("setup end bracken")
    there = standing(club, "Bracken")
    assert (there.mount, there.several) == (None, ("Heron",)), (
        "ended elsewhere: the other one is not meant for it"
    )


def test_of_two_open_nights_the_one_that_was_started_here_is_meant(club: Database) -> None:
    typing = Typing(club)
    typing("night start kestrel")
    typing("night start mill")
    typing("note fog")
    assert typing.rows(
        "SELECT s.name, n.note FROM nights n JOIN sites s ON s.id = n.site_id ORDER BY s.name"
    ) == [
        ("Kestrel Ridge", None),
        ("Mill Field", "fog"),
    ]
    assert standing(club).night is None, "elsewhere nobody knows which"


def test_an_open_stocktake_is_known_with_and_without_a_night(club: Database) -> None:
    assert not standing(club).stocktake
    start(club, NOW)
    assert standing(club).stocktake
    Typing(club).begun()
    assert standing(club).stocktake
    finish(club, NOW)
    assert not standing(club).stocktake
