"""File names that every system takes, whatever people call their things."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from obslog.report.overviews.file_names import LONGEST, file_names, slug


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("Old Grumble", "old-grumble"),
        ("Terraço dos Furtado", "terraco-dos-furtado"),
        ("Große Straße", "grosse-strasse"),
        ("../../etc/passwd", "etc-passwd"),
        ("O'Brien's <b>EQ</b>: a|b?*", "obriens-b-eq-b-a-b"),
        ("שלום", "unnamed"),
        ("...", "unnamed"),
        ("CON", "con-"),
        ("Lpt1", "lpt1-"),
        ("a" * 200, "a" * LONGEST),
    ],
)
def test_a_name_in_plain_small_letters(name: str, told: str) -> None:
    assert slug(name) == told


def test_names_that_come_out_alike_get_numbers() -> None:
    names = ["Heron", "héron", "HERON!", "Heron 2"]
    assert file_names("mount", names) == {
        "Heron": "mount-heron.html",
        "héron": "mount-heron-2.html",
        "HERON!": "mount-heron-3.html",
        "Heron 2": "mount-heron-2-2.html",
    }


@given(st.lists(st.text(max_size=80), unique=True, max_size=12))
def test_any_names_have_files_of_their_own_that_stay_in_the_folder(names: list[str]) -> None:
    files = list(file_names("mount", names).values())
    assert len(set(files)) == len(names)
    assert all(re.fullmatch(r"mount-[a-z0-9-]{1,70}\.html", file) for file in files)
