"""Photographs and receipts at the keyboard: added once, known again, and shown with the item."""

from hashlib import sha256
from pathlib import Path

import pytest

from tests.cli.program import Program


def test_a_receipt_is_added_once_known_again_and_shown(in_club: Program, tmp_path: Path) -> None:
    bill = tmp_path / "bill.pdf"
    bill.write_bytes(b"240.00")
    digest = sha256(b"240.00").hexdigest()
    answer = in_club.must("store", "receipt", "heron", str(bill), "--dated", "2020-05-01")
    assert answer.out == f"bill.pdf: added to Heron\n  SHA-256 {digest}\n"
    assert "on record already for Heron" in in_club.must("store", "receipt", "Heron", str(bill)).out
    known = in_club.must("store", "receipt", "Heron", "--check", str(bill)).out
    assert known == "bill.pdf is on record for Heron as bill.pdf, of 2020-05-01.\n"
    assert in_club.document("store", "receipt", "Heron", "--check", str(bill))["known"] is True
    other = in_club.must("store", "receipt", "Bracken", "--check", str(bill)).out
    assert other == "bill.pdf is not on record for Bracken.\n"
    assert (
        f"receipt bill.pdf of 2020-05-01, SHA-256 {digest[:12]}..."
        in in_club.must("store", "show", "Heron").out
    )
    (receipt,) = in_club.document("store", "show", "Heron")["receipts"]
    assert (receipt["sha256"], receipt["dated_on"]) == (digest, "2020-05-01")
    in_club.must("undo")
    in_club.must("undo")
    assert in_club.document("store", "show", "Heron")["receipts"] == []


@pytest.mark.parametrize("words", [(), ("a.pdf", "--check", "b.pdf"), ("no such file.pdf",)])
def test_no_file_or_two_are_refused(in_club: Program, words: tuple[str, ...]) -> None:
    answer = in_club("store", "receipt", "Heron", *words)
    assert (answer.code, len(answer.error_lines)) == (2, 2)


def test_a_photograph_is_added_once_and_known_again(in_club: Program, tmp_path: Path) -> None:
    photo, other = tmp_path / "heron.jpg", tmp_path / "other.jpg"
    photo.write_bytes(b"abc")
    other.write_bytes(b"abd")
    assert in_club.document("store", "photo", "Heron", str(photo), "--taken", "2026-02-01")["new"] is True
    assert "on record already" in in_club.must("store", "photo", "Heron", str(photo)).out
    assert in_club.document("store", "photo", "Heron", "--check", str(photo))["known"] is True
    assert "not on record" in in_club.must("store", "photo", "Heron", "--check", str(other)).out
    assert "heron.jpg, taken 2026-02-01" in in_club.must("store", "show", "Heron").out
