"""Lines about arrivals put on record what they say, and nothing where they are refused."""

import pytest

from obslog.club.night.open_night import NoOpenSetup
from obslog.club.night.plausibility import Doubtful
from obslog.grammar.arrival_words import NoTarget
from obslog.grammar.target_names import UnknownTarget
from obslog.records.database import Database
from tests.club.evening.typing import Typing


@pytest.fixture
def typing(club: Database) -> Typing:
    return Typing(club).begun()


def test_arrivals_go_on_record_as_they_are_typed(typing: Typing) -> None:
    for line in (
        "20:50 sy regulus 3E2N pw",
        "20:55 ch procyon 1W",
        "g m31 edge",
        "g m 81",
        "sync pollux pier east",
    ):
        typing(line)
    assert typing.arrivals() == [
        ("sync", "Regulus", 3.0, 2.0, None, "west"),
        ("check", "Procyon", -1.0, 0.0, None, None),
        ("goto", "M 31", None, None, "edge", None),
        ("goto", "M 81", None, None, None, None),
        ("sync", "Pollux", None, None, None, "east"),
    ]


def test_the_time_is_the_lines_own_or_now(typing: Typing) -> None:
    typing("20:50 sy regulus")
    typing("ch procyon")
    at = [str(row[0])[11:19] for row in typing.rows("SELECT at_utc FROM arrivals ORDER BY id")]
    assert at == ["20:50:00", "21:40:00"]  # London keeps universal time in March


def test_an_unknown_star_is_asked_about_and_nothing_kept(typing: Typing) -> None:
    with pytest.raises(UnknownTarget) as caught:
        typing("sy reguls 3E 2N")
    assert caught.value.nearest[0] == "Regulus"
    assert typing.arrivals() == []
    typing("sy reguls 3E 2N", target="Regulus")
    assert typing.arrivals() == [("sync", "Regulus", 3.0, 2.0, None, None)]


def test_an_exclamation_mark_keeps_a_name_as_written(typing: Typing) -> None:
    typing("g grandpa's lamp 3E!")
    assert typing.arrivals() == [("goto", "grandpa's lamp", 3.0, 0.0, None, None)]


def test_what_stood_below_the_horizon_is_doubtful(typing: Typing) -> None:
    with pytest.raises(Doubtful):
        typing("g canopus edge")
    assert typing.arrivals() == []
    typing("g canopus edge !")
    assert typing.arrivals() == [("goto", "Canopus", None, None, "edge", None)]


def test_a_line_without_a_star_says_so(typing: Typing) -> None:
    with pytest.raises(NoTarget):
        typing("sync")
    with pytest.raises(UnknownTarget):
        typing("sync 3E 2N")


@pytest.mark.parametrize(
    ("line", "becomes"),
    [
        ("edit 1W", ("check", "Procyon", -1.0, 0.0, None, None)),
        ("edit 2 in", ("check", "Procyon", None, None, "in", None)),
        ("edit 2 castor 4S", ("check", "Castor", 0.0, -4.0, None, None)),
        ("edit 2 goto", ("goto", "Procyon", 3.0, 4.0, None, None)),
        ("edit pw", ("check", "Procyon", 3.0, 4.0, None, "west")),
    ],
)
def test_edit_corrects_the_last_or_the_numbered_one(
    typing: Typing, line: str, becomes: tuple[object, ...]
) -> None:
    typing("20:50 sy regulus 12E 5N")
    typing("20:55 ch procyon 3E 4N")
    typing(line)
    assert typing.arrivals()[1] == becomes
    assert typing.arrivals()[0] == ("sync", "Regulus", 12.0, 5.0, None, None)


def test_edit_moves_the_time_that_stands_first_and_removes(typing: Typing) -> None:
    typing("20:50 sy regulus 12E 5N")
    typing("20:45 edit 1")
    assert [str(row[0])[11:16] for row in typing.rows("SELECT at_utc FROM arrivals")] == ["20:45"]
    typing("edit 1 remove")
    assert typing.arrivals() == []


def test_undo_takes_one_line_back(typing: Typing) -> None:
    typing("20:50 sy regulus 12E 5N")
    typing("20:55 ch procyon 3E 4N")
    assert typing("u").value == {"undone": "check Procyon"}
    assert [row[1] for row in typing.arrivals()] == ["Regulus"]


def test_what_is_corrected_is_of_tonight(typing: Typing) -> None:
    typing("20:50 sy regulus 12E 5N")
    typing("setup end")
    typing("edit 1E")
    assert typing.arrivals() == [("sync", "Regulus", 1.0, 0.0, None, None)]
    typing("night end")
    for line in ("edit 2E", "edit remove"):
        with pytest.raises(NoOpenSetup):
            typing(line)
