"""Receipts are known again byte for byte, and one receipt may be for several items."""

import hashlib
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest

from obslog.club.office.receipts import ReceiptKnown, add_receipt, check_receipt
from obslog.club.register.undo import undo
from obslog.club.storeroom.inventory_details import (
    ReceiptLine,
    UnreadableFile,
    UnusableFileName,
)
from obslog.club.storeroom.store_page import store_page
from obslog.errors import UnknownName
from obslog.records.opening import Database
from obslog.times import FutureDate

BILL = b"two eyepieces, 240.00"
DIGEST = hashlib.sha256(BILL).hexdigest()


@pytest.fixture
def bill(tmp_path: Path) -> Path:
    path = tmp_path / "bill.pdf"
    path.write_bytes(BILL)
    return path


def test_the_same_receipt_is_known_again_and_may_be_for_several_items(
    club: Database, now: datetime, bill: Path
) -> None:
    assert add_receipt(club, "wide 25", bill, now) == ReceiptLine("bill.pdf", DIGEST, None, new=True)
    again = add_receipt(club, "Wide 25", bill, now, dated_on=date(2020, 5, 1))
    assert again == ReceiptLine("bill.pdf", DIGEST, date(2020, 5, 1))
    assert add_receipt(club, "Stop 20", bill, now).new
    copy = bill.rename(bill.with_name("copy.pdf"))
    assert check_receipt(club, "Wide 25", copy) == ReceiptKnown(
        file_name="copy.pdf", sha256=DIGEST, known=True, known_as="bill.pdf", dated_on=date(2020, 5, 1)
    )
    assert not check_receipt(club, "Heron", copy).known
    copy.write_bytes(BILL + b"0")
    assert not check_receipt(club, "Wide 25", copy).known
    undo(club, now)  # of the last, for Stop 20
    today = now.date()
    assert store_page(club, "Stop 20", today).receipts == []
    assert store_page(club, "Wide 25", today).receipts == [again]


def test_what_cannot_be_a_receipt_is_refused(club: Database, now: datetime, bill: Path) -> None:
    with pytest.raises(FutureDate):
        add_receipt(club, "Heron", bill, now, dated_on=now.date() + timedelta(days=3))
    with pytest.raises(UnreadableFile):
        add_receipt(club, "Heron", bill.with_name("no such file"), now)
    with pytest.raises(UnusableFileName):
        add_receipt(club, "Heron", bill.rename(bill.with_name("a\nb.pdf")), now)
    with pytest.raises(UnknownName):
        add_receipt(club, "Hedgehog", bill.with_name("a\nb.pdf").rename(bill), now)
    assert store_page(club, "Heron", now.date()).receipts == []
