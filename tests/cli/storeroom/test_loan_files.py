"""The loan form and the calendar of due dates."""

from pathlib import Path

from tests.cli.program import Program


def test_the_form_has_the_fields_that_clubs_ask_for(lending: Program) -> None:
    """The fields are the union of published agreements: borrower, what, parts ticked, dates, deposit, statements."""
    lending.must("loan", "out", "Evening kit", "Ines", "--part", "Wide 25=worn: a scratch", "--deposit", "50")
    form = lending.must("loan", "form", "Evening kit").out
    for field in ("Borrower:", "Due back on:", "Deposit:", "Training done:", "signature", "Sun", "Back on:"):
        assert field in form
    assert "worn: a scratch" in form
    assert "dust cap" in form


def test_the_form_is_the_borrowers_own_paper_and_warns_of_what_can_hurt(lending: Program) -> None:
    """Without --officer the name is a line to write on; the statements name each danger in plain words."""
    lending.must("loan", "out", "Evening kit", "Ines", "--deposit", "50")
    lending.must("rule", "set", "currency", "EUR")
    blank = lending.must("loan", "form", "Evening kit").out
    filled = lending.must("loan", "form", "Evening kit", "--officer").out
    borrower = {
        form: next(line for line in form.splitlines() if "Borrower:" in line) for form in (blank, filled)
    }
    assert borrower[filled].split() == ["Borrower:", "Ines"]
    assert set(borrower[blank].split()[1]) == {"_"}
    words = " ".join(blank.split())
    for danger in (
        "finder",
        "children",
        "screws into an eyepiece",
        "second person",
        "counterweights",
        "laser",
    ):
        assert danger in words
    assert "never unattended and never below 0 °C" in words
    assert "Deposit: EUR 50.00" in words
    assert max(len(line) for line in blank.splitlines()) <= 80


def test_the_calendar_is_written_to_a_file(lending: Program, tmp_path: Path) -> None:
    lending.must("loan", "out", "Evening kit", "Ines")
    path = tmp_path / "loans.ics"
    lending.must("loan", "calendar", "--into", str(path))
    assert b"Due back: Evening kit" in path.read_bytes()
    assert "BEGIN:VCALENDAR" in lending.must("loan", "calendar").out
