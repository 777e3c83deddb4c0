"""A night moved from the command line."""

from tests.cli.program import Program


def test_a_night_is_moved_and_the_move_undone(outside: Program) -> None:
    shown = outside.must("night", "edit", "--to-date", "2026-02-28")
    assert "night of\t2026-02-28 at Mill Field (open)" in shown.out
    assert [a["at_utc"] for a in outside.document("night", "show")["arrivals"]] == [
        "2026-02-28T21:35:00Z", "2026-02-28T21:38:00Z",
    ]  # fmt: skip
    assert outside.must("undo").out == "Undone: move the night\n"
    page = outside.document("night", "edit", "--to-site", "Kestrel Ridge", "--sure")
    assert (page["site"], page["night"], len(page["remarks"])) == ("Kestrel Ridge", "2026-03-02", 1)


def test_a_night_is_not_moved_to_where_one_is(outside: Program) -> None:
    outside.must("night", "start", "Kestrel Ridge", "--on", "2026-03-02")
    answer = outside("night", "edit", "--site", "Mill Field", "--to-site", "Kestrel Ridge")
    assert (answer.code, answer.out) == (2, "")
    assert answer.error_lines == [
        "There is a night of 2026-03-02 at Kestrel Ridge on record already, and two nights are not made one.",
        'See it: obslog night show --site "Kestrel Ridge" --night 2026-03-02',
    ]
