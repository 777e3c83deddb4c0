"""Advice on loans, read back from the screen at every width and held against advice made by hand."""

from functools import partial

from obslog.cli.review.loan_advice import show_advice
from obslog.club.review.lending_advice import AdviceFor, NextLoan
from obslog.club.review.lending_suitability import Advice, Suitability
from obslog.club.review.verdicts import Status
from tests.cli.screens import shown_by


def test_who_is_next_is_told_with_how_many_wait() -> None:
    loans = [
        NextLoan(kit="Kit 1", waiting=3, member="Noor", fit=Suitability.LEND, reasons=["light", "near"]),
        NextLoan(kit="Kit 2", waiting=1, member=None, fit=Suitability.NOT_NOW, reasons=["heavy"]),
        NextLoan(kit="Kit 3", waiting=0, member=None, fit=None, reasons=[]),
    ]
    for shown in shown_by(lambda screen: show_advice(screen, loans)):
        assert shown.in_order(
            f"Kit 1: 3 wait; next Noor: {Suitability.LEND} light near",
            f"Kit 2: 1 waits; next the first in the list: {Suitability.NOT_NOW} heavy",
            "Kit 3: nobody waits",
        )
        assert [
            len(line) - len(line.lstrip()) for line in shown.lines if line.strip() in ("light", "near")
        ] == [4, 4]
        assert shown.notes == "For one borrower: obslog loan advise MEMBER"
    for shown in shown_by(lambda screen: show_advice(screen, [])):
        assert (shown.out, shown.notes) == ("", "No kits on record: obslog kit add --help")


def test_what_to_lend_to_one_borrower_the_best_first() -> None:
    kits = [
        Advice(
            kit="Kit 1",
            member="Noor",
            status=Status.READY,
            fit=Suitability.LEND,
            reasons=["light"],
            aperture_mm=130.0,
            weight_kg=7.5,
        ),
        Advice(
            kit="Kit 2",
            member="Noor",
            status=Status.WATCH,
            fit=Suitability.NOT_NOW,
            reasons=["heavy"],
            aperture_mm=None,
            weight_kg=None,
        ),
    ]
    cases = (
        (1, True, "1 set-up on record, a beginner by the club's rules"),
        (2, False, "2 set-ups on record"),
    )
    for setups, beginner, words in cases:
        found = AdviceFor("Noor", setups, beginner, kits)
        for shown in shown_by(partial(show_advice, found=found)):
            assert (
                shown.words
                == f"Noor: {words} {Suitability.LEND}: Kit 1, 130 mm, 7.5 kg light {Suitability.NOT_NOW}: Kit 2 heavy"
            )
    for shown in shown_by(lambda screen: show_advice(screen, AdviceFor("Noor", 0, True, []))):
        assert shown.words == "Noor: 0 set-ups on record, a beginner by the club's rules"
        assert shown.notes == "No kits on record: obslog kit add --help"
