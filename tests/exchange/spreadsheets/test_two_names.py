"""A membership list with first name and surname in two columns, against what a person reads in it."""

from pathlib import Path

import pytest

from obslog.exchange.spreadsheets.columns import kinds
from obslog.exchange.spreadsheets.heads import NoHead
from obslog.exchange.spreadsheets.reading import Sheet, read_spreadsheet
from tests.exchange.spreadsheets.test_reading import TODAY


def members(folder: Path, *lines: str, kind: str = "members") -> Sheet:
    path = folder / "list.csv"
    path.write_text("\n".join(lines))
    return read_spreadsheet(path, kinds()[kind], TODAY)


def names(sheet: Sheet) -> list[str]:
    return [row.values["name"] for row in sheet.rows]


def test_first_name_and_surname_are_one_name_whichever_stands_first(tmp_path: Path) -> None:
    one = members(tmp_path, "The club", "First name,Surname,Tel", "Ines,Okafor,1", "Bram,de Vries,2")
    other = members(tmp_path, "Last Name,Tel,Forename", "Okafor,1,Ines", "de Vries,2,Bram")
    assert names(one) == names(other) == ["Ines Okafor", "Bram de Vries"]
    assert [row.values["phone"] for row in other.rows] == ["1", "2"]
    assert not one.left_out
    assert not other.left_out


def test_who_has_one_name_alone_is_called_by_it_and_the_head_of_the_next_page_is_nobody(
    tmp_path: Path,
) -> None:
    sheet = members(tmp_path, "First name,Surname", "Ines,-", "First name,Surname", ",Okafor")
    assert names(sheet) == ["Ines", "Okafor"]
    assert not sheet.faults


def test_a_column_for_the_whole_name_is_taken_as_it_is(tmp_path: Path) -> None:
    sheet = members(tmp_path, "First name,Surname,Full name", "Ines,Okafor,Ines Maria Okafor")
    assert names(sheet) == ["Ines Maria Okafor"]
    assert set(sheet.left_out) == {"First name", "Surname"}


@pytest.mark.parametrize("head", ["First name,Tel", "Surname,Tel", "First name,Surname,Last name"])
def test_half_a_name_or_one_of_two_readings_is_none(tmp_path: Path, head: str) -> None:
    with pytest.raises(NoHead):
        members(tmp_path, head, "Ines,1,2")
