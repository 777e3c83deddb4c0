"""Lines of keys and elements in a TOML file, counted by hand."""

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from obslog.club.routine.file_lines import FileLines, Path

TEXT = '''# a file
[checklist]
steps = [  # "not this" = [
  "pack", "ground",
  # a remark, with "quotes" and = signs
  "level",
]

[step."dew heaters"]
title = "An = [ sign"
do = """
two
lines = 3
"""
why = 'a # sign'

[loan]
agrees = ["one", """
two""", "three"]
days.nested = 3

[[task]]
of = "mount"
[[task]]
of = "tube"
more = { a = 1, b = [1,
2] }
last = 1'''


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("checklist",), 2),
        (("checklist", "steps"), 3),
        (("checklist", "steps", 0), 4),
        (("checklist", "steps", 1), 4),
        (("checklist", "steps", 2), 6),
        (("step", "dew heaters"), 9),
        (("step", "dew heaters", "title"), 10),
        (("step", "dew heaters", "do"), 11),
        (("step", "dew heaters", "why"), 15),
        (("step", "dew heaters", "not there"), 9),
        (("loan", "agrees", 0), 18),
        (("loan", "agrees", 1), 18),
        (("loan", "agrees", 2), 19),
        (("loan", "days", "nested"), 20),
        (("task", 0), 22),
        (("task", 0, "of"), 23),
        (("task", 1), 24),
        (("task", 1, "of"), 25),
        (("task", 1, "more", "b"), 26),
        (("task", 1, "last"), 28),
        (("nothing",), None),
    ],
)
def test_each_path_has_its_line(path: Path, line: int | None) -> None:
    tomllib.loads(TEXT)
    assert FileLines(TEXT).of(path) == line


@pytest.mark.parametrize("ending", ["\n", "\r\n"])
def test_both_ends_of_lines_are_counted(ending: str) -> None:
    text = ending.join(("[loan]", "agrees = [", '"one",', '"two"]', "days = 3"))
    tomllib.loads(text)
    assert FileLines(text).of(("loan", "agrees", 1)) == 4
    assert FileLines(text).of(("loan", "days")) == 5


@given(st.lists(st.text(alphabet="a\"\\'#=[]{},\n é", max_size=8), max_size=4), st.booleans())
def test_whatever_stands_in_texts_what_comes_after_them_is_found(texts: list[str], in_lines: bool) -> None:
    """Each text is written on one line, or between three quotes; the key after them all stands on the last line."""
    told = [_in_three(text) if in_lines else _on_one_line(text) for text in texts]
    text = f"first = [{', '.join(told)}]\nlast = 1"
    assert tomllib.loads(text) == {"first": texts, "last": 1}
    assert FileLines(text).of(("last",)) == text.count("\n") + 1


def _on_one_line(text: str) -> str:
    told = text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")
    return f'"{told}"'


def _in_three(text: str) -> str:
    told = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"""\n{told}"""'
