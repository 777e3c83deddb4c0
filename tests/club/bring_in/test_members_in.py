"""Members from a sheet."""

from obslog.club.privacy.leaving_members import leave
from tests.club.bring_in.sheets import NOW, Desk


def test_new_members_come_in_with_how_they_are_reached(desk_of_each: Desk) -> None:
    desk = desk_of_each
    found = desk.outcomes(
        "members", "Name,Mobile,E-Mail,Notes", "Cleo Marsh,01632 960 1,cleo@example.org,key", "Tam,,,"
    )
    assert found == [(2, "new", "with phone and email"), (3, "new", "")]
    assert desk.row("members", "Cleo Marsh") == {
        "name": "Cleo Marsh",
        "phone": "01632 960 1",
        "email": "cleo@example.org",
        "note": "key",
    }


def test_a_second_time_changes_nothing(desk: Desk) -> None:
    sheet = ("name,phone,note", "Cleo Marsh,01632 960 1,key", "Ines,,")
    desk.take("members", *sheet)
    before = desk.everything()
    assert desk.outcomes("members", *sheet) == [(2, "same", ""), (3, "same", "")]
    assert desk.everything() == before


def test_a_member_on_record_is_changed_and_a_blank_cell_changes_nothing(desk: Desk) -> None:
    desk.take("members", "name,phone,email", "ines,1,ines@example.org")
    assert desk.outcomes("members", "name,phone,note", "INES,2,", "Bram Ostler,,has a van") == [
        (2, "changed", "with phone"),
        (3, "changed", "note has a van"),
    ]
    assert desk.row("members", "Ines") == {"name": "Ines", "phone": "2", "email": "ines@example.org"}


def test_words_never_repeat_how_somebody_is_reached(desk: Desk) -> None:
    found = desk.take(
        "members", "name,phone,email,address", "Cleo,01632 960 1,c@example.org,1 Mill Lane", look=True
    )
    assert "01632 960" not in str(found.rows)
    assert "Mill Lane" not in str(found.rows)


def test_a_name_twice_in_the_sheet_is_one_member(desk: Desk) -> None:
    assert desk.outcomes("members", "name,note", "Cleo,", "cleo,key", "CLEO,key") == [
        (2, "new", ""),
        (3, "changed", "note key"),
        (4, "same", ""),
    ]
    assert desk.row("members", "Cleo")["note"] == "key"


def test_what_is_no_address_or_no_name_is_refused(desk: Desk) -> None:
    found = desk.faults("members", "name,email", "Cleo,no address", "-,c@example.org", "x\u202ey,")
    assert [fault.split(":")[0] for fault in found] == ["3 name", "4 name", "2 "]


def test_of_who_has_left_nothing_is_taken_in(desk: Desk) -> None:
    """A list with the names as they are now comes in; what it says more of who left is refused, row by row."""
    left = leave(desk.database, "Ines", NOW).name
    assert desk.outcomes("members", "name,phone", f"{left},") == [(2, "same", "")]
    for more in ("phone,01632 960 1", "note,has the key"):
        column, value = more.split(",")
        (fault,) = desk.faults("members", f"name,{column}", f"{left},{value}")
        assert f"{left} has already left." in fault
