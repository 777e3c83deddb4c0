"""Names of objects from a file of one's own: one a line, or a column of a CSV file."""

from pathlib import Path

import pytest

from obslog.exchange.arrivals_csv import NoSuchSheet, NotUtf8
from obslog.exchange.name_list import MOST_NAMES, NoNames, TooManyNames, read_names


def names(folder: Path, text: str | bytes) -> list[str]:
    path = folder / "mine.csv"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return read_names(path)


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("M 31\nVega\n", ["M 31", "Vega"]),
        ("M 31\r\n\r\n  Vega  \r\n", ["M 31", "Vega"]),
        ("M 31", ["M 31"]),
        ('"Cat\'s Eye, bright"\nVega', ["Cat's Eye, bright", "Vega"]),
        ("M 31,first\nVega,second", ["M 31", "Vega"]),  # without a heading, the first of each row
        ("number,Object\n1,M 81\n2,Polaris", ["M 81", "Polaris"]),
        (" TARGET ,note\nM 81,a\n,nothing here\nM 82,b", ["M 81", "M 82"]),
        ("note,name\nshort row\nx,M 82", ["M 82"]),
        ("name,target\nthe one,M 1", ["M 1"]),  # of several, the column of targets
        ("\ufeffname\nM 1", ["M 1"]),  # as spreadsheets write it
        ("M 1\nM 1\nM 1", ["M 1", "M 1", "M 1"]),
    ],
)
def test_names_are_read_in_the_order_of_the_file(tmp_path: Path, text: str, found: list[str]) -> None:
    assert names(tmp_path, text) == found


@pytest.mark.parametrize("text", ["", "\n \n", "name\n", "number,object\n1,\n2, \n"])
def test_a_file_without_a_name_is_refused(tmp_path: Path, text: str) -> None:
    with pytest.raises(NoNames, match=r"mine\.csv holds no names"):
        names(tmp_path, text)


def test_as_many_names_as_are_allowed_are_read_and_one_more_refused(tmp_path: Path) -> None:
    assert len(names(tmp_path, "M 1\n" * MOST_NAMES)) == MOST_NAMES
    with pytest.raises(TooManyNames):
        names(tmp_path, "M 1\n" * (MOST_NAMES + 1))


def test_a_file_in_another_encoding_is_refused_with_the_line(tmp_path: Path) -> None:
    with pytest.raises(NotUtf8, match="line 2"):
        names(tmp_path, "M 31\nBo\xf6tes\n".encode("latin-1"))


def test_a_missing_file_and_a_folder_are_refused(tmp_path: Path) -> None:
    for path in (tmp_path / "missing.csv", tmp_path):
        with pytest.raises(NoSuchSheet):
            read_names(path)
