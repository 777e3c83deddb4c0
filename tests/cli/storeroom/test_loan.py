"""Kits, loans and rules at the keyboard."""

import pytest

from tests.cli.program import Program


def test_a_kit_is_shown_with_its_parts(lending: Program) -> None:
    page = lending.document("kit", "show", "evening kit")
    assert [part["part"] for part in page["parts"]] == ["Heron", "Wide 25", "dust cap"]
    assert [part["kind"] for part in page["parts"]] == ["mount", "eyepiece", None]
    assert page["complete"] is True
    assert "Wide 25" in lending.must("kit", "show", "Evening kit").out
    assert lending.document("kit", "edit", "Evening kit", "--loan-days", "14")["loan_days"] == 14
    assert "lent for 14 days" in lending.must("kit", "show", "Evening kit").out
    assert "lent for 1 day\n" in lending.must("kit", "edit", "Evening kit", "--loan-days", "1").out
    assert lending.document("kit", "missing", "Evening kit", "dust cap")["complete"] is False
    assert lending.document("kit", "found", "Evening kit", "dust cap")["complete"] is True


def test_a_loan_goes_out_is_renewed_handed_over_and_comes_back(lending: Program) -> None:
    page = lending.document("loan", "out", "Evening kit", "Ines", "--all-good", "--terms", "--deposit", "50")
    assert (page["loan"]["due_on"], page["terms_agreed"], page["deposit"]) == ("2026-03-30", True, 50)
    assert lending.document("loan", "renew", "Evening kit")["loan"]["due_on"] == "2026-04-27"
    page = lending.document("loan", "hand-over", "Evening kit", "Tomasz", "--all-good")
    assert (page["loan"]["member"], page["handed_over_from"]) == ("Tomasz", None)
    page = lending.document("loan", "back", "Evening kit", "--part", "Wide 25=missing: in the grass")
    differs = {part["part"]: part["differs"] for part in page["parts"]}
    assert differs == {"Heron": None, "Wide 25": "good -> missing", "dust cap": None}
    assert {loan["member"] for loan in lending.document("loan", "list", "--all", "--officer")} == {
        "Ines",
        "Tomasz",
    }
    assert lending.document("loan", "list") == []


def test_what_is_out_is_refused_without_saying_who_has_it(lending: Program) -> None:
    lending.must("loan", "out", "Evening kit", "Ines")
    answer = lending("loan", "out", "Heron", "Tomasz")
    assert answer.code == 1
    assert answer.error_lines[0].endswith("Heron is on loan, due back on 2026-03-30.")
    assert len(answer.error_lines) == 2
    assert "Ines" not in answer.err


SHOWING = (
    ("kit", "list"),
    ("kit", "show", "Evening kit"),
    ("kit", "edit", "Evening kit", "--loan-days", "20"),
    ("loan", "list"),
    ("loan", "show", "Evening kit"),
    ("loan", "fault", "Evening kit", "loose", "--part", "dust cap"),
    ("loan", "renew", "Evening kit"),
    ("loan", "form", "Evening kit"),
    ("loan", "calendar"),
    ("loan", "waiting"),
    ("loan", "remind"),
    ("loan", "advise"),
    ("store", "list"),
    ("store", "show", "Evening kit"),
    ("store", "show", "Heron"),
    ("review",),
    ("review", "Evening kit"),
    ("officer", "report"),
    ("loan", "hand-over", "Evening kit", "Tomasz"),
    ("loan", "back", "Evening kit"),
)


def test_no_borrower_is_named_unless_by_the_officer_or_by_oneself(lending: Program) -> None:
    """Ines has the kit, Bram waits for it; each command is asked in words, and as JSON where it has that."""
    lending.must("member", "add", "Bram")
    lending.must("loan", "out", "Evening kit", "Ines", "--on", "2026-02-27")
    for words in SHOWING:
        if words[1:2] == ("hand-over",):
            lending.must("loan", "reserve", "Evening kit", "Bram")
            assert "Bram" not in lending(*words).err
            words = (*words, "--pass-over")
        answers = [lending.must(*words)]
        if words[1:2] not in (("form",), ("calendar",), ("hand-over",), ("back",), ("fault",), ("renew",)):
            answers.append(lending.must(*words, "--json"))
        for answer in answers:
            assert not {"Ines", "Bram"} & set(answer.out.replace('"', " ").replace(",", " ").split()), words


def test_the_officer_and_whoever_asks_by_name_see_the_borrower(lending: Program) -> None:
    assert lending.document("loan", "out", "Evening kit", "ines")["loan"]["member"] == "Ines"
    for words in (("loan", "show", "Evening kit"), ("loan", "form", "Evening kit"), ("loan", "calendar")):
        assert "Ines" in lending.must(*words, "--officer").out
    page = lending.document("loan", "hand-over", "Evening kit", "Tomasz", "--officer")
    assert page["handed_over_from"] == "Ines"
    assert lending.document("loan", "back", "Evening kit", "--officer")["loan"]["member"] == "Tomasz"


def test_a_fault_told_on_the_first_nights_is_not_laid_to_the_borrower(lending: Program) -> None:
    lending.must("loan", "out", "Evening kit", "Ines", "--on", "2026-02-20", "--all-good")
    told = "2026-02-22"
    page = lending.document("loan", "fault", "Evening kit", "clutch slips", "--part", "heron", "--on", told)
    part = page["parts"][0]
    assert (part["fault"], part["fault_on"], part["came_with_it"]) == ("clutch slips", told, True)
    page = lending.document(
        "loan", "fault", "Evening kit", "fogged", "--part", "Wide 25", "--on", "2026-03-01"
    )
    assert page["parts"][1]["came_with_it"] is False
    assert page["parts"][2]["came_with_it"] is None
    (snag, _) = sorted(lending.document("snag", "list"), key=lambda snag: snag["text"])
    assert (snag["text"], snag["about"], snag["step"]) == ("clutch slips", "Heron", "assemble")
    shown = lending.must("loan", "show", "Evening kit").out
    assert "not held against the borrower: Heron: clutch slips" in shown
    assert "fault reported on 2026-03-01: Wide 25: fogged" in shown


@pytest.mark.parametrize(
    ("options", "code"),
    [
        ([], 2),
        (["--part", "moon"], 2),
        (["--part", "Heron", "--on", "2026-02-01"], 2),
        (["--part", "Heron", "--on", "2030-01-01"], 2),
    ],
)
def test_a_fault_needs_its_part_and_a_day_within_the_loan(
    lending: Program, options: list[str], code: int
) -> None:
    lending.must("loan", "out", "Evening kit", "Ines", "--on", "2026-02-20")
    answer = lending("loan", "fault", "Evening kit", "broken", *options)
    assert (answer.code, len(answer.error_lines)) == (code, 2)
    assert lending.document("snag", "list") == []


def test_advice_on_lending(lending: Program) -> None:
    assert lending.document("kit", "edit", "Evening kit", "--weight-kg", "9.5")["weight_kg"] == 9.5
    assert lending("kit", "edit", "Evening kit", "--weight-kg", "-0.1").code == 2
    lending.must("loan", "reserve", "Evening kit", "Tomasz")
    (line,) = lending.document("loan", "advise")
    assert (line["waiting"], line["member"]) == (1, None)
    unnamed = lending.must("loan", "advise").out
    assert "Tomasz" not in unnamed
    assert "Evening kit: 1 waits; next the first in the list" in unnamed
    assert "nobody waits" not in unnamed
    assert "Evening kit: 1 waits; next Tomasz" in lending.must("loan", "advise", "--officer").out
    lending.must("loan", "withdraw", "Evening kit", "Tomasz")
    assert "Evening kit: nobody waits" in lending.must("loan", "advise").out
    lending.must("loan", "reserve", "Evening kit", "Tomasz")
    advice = lending.document("loan", "advise", "Ines")
    assert (advice["member"], advice["kits"][0]["fit"]) == ("Ines", "not now")
    assert "somebody else is first in its waiting list" in lending.must("loan", "advise", "Ines").out
    assert lending("loan", "advise", "Nobody").code == 2


def test_what_comes_back_and_is_waited_for_says_so_and_where_the_next_one_is_told(lending: Program) -> None:
    lending.must("loan", "out", "Evening kit", "Ines")
    lending.must("loan", "reserve", "Evening kit", "Tomasz")
    back = lending.must("loan", "back", "Evening kit", "--all-good")
    assert "waiting\t1" in back.out.splitlines()
    assert back.err.endswith("obslog loan remind --officer\n")
    assert "next is Tomasz" in lending.must("loan", "remind", "--officer").out
    lending.must("loan", "out", "Evening kit", "Tomasz")
    assert "remind" not in lending.must("loan", "back", "Evening kit", "--all-good").err


@pytest.mark.parametrize("text", ["Wide 25", "Wide 25=shiny", "=good", "Wide 25=good:"])
def test_an_unreadable_condition_is_wrong_input(lending: Program, text: str) -> None:
    assert lending("loan", "out", "Evening kit", "Ines", "--part", text).code == 2
    assert lending("loan", "out", "Evening kit", "Ines", "--deposit", "-5").code == 2
    assert lending.document("loan", "list") == []


def test_rules_are_shown_set_and_reset(lending: Program) -> None:
    assert lending.document("rule", "set", "loan-days", "42")["value"] == 42
    rules = {rule["name"]: rule for rule in lending.document("rule", "list")}
    assert (rules["loan-days"]["own"], rules["due-soon-days"]["own"]) == (True, False)
    assert lending.document("rule", "reset", "loan-days")["value"] == rules["loan-days"]["default"]
    assert lending("rule", "set", "loan-days", "0").code == 2
    assert lending("rule", "set", "loan-dyas", "3").code == 2


def test_the_currency_is_a_rule_and_stands_before_every_amount(lending: Program) -> None:
    lending.must("service", "add", "Heron", "greased", "--cost", "26.5", "--on", "2026-02-20")
    lending.must("store", "note", "Heron", "--value", "900", "--cost", "850.5")
    lending.must("loan", "out", "Evening kit", "Ines", "--deposit", "50")
    asked = {
        "26.50": ("service", "list"),
        "900.00": ("store", "list", "--values"),
        "850.50": ("store", "show", "Heron"),
        "50.00": ("loan", "show", "Evening kit"),
        "cost 26.50": ("officer", "report"),
    }
    for amount, words in asked.items():
        assert amount in lending.must(*words).out
    assert lending.document("rule", "set", "currency", "eur")["value"] == "EUR"
    for amount, words in asked.items():
        assert f"EUR {amount.removeprefix('cost ')}" in lending.must(*words).out
    assert lending.document("service", "list", "Heron")[0]["cost"] == 26.5
    assert lending.document("rule", "reset", "currency")["value"] is None
    assert "EUR" not in lending.must("service", "list").out


@pytest.mark.parametrize("words", [("currency", "euros"), ("currency", "12"), ("loan-days", "many")])
def test_a_rule_that_cannot_be_is_refused(lending: Program, words: tuple[str, str]) -> None:
    answer = lending("rule", "set", *words)
    assert (answer.code, len(answer.error_lines)) == (2, 2)


def test_the_review_is_the_document_that_scripts_rely_on(lending: Program) -> None:
    """Without nights: no shares, and the mount is to be watched for want of them."""
    lending.must("loan", "out", "Wide 25", "Ines")
    document = lending.document("review")
    assert set(document) == {"attribution", "items"}
    assert set(document["attribution"]) == {"mount", "observer", "site", "rest"}
    assert all(set(share) == {"share", "sd"} for share in document["attribution"].values())
    assert all(set(item) == {"name", "kind", "status", "reasons", "effect"} for item in document["items"])
    found = {item["name"]: item for item in document["items"]}
    assert (found["Heron"]["status"], found["Wide 25"]["status"]) == ("watch", "out")
    assert "pointing run-plan" in found["Heron"]["reasons"][0]
    one = lending.document("review", "wide 25")
    assert one["evidence"][0]["numbers"]["member"] is None
    named = lending.document("review", "wide 25", "--officer")
    assert named["evidence"][0]["numbers"]["member"] == "Ines"
    assert lending("review", "Wade 25").code == 2
    watched = lending.must("review").out.split("Watch\n")[1].split("\n\n")[0]
    assert "  Heron (mount)" in watched
    assert "on loan, due 2026-03-30" in lending.must("review", "Wide 25").out
    assert "out with Ines, due 2026-03-30" in lending.must("review", "Wide 25", "--officer").out


def test_what_an_undo_retired_while_it_is_lent_stays_in_the_list(in_club: Program) -> None:
    in_club.must("mount", "retire", "Heron")
    in_club.must("store", "reinstate", "Heron")
    in_club.must("loan", "out", "Heron", "Ines")
    back = next(
        a["reference"] for a in in_club.document("history") if a["act"] == "take Heron into use again"
    )
    in_club.must("undo", back)
    lines = {line["name"]: line for line in in_club.document("store", "list", "--officer")["items"]}
    assert (lines["Heron"]["status"], lines["Heron"]["with_whom"]) == ("out", "Ines")
    assert "with Ines" in in_club.must("store", "list", "--officer").out
    in_club.must("loan", "back", "Heron", "--all-good")
    assert "Heron" not in in_club.must("store", "list").out


def test_a_fault_of_what_is_out_within_a_kit_needs_no_part(lending: Program) -> None:
    lending.must("loan", "out", "Evening kit", "Ines")
    page = lending.document("loan", "fault", "Heron", "clutch", "slips")
    assert {one["part"]: one["fault"] for one in page["parts"]}["Heron"] == "clutch slips"
    assert "Heron: clutch slips" in lending.must("loan", "show", "Evening kit").out
