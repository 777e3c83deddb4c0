"""Loans, services and the store-room say what their commands say, and name borrowers only to the officer."""

import shutil
from datetime import date
from pathlib import Path

import numpy as np
import pytest

from obslog import open_club
from obslog.cli.main import main
from tests.library.test_answers import answer, document
from tests.test_docs import READ_AT

BORROWER = "Amara Nwosu-Bell"
REACHED = "0491 570 006"


@pytest.fixture
def lending_club(invented_club: Path, tmp_path: Path) -> Path:
    """The invented club, in which one more thing is lent, to somebody with a telephone."""
    place = Path(shutil.copy(invented_club, tmp_path / "club.db"))
    for words in (
        ("member", "contact", BORROWER, "--phone", REACHED),
        ("loan", "out", "Red-dot finder A", BORROWER, "--due", "2026-12-20"),
    ):
        if main([*words], lambda: READ_AT, {"OBSLOG_DB": str(place)}) != 0:
            raise AssertionError(words)
    return place


@pytest.mark.parametrize("officer", [False, True])
def test_loans_say_what_their_command_says(
    officer: bool, lending_club: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ["--officer"] if officer else []
    with open_club(lending_club) as club:
        out = club.loans(officer=officer, today=READ_AT.date())
        everything = club.loans(with_back=True, officer=officer, today=READ_AT.date())
    assert document(out) == answer(lending_club, capsys, "loan", "list", *words)
    assert document(everything) == answer(lending_club, capsys, "loan", "list", "--all", *words)
    assert len(everything) > len(out) > 1
    assert {loan.member is None for loan in everything} == {not officer}


@pytest.mark.parametrize("officer", [False, True])
def test_the_store_room_says_what_its_command_says(
    officer: bool, lending_club: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ["--officer"] if officer else []
    with open_club(lending_club) as club:
        found = club.store(with_retired=True, officer=officer)
        tubes = club.store(kind="tube")
    said = answer(lending_club, capsys, "store", "list", "--all", *words)
    assert document(found) == said["items"]
    assert {item.kind for item in tubes} == {"tube"}
    assert (BORROWER in {item.with_whom for item in found}) is officer


def test_nothing_that_is_not_asked_for_as_the_officer_names_a_borrower(lending_club: Path) -> None:
    with open_club(lending_club) as club:
        told = f"{document(club.loans(with_back=True))} {document(club.store(with_retired=True))}"
    assert BORROWER not in told


def test_how_members_are_reached_is_nowhere(lending_club: Path) -> None:
    with open_club(lending_club) as club:
        told = [
            document(found)
            for found in (
                club.nights(),
                club.night(),
                club.observations(),
                club.snags(with_fixed=True),
                club.services(),
                club.loans(with_back=True, officer=True),
                club.store(with_retired=True, officer=True),
            )
        ]
    assert REACHED not in f"{told}"


def test_services_say_what_their_command_says(
    invented_club: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with open_club(invented_club) as club:
        everything, of_one = club.services(), club.services("Bramble")
    assert document(everything) == answer(invented_club, capsys, "service", "list")
    assert document(of_one) == answer(invented_club, capsys, "service", "list", "Bramble")
    assert len(everything) > len(of_one) > 0


def test_money_that_is_not_known_is_no_number_and_never_zero(invented_club: Path) -> None:
    with open_club(invented_club) as club:
        services = club.services()
    costs = services.column("cost")
    assert [cost is None for cost in (one.cost for one in services)] == np.isnan(costs).tolist()
    assert np.isnan(costs).any()


def test_days_until_a_loan_is_due_are_counted_from_the_day_that_is_told(invented_club: Path) -> None:
    with open_club(invented_club) as club:
        (one,) = club.loans(today=date(2026, 10, 1))
        (later,) = club.loans(today=date(2026, 10, 11))
    assert (one.days_left or 0) - (later.days_left or 0) == 10
