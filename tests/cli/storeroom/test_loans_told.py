"""What is said of loans: deposits, due days, and who comes next, from the acts to the screen and the document."""

import pytest

from tests.cli.program import Program

KIT = "Evening kit"


@pytest.fixture
def lending(in_club: Program) -> Program:
    """The small club with two members more and an evening kit."""
    for name in ("Tomasz", "Cleo Marsh"):
        in_club.must("member", "add", name)
    in_club.must("kit", "add", KIT, "--part", "Heron", "--part", "Wide 25")
    return in_club


def fields(program: Program, *words: str) -> dict[str, str]:
    """The lines of a name and a value that a command shows."""
    pairs = (line.split("\t") for line in program.must(*words).out.splitlines())
    return {pair[0]: pair[1] for pair in pairs if len(pair) == 2}


def test_a_deposit_of_nothing_is_told_and_an_unknown_one_is_not(lending: Program) -> None:
    lending.must("loan", "out", KIT, "Ines", "--deposit", "0")
    lending.must("loan", "out", "Stop 20", "Tomasz")
    assert fields(lending, "loan", "show", KIT)["deposit"] == "0.00"
    assert "deposit" not in fields(lending, "loan", "show", "Stop 20")
    assert lending.document("loan", "show", KIT)["deposit"] == 0
    assert lending.document("loan", "show", "Stop 20")["deposit"] is None
    deposits = {
        name: next(line for line in lending.must("loan", "form", name).out.splitlines() if "Deposit:" in line)
        for name in (KIT, "Stop 20")
    }
    assert deposits[KIT].split() == ["Deposit:", "0.00"]
    assert set(deposits["Stop 20"].split()[1]) == {"_"}


@pytest.mark.parametrize(
    ("option", "told", "word"),
    [("--deposit-returned", True, "yes"), ("--deposit-kept", False, "no"), (None, None, None)],
)
def test_what_became_of_the_deposit_is_told_where_it_was_said(
    lending: Program, option: str | None, told: bool | None, word: str | None
) -> None:
    lending.must("loan", "out", KIT, "Ines", "--deposit", "50", "--by", "Cleo Marsh")
    page = lending.document("loan", "back", KIT, *([option] if option else []), "--by", "Tomasz")
    assert (page["deposit"], page["deposit_returned"]) == (50, told)
    shown = fields(lending, "loan", "show", page["loan"]["reference"])
    assert shown.get("deposit returned") == word
    assert (shown["issued by"], shown["received by"]) == ("Cleo Marsh", "Tomasz")


@pytest.mark.parametrize("deposit", ["-0.01", "1000000.01", "nan"])
def test_a_deposit_that_cannot_be_is_refused(lending: Program, deposit: str) -> None:
    answer = lending("loan", "out", KIT, "Ines", "--deposit", deposit)
    assert (answer.code, len(answer.error_lines)) == (2, 2)
    assert lending.document("loan", "list") == []


def test_the_largest_deposit_is_taken(lending: Program) -> None:
    assert lending.document("loan", "out", KIT, "Ines", "--deposit", "1000000")["deposit"] == 1_000_000


@pytest.mark.parametrize(
    ("due", "left", "state"),
    [
        ("2026-03-10", 8, ""),
        ("2026-03-09", 7, "due soon"),  # the rule due-soon-days
        ("2026-03-03", 1, "due soon"),
        ("2026-03-02", 0, "due"),  # today: in JSON it is among those due soon as well
        ("2026-03-01", -1, "overdue"),
    ],
)
def test_a_loan_is_overdue_only_after_its_last_day(lending: Program, due: str, left: int, state: str) -> None:
    lending.must("loan", "out", KIT, "Ines", "--on", "2026-02-20", "--due", due)
    (loan,) = lending.document("loan", "list")
    assert (loan["due_on"], loan["days_left"]) == (due, left)
    assert (loan["overdue"], loan["due_soon"]) == (state == "overdue", state in ("due", "due soon"))
    header, row = (line.split("\t") for line in lending.must("loan", "list").out.splitlines())
    assert dict(zip(header, row, strict=True)) == {
        "reference": loan["reference"],
        "item": KIT,
        "out": "2026-02-20",
        "due": due,
        "back": "",
        "days left": str(left),
        "": state,
        "waiting": "",
    }
    assert (lending.document("loan", "list", "--overdue") == []) is (state != "overdue")
    assert (lending.document("loan", "list", "--due-within", "7") == []) is (state == "")


def test_what_came_back_on_its_last_day_is_neither_due_nor_overdue(lending: Program) -> None:
    lending.must("loan", "out", KIT, "Ines", "--on", "2026-02-20", "--due", "2026-02-25")
    lending.must("loan", "back", KIT, "--on", "2026-02-25")
    (loan,) = lending.document("loan", "list", "--all")
    assert (loan["back_on"], loan["days_left"], loan["overdue"], loan["due_soon"]) == (
        "2026-02-25",
        None,
        False,
        False,
    )
    assert lending.must("loan", "show", loan["reference"]).out.splitlines()[0] == (
        f"{KIT}: out 2026-02-20, back on 2026-02-25"
    )
    assert lending.document("loan", "list", "--overdue", "--all") == []


def test_a_loan_is_handed_over_to_who_is_first_and_to_nobody_else(lending: Program) -> None:
    """Tomasz waits, then Cleo; Bram does not wait at all."""
    lending.must("loan", "out", KIT, "Ines", "--on", "2026-02-20")
    for name in ("Tomasz", "Cleo Marsh"):
        lending.must("loan", "reserve", KIT, name)
    assert lending.document("loan", "list")[0]["waiting"] == 2
    for name in ("Bram Ostler", "Cleo Marsh"):
        answer = lending("loan", "hand-over", KIT, name)
        assert answer.code == 1
        assert "Somebody else is first in the waiting list for Evening kit." in answer.error_lines[0]
        assert "--pass-over" in answer.error_lines[1]
        assert "Tomasz" not in answer.err
    page = lending.document("loan", "hand-over", KIT, "tomasz")
    assert (page["loan"]["member"], page["loan"]["waiting"], page["handed_over_from"]) == ("Tomasz", 1, None)
    (line,) = lending.document("loan", "waiting", KIT, "--officer")
    assert (line["place"], line["member"]) == (1, "Cleo Marsh")
    shown = lending.must("loan", "hand-over", KIT, "Cleo Marsh", "--officer").out
    assert shown.splitlines()[0] == f"{KIT}: Cleo Marsh, out 2026-03-02, due 2026-03-30"
    assert "handed over from\tTomasz" in shown.splitlines()
    assert not any(line.startswith("waiting") for line in shown.splitlines())
    assert "Nobody waits." in lending.must("loan", "waiting").err


def test_those_who_are_passed_over_keep_their_places(lending: Program) -> None:
    lending.must("loan", "out", KIT, "Ines")
    lending.must("loan", "reserve", KIT, "Tomasz")
    page = lending.document("loan", "hand-over", KIT, "Bram Ostler", "--pass-over")
    assert (page["loan"]["member"], page["loan"]["waiting"]) == ("Bram Ostler", 1)
    assert fields(lending, "loan", "show", KIT)["waiting"] == "1"
    assert [line["member"] for line in lending.document("loan", "waiting", "--officer")] == ["Tomasz"]


def test_who_has_it_is_not_handed_it_and_what_is_in_the_store_is_not_handed_over(lending: Program) -> None:
    assert lending("loan", "hand-over", KIT, "Ines").code == 1
    lending.must("loan", "out", KIT, "Ines")
    answer = lending("loan", "hand-over", KIT, "Ines")
    assert (answer.code, len(answer.error_lines)) == (2, 2)
    assert [loan["member"] for loan in lending.document("loan", "list", "--all", "--officer")] == ["Ines"]


def test_the_waiting_list_names_only_whom_one_named_oneself(lending: Program) -> None:
    lending.must("loan", "reserve", KIT, "Tomasz")
    lines = lending.document("loan", "reserve", KIT, "Cleo Marsh")
    assert [(line["place"], line["member"]) for line in lines] == [(1, None), (2, "Cleo Marsh")]
    assert lending.must("loan", "waiting").out.splitlines()[0].split("\t") == ["item", "place", "asked"]
    shown = lending.must("loan", "waiting", "--officer").out.splitlines()
    assert shown[1:] == [f"{KIT}\t1\tTomasz\t2026-03-02", f"{KIT}\t2\tCleo Marsh\t2026-03-02"]


def test_the_advice_is_told_with_each_of_its_reasons(lending: Program) -> None:
    lending.must("kit", "edit", KIT, "--weight-kg", "14")
    lending.must("kit", "add", "Box", "--part", "Stop 20", "--weight-kg", "2")
    lending.must("loan", "out", "Lead battery", "Ines", "--on", "2026-02-01", "--due", "2026-03-01")
    lending.must("loan", "reserve", KIT, "Tomasz")
    assert lending.must("loan", "advise", "Ines").out.splitlines() == [
        "Ines: 0 set-ups on record, a beginner by the club's rules",
        "not now: Box, 2 kg",
        "    the borrower has an overdue loan: Lead battery",
        "    not lent in the last year",
        "not now: Evening kit, 14 kg",
        "    somebody else is first in its waiting list",
        "    the borrower has an overdue loan: Lead battery",
        "    its 14 kg is over the limit of 12 kg for beginners: two people should lift it",
        "    watch it: Heron: 0 set-ups with landings: too few to judge; "
        "a pointing run tells most in one evening: obslog pointing run-plan Heron --site SITE",
        "    not lent in the last year",
    ]
    told = lending.document("loan", "advise", "tomasz")
    assert (told["member"], told["setups"], told["beginner"]) == ("Tomasz", 0, True)
    assert [(kit["kit"], kit["fit"]) for kit in told["kits"]] == [("Box", "lend"), (KIT, "with help")]
    assert told["kits"][1]["reasons"][-2:] == [
        "the borrower is first in its waiting list",
        "not lent in the last year",
    ]
