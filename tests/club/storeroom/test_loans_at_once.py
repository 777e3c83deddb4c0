"""Two programs that lend the same kit at the same moment: one succeeds, the other is told so in plain words."""

import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from subprocess import Popen

import pytest
from sqlalchemy import func, select

from obslog.club.register.named_records import add
from obslog.club.storeroom.kits import add_kit
from obslog.club.storeroom.loan_pages import list_loans
from obslog.club.storeroom.loans import take_back
from obslog.records.database import Database
from obslog.records.opening import open_database
from obslog.records.tables.lending import Loan, LoanPart, Reservation
from tests.records.children import start

ROUNDS = 12
LENDER = """
import time
from obslog.club.storeroom.loans import lend
database = open_database(sys.argv[1], NOW, lambda said: None)
lend_to = sys.argv[2]
print("ready", flush=True)
for line in sys.stdin:
    what, moment = line.rstrip().split("|")
    time.sleep(max(0, float(moment) - 0.003 - time.time()))
    while time.time() < float(moment):  # the last milliseconds awake, so that both begin together
        pass
    try:
        lend(database, what, lend_to, NOW)
        print("lent", flush=True)
    except ObslogError as error:
        print("refused: " + error.message, flush=True)
database.close()
"""


@contextmanager
def lenders(target: str, *members: str) -> Iterator[list[Popen[str]]]:
    """A program of its own for each member, ready to lend to them."""
    children = [start(LENDER, target, member, stdin=True) for member in members]
    try:
        for child in children:
            assert child.stdout is not None
            assert child.stdout.readline() == "ready\n", child.stderr and child.stderr.read()
        yield children
    finally:
        for child in children:
            child.communicate(timeout=60)


def told_at_once(children: list[Popen[str]], *wanted: str) -> list[str]:
    """What each program answers, all having been told to lend at one moment."""
    moment = time.time() + 0.05
    for child, what in zip(children, wanted, strict=True):
        assert child.stdin is not None
        child.stdin.write(f"{what}|{moment}\n")
        child.stdin.flush()
    return [child.stdout.readline().rstrip() for child in children if child.stdout is not None]


@pytest.fixture
def lending(new_target: str, now: datetime) -> Iterator[tuple[str, Database]]:
    """A club with a kit, at an address that other programs can open too."""
    database = open_database(new_target, now, lambda _said: None)
    then = now - timedelta(days=9)
    for member in ("Ines", "Bram"):
        add(database, "member", member, {}, then)
    for name in ("Wide 25", "Stop 20"):
        add(database, "eyepiece", name, {}, then)
    add_kit(database, "Evening kit", ["Wide 25", "dust cap"], then)
    add_kit(database, "Other kit", ["Stop 20"], then)
    yield new_target, database
    database.close()


@pytest.mark.parametrize(
    "second", ["Evening kit", "Wide 25"], ids=["the kit twice", "the kit and a thing of it"]
)
def test_of_two_programs_exactly_one_lends(lending: tuple[str, Database], now: datetime, second: str) -> None:
    """A kit without the thing can still be lent for its cap: then both may lend, but the thing is out once."""
    target, database = lending
    refusals = []
    with lenders(target, "Ines", "Bram") as children:
        for _ in range(ROUNDS):
            answers = told_at_once(children, "Evening kit", second)
            lent = [answer for answer in answers if answer == "lent"]
            refused = [answer for answer in answers if answer.startswith("refused: ")]
            assert len(lent) + len(refused) == 2, answers
            if second == "Evening kit":
                assert len(lent) == 1, answers
            refusals += refused
            with database.read() as session:
                out = select(func.count()).select_from(LoanPart).where(LoanPart.equipment_id.is_not(None))
                assert session.scalar(out.where(LoanPart.back_on.is_(None))) == 1
                assert session.scalar(
                    select(func.count()).select_from(Loan).where(Loan.back_on.is_(None))
                ) == len(lent)
            for loan in list_loans(database, now.date()):
                take_back(database, loan.what, now)
    assert refusals or second != "Evening kit"
    for refusal in refusals:
        assert " is on loan" in refusal


def test_programs_that_lend_different_kits_do_not_hinder_each_other(
    lending: tuple[str, Database], now: datetime
) -> None:
    target, database = lending
    with lenders(target, "Ines", "Bram") as children:
        for _ in range(ROUNDS // 2):
            assert told_at_once(children, "Evening kit", "Other kit") == ["lent", "lent"]
            for loan in list_loans(database, now.date()):
                take_back(database, loan.what, now)
    with database.read() as session:
        assert session.scalar(select(func.count()).select_from(Loan)) == ROUNDS
        assert session.scalar(select(func.count()).select_from(Reservation)) == 0
