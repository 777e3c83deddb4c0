"""Services from a sheet."""

from obslog.club.upkeep.services import list_services
from tests.club.bring_in.sheets import Desk, day

HEAD = "item,date,work,mechanical,by,cost,parts used,next due"


def test_services_come_in_with_their_bills(desk_of_each: Desk) -> None:
    desk = desk_of_each
    found = desk.outcomes(
        "services",
        HEAD,
        "Heron,2026-01-10,new grease,yes,Ines,12.50,grease,2027-01-10",
        "Long tube,2026-01-11,mirror washed,,,,,",
    )
    assert found == [(2, "new", "2026-01-10; mechanical: its pointing begins anew"), (3, "new", "2026-01-11")]
    (line,) = list_services(desk.database, name="Heron")
    assert (line.text, line.mechanical, line.by, line.cost, line.parts, line.next_on) == (
        "new grease",
        True,
        "Ines",
        12.5,
        "grease",
        day("2027-01-10"),
    )


def test_a_second_time_adds_nothing_and_the_same_work_otherwise_is_asked_about(desk: Desk) -> None:
    row = "Heron,2026-01-10,new grease,yes,Ines,12.50,,"
    desk.take("services", HEAD, row)
    assert [outcome for _, outcome, _ in desk.outcomes("services", HEAD, row)] == ["same"]
    (found,) = desk.faults("services", HEAD, "Heron,2026-01-10,new grease,yes,Ines,13,,")
    assert "on record with another cost" in found


def test_what_cannot_be_meant_is_refused(desk: Desk) -> None:
    rows = ("Heron,2026-01-10,x,,Nobody,,,", "Hern,2026-01-10,x,,,,,", "Heron,2026-01-10,x,,,,,2026-01-09")
    nobody, nothing, too_soon = desk.faults("services", HEAD, *rows)
    assert "no member named 'Nobody'" in nobody
    assert "Is it Heron?" in nothing
    assert "is not after" in too_soon
