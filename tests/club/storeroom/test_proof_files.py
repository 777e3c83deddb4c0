"""Photographs and receipts are known again byte for byte, and one receipt may be for several items."""

import hashlib
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest

from obslog.club.register.undo import undo
from obslog.club.storeroom.proof_files import (
    ReceiptKnown,
    ReceiptLine,
    UnreadableFile,
    UnusableFileName,
    add_photograph,
    add_receipt,
    check_photograph,
    check_receipt,
)
from obslog.club.storeroom.store_page import store_page
from obslog.errors import UnknownName
from obslog.records.database import Database
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


def test_the_same_photograph_twice_adds_nothing(club: Database, now: datetime, tmp_path: Path) -> None:
    """The digest of b"abc" is the example of FIPS 180-4 (Secure Hash Standard), SHA-256, one-block message."""
    first, copy = tmp_path / "heron.jpg", tmp_path / "copy.jpg"
    first.write_bytes(b"abc")
    copy.write_bytes(b"abc")
    line = add_photograph(club, "Heron", first, now, taken_on=date(2026, 2, 1))
    assert line.sha256 == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert (line.file_name, line.new) == ("heron.jpg", True)
    assert not add_photograph(club, "Heron", copy, now).new
    assert [p.file_name for p in store_page(club, "Heron", now.date()).photographs] == ["heron.jpg"]
    assert add_photograph(club, "Bracken", copy, now).new  # of another thing it is another photograph


def test_a_file_is_known_by_its_content(club: Database, now: datetime, tmp_path: Path) -> None:
    photo, other = tmp_path / "a.jpg", tmp_path / "b.jpg"
    photo.write_bytes(b"one")
    other.write_bytes(b"two")
    add_photograph(club, "Heron", photo, now)
    renamed = photo.rename(tmp_path / "renamed.jpg")
    known = check_photograph(club, "Heron", renamed)
    assert (known.known, known.known_as) == (True, "a.jpg")
    assert known.sha256 == hashlib.sha256(b"one").hexdigest()
    assert not check_photograph(club, "Heron", other).known
    with pytest.raises(UnreadableFile):
        add_photograph(club, "Heron", tmp_path / "none.jpg", now)
    with pytest.raises(FutureDate):
        add_photograph(club, "Heron", other, now, taken_on=now.date() + timedelta(days=3))
