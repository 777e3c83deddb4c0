"""Loans from a sheet: nothing is in two places, and what stayed behind stayed behind."""

from datetime import date, datetime, timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import select

from obslog.club.bring_in.loans_in import STILL, Away, LoansKnown
from obslog.club.routine.routine_loading import load_routine
from obslog.club.storeroom.loan_pages import list_loans
from obslog.club.storeroom.loans import take_back
from obslog.records.tables.keys import new_key
from obslog.records.tables.lending import LoanPart
from obslog.vocabulary.storeroom import Condition
from tests.club.bring_in.sheets import NOW, Desk, day

HEAD = "item,borrower,out,due,returned"


def test_what_is_out_and_what_was_come_in(desk_of_each: Desk) -> None:
    desk = desk_of_each
    found = desk.outcomes(
        "loans",
        f"{HEAD},condition,deposit",
        "Heron,Ines,2026-02-20,2026-03-20,,,20",
        "Heron,Bram Ostler,2025-06-01,2025-06-29,2025-06-20,good,",
    )
    assert found == [
        (2, "new", "to Ines, due 2026-03-20"),
        (3, "new", "to Bram Ostler, 2025-06-01 to 2025-06-20"),
    ]
    assert desk.rows("loans") == [
        {
            "item": "Heron",
            "member": "Bram Ostler",
            "out_on": day("2025-06-01"),
            "due_on": day("2025-06-29"),
            "back_on": day("2025-06-20"),
            "condition": "good",
        },
        {
            "item": "Heron",
            "member": "Ines",
            "out_on": day("2026-02-20"),
            "due_on": day("2026-03-20"),
            "deposit": 20,
        },
    ]


def test_a_loan_that_came_in_is_taken_back_like_any_other(desk: Desk) -> None:
    desk.take("loans", HEAD, "Heron,Ines,2026-02-20,2026-03-20,")
    page = take_back(desk.database, "Heron", NOW, all_good=True)
    assert page.loan.member == "Ines"


def test_a_due_day_that_is_blank_is_by_the_term(desk: Desk) -> None:
    desk.take("kits", "kit,parts,term", "Big kit,Heron,14")
    desk.take("loans", HEAD, "Big kit,Ines,2026-02-20,,")
    assert desk.rows("loans")[0]["due_on"] == day("2026-03-06")


def test_a_second_time_adds_nothing(desk: Desk) -> None:
    sheet = (HEAD, "Heron,Ines,2026-02-20,2026-03-20,", "Heron,Ines,2025-06-01,,2025-06-20")
    desk.take("loans", *sheet)
    before = desk.everything()
    assert [outcome for _, outcome, _ in desk.outcomes("loans", *sheet)] == ["same", "same"]
    assert desk.everything() == before


@pytest.mark.parametrize(
    ("rows", "fault"),
    [
        (
            ["Heron,Ines,2026-02-01,,2026-02-10", "Heron,Bram Ostler,2026-02-09,,2026-02-12"],
            "was out with Ines",
        ),
        (["Heron,Ines,2026-02-01,,", "Heron,Bram Ostler,2026-02-09,,"], "from 2026-02-01 and still is"),
        (["Heron,Ines,2026-02-10,,2026-02-01"], "came back on 2026-02-01, before it went out"),
        (["Heron,Ines,2026-02-10,2026-02-01,"], "is due on 2026-02-01, before it went out"),
        (["Herron,Ines,2026-02-10,,"], "There is no item named 'Herron' on record. Is it Heron?"),
        (["Heron,Inez,2026-02-10,,"], "There is no member named 'Inez' on record. Is it Ines?"),
    ],
)
def test_what_cannot_have_been_is_refused(desk: Desk, rows: list[str], fault: str) -> None:
    (found,) = desk.faults("loans", HEAD, *rows)
    assert fault in found


def test_back_in_the_afternoon_and_out_in_the_evening_is_no_overlap(desk: Desk) -> None:
    desk.take("loans", HEAD, "Heron,Ines,2026-02-01,,2026-02-10", "Heron,Bram Ostler,2026-02-10,,2026-02-12")
    assert len(desk.rows("loans")) == 2


def test_what_was_out_by_itself_stays_behind_when_its_kit_goes(desk: Desk) -> None:
    desk.take("kits", "kit,parts", "Big kit,Heron; Wide 25; dust cap")
    desk.take(
        "loans", HEAD, "Big kit,Bram Ostler,2026-02-05,,2026-02-20", "Heron,Ines,2026-02-01,,2026-02-10"
    )
    with desk.database.read() as session:
        parts = session.scalars(select(LoanPart.label).order_by(LoanPart.id)).all()
    assert sorted(parts) == ["Heron", "Wide 25", "dust cap"]


def test_what_went_with_its_kit_was_not_lent_by_itself(desk: Desk) -> None:
    desk.take("kits", "kit,parts", "Big kit,Heron; Wide 25")
    rows = ("Big kit,Bram Ostler,2026-02-01,,2026-02-20", "Heron,Ines,2026-02-05,,2026-02-10")
    found = desk.faults("loans", HEAD, *rows)
    assert found == [
        "3 : Heron was out with Bram Ostler from 2026-02-01 to 2026-02-20. Nothing is in two places: correct the days."
    ]


def test_a_loan_on_record_is_not_ended_by_a_sheet(desk: Desk) -> None:
    desk.take("loans", HEAD, "Heron,Ines,2026-02-20,2026-03-20,")
    (ended,) = desk.faults("loans", HEAD, "Heron,Ines,2026-02-20,,2026-03-01")
    assert "it came back on 2026-03-01: obslog loan back" in ended
    assert "another due_on" in desk.faults("loans", HEAD, "Heron,Ines,2026-02-20,2026-03-25,")[0]


def test_what_did_not_come_back_is_no_loan_that_ended(desk: Desk) -> None:
    assert (
        "obslog store missing"
        in desk.faults("loans", f"{HEAD},state", "Heron,Ines,2026-02-01,,2026-02-10,missing")[0]
    )


@given(
    st.lists(st.tuples(st.integers(0, 20), st.one_of(st.none(), st.integers(0, 8))), min_size=1, max_size=8)
)
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_two_times_clash_exactly_where_they_share_a_day_that_is_not_a_meeting(
    times: list[tuple[int, int | None]],
) -> None:
    """Against a count of the moments at which it was away."""
    start, key, known = date(2026, 1, 1), new_key(), LoansKnown()
    held: list[tuple[date, date]] = []
    for first, length in times:
        out = start + timedelta(days=first)
        back = STILL if length is None else out + timedelta(days=length)
        clashes = any(_overlap(out, back, *other) for other in held)
        assert (known.clash(key, out, back) is not None) == clashes
        if not clashes:
            known.note_away(key, Away(out, back, "Ines"))
            held.append((out, back))


def _overlap(out: date, back: date, other_out: date, other_back: date) -> bool:
    """Whether there is a moment, by quarters of a day, at which it was away twice; two visits on one day may follow."""
    if out == back and other_out == other_back:
        return False
    return bool(_moments(out, back) & _moments(other_out, other_back))


def _moments(out: date, back: date) -> set[int]:
    first, last = ((min(day, date(2027, 1, 1)) - date(2026, 1, 1)).days * 4 for day in (out, back))
    return {first} if first == last else set(range(first + 1, last))


def test_list_loans_shows_what_came_in(desk: Desk, now: datetime) -> None:
    desk.take("loans", HEAD, "Heron,Ines,2026-02-20,2026-03-20,")
    assert [line.what for line in list_loans(desk.database, now.date())] == ["Heron"]


CLUBS_WORDS = '[conditions]\nfine = "sound"\nscuffed = "worn"\ncracked = "broken"\ngone = "missing"\n'
LOAN = "Heron,Ines,2025-06-01,2025-06-29,2025-06-20"


@pytest.mark.parametrize(
    ("said", "means", "word"),
    [
        ("Fine", Condition.GOOD, "fine"),
        ("scuffed", Condition.WORN, "scuffed"),
        ("Cracked", Condition.DAMAGED, "cracked"),
        ("damaged", Condition.DAMAGED, None),  # the program's own words are taken beside the club's
    ],
)
def test_the_clubs_own_words_for_conditions_are_taken_and_given_out(
    desk: Desk, said: str, means: Condition, word: str | None
) -> None:
    routine(desk)
    desk.take("loans", f"{HEAD},condition", f"{LOAN},{said}")
    with desk.database.read() as session:
        (part,) = session.scalars(select(LoanPart))
        assert (part.condition_in, part.word_in) == (means, word)
    assert desk.rows("loans")[0]["condition"] == (word or means.value)


def test_a_kit_that_came_back_otherwise_than_good_has_the_clubs_word_beside_each_part(desk: Desk) -> None:
    routine(desk)
    desk.take("kits", "kit,parts,term", "Big kit,Heron,14")
    desk.take("loans", f"{HEAD},condition", "Big kit,Ines,2025-06-01,2025-06-29,2025-06-20,scuffed")
    with desk.database.read() as session:
        (part,) = session.scalars(select(LoanPart))
        assert (part.condition_in, part.word_in, part.note_in) == (None, None, "the kit came back scuffed")


def test_a_word_that_is_none_is_refused_with_those_that_are(desk: Desk) -> None:
    assert desk.faults("loans", f"{HEAD},condition", f"{LOAN},fine") == [
        "2 condition: 'fine' is no word for a condition. Write one of these: good, worn, damaged, missing."
    ]
    routine(desk)
    (fault,) = desk.faults("loans", f"{HEAD},condition", f"{LOAN},okay")
    assert fault.endswith("Write one of these: fine, scuffed, cracked, gone.")


def test_the_clubs_word_for_missing_is_refused_as_the_programs_is(desk: Desk) -> None:
    routine(desk)
    for word in ("gone", "missing"):
        (fault,) = desk.faults("loans", f"{HEAD},condition", f"{LOAN},{word}")
        assert "did not come back, so it is missing" in fault


def routine(desk: Desk) -> None:
    """Load the club's own words."""
    load_routine(desk.database, CLUBS_WORDS, "routine.toml", NOW)
