"""Nights and set-ups are found where they are on record, and made where they are not."""

from obslog.club.bring_in.nights_in import MOUNT_NOT_TOLD
from obslog.club.night.night_pages import list_nights
from obslog.club.register.undo import undo
from tests.club.bring_in.sheets import NOW, Desk

HEAD = "night,time,site,object,mount,setup,tube"


def setups(desk: Desk) -> list[tuple[object, ...]]:
    columns = ("target", "mount", "setup", "tube")
    return [tuple(row.get(column) for column in columns) for row in desk.rows("observations")]


def test_rows_of_one_evening_share_its_night_and_set_up(desk_of_each: Desk) -> None:
    desk = desk_of_each
    desk.take(
        "observations",
        HEAD,
        "2026-03-01,21:05,Mill Field,M 81,Heron,,Long tube",
        "2026-03-01,01:05,Mill Field,M 82,Heron,,",
        "2026-03-01,01:15,Mill Field,M 3,,,",
    )
    assert [str(night.night) for night in list_nights(desk.database)] == ["2026-03-01"]
    assert setups(desk) == [
        ("M 81", "Heron", 1, "Long tube"),
        ("M 82", "Heron", 1, "Long tube"),
        ("M 3", None, None, None),
    ]


def test_another_tube_is_another_set_up_and_of_a_numbered_one_a_fault(desk: Desk) -> None:
    desk.take("items", "name,kind", "Short tube,tube")
    desk.take("observations", HEAD, "2026-03-01,21:05,Mill Field,M 81,Heron,,Long tube")
    desk.take("observations", HEAD, "2026-03-01,22:05,Mill Field,M 82,Heron,,Short tube")
    assert setups(desk)[1] == ("M 82", "Heron", 2, "Short tube")
    (fault,) = desk.faults("observations", HEAD, "2026-03-01,23:05,Mill Field,M 3,Heron,1,Short tube")
    assert "has another tube" in fault


def test_a_tube_without_a_mount_stands_on_one_that_says_so(desk: Desk) -> None:
    desk.take("observations", HEAD, "2026-03-01,21:05,Mill Field,M 81,,,Long tube")
    desk.take("observations", HEAD, "2026-03-01,22:05,Mill Field,M 82,,,Long tube")
    assert setups(desk) == [
        ("M 81", MOUNT_NOT_TOLD, 1, "Long tube"),
        ("M 82", MOUNT_NOT_TOLD, 1, "Long tube"),
    ]
    undo(desk.database, NOW)
    assert setups(desk) == [("M 81", MOUNT_NOT_TOLD, 1, "Long tube")]
