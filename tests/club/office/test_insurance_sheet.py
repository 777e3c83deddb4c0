"""The insurer's list as CSV, read back by the standard library; a file that is there is not written over unasked."""

import csv
import stat
from dataclasses import replace
from io import StringIO
from pathlib import Path

import pytest

from obslog.club.office.insurance_sheet import SheetThere, insurance_csv, write_insurance_csv
from tests.club.office.test_insurance_form import BARE, DIGEST, HERON, a_list, written_down


def test_a_row_has_what_is_known_and_blanks_for_the_rest() -> None:
    rows = list(csv.DictReader(StringIO(insurance_csv(a_list(HERON, BARE)))))
    heron, lamp = rows
    assert (heron["tag"], heron["value"], heron["currency"], heron["valued_on"]) == (
        "M-1",
        "900.1",
        "EUR",
        "2025-01-05",
    )
    assert heron["photographs"] == f"a.jpg {DIGEST}; b.jpg {DIGEST[::-1]}"
    assert (heron["receipts"], heron["holder"], heron["due_on"]) == (
        f"bill.pdf {DIGEST}",
        "Ines",
        "2026-03-30",
    )
    assert (lamp["value"], lamp["cost"], lamp["receipts"], lamp["written_down_to"]) == ("", "", "", "")
    assert lamp["category"] == "lamp"


def test_what_is_written_down_is_told_with_the_rule_and_its_name() -> None:
    lamp = replace(BARE, written_down=written_down(1.5, "category lamp"))
    (row,) = csv.DictReader(StringIO(insurance_csv(a_list(lamp))))
    assert (row["written_down_to"], row["depreciation"], row["depreciation_rule"]) == (
        "1.5",
        "straight line over 5 years",
        "depreciation-years-of-lamp",
    )


def test_a_name_that_looks_like_a_formula_stays_a_name() -> None:
    text = insurance_csv(a_list(replace(BARE, name="=1+2")))
    assert next(csv.DictReader(StringIO(text)))["name"] == "'=1+2"


def test_the_file_is_its_owners_alone_and_takes_no_others_place(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    write_insurance_csv(a_list(HERON), path, overwrite=False)
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    path.write_text("mine")
    with pytest.raises(SheetThere):
        write_insurance_csv(a_list(HERON), path, overwrite=False)
    assert path.read_text() == "mine"
    path.chmod(0o644)
    write_insurance_csv(a_list(HERON), path, overwrite=True)
    assert path.read_text(encoding="utf-8-sig").startswith("tag,name,")
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
