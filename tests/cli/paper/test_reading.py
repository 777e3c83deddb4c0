"""Typing up at a terminal: Tab completes each answer, a wrong one stands ready to be mended, and red is red."""

import re
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing

import pytest

from tests.cli.program import Program
from tests.cli.prompt.terminals import AtTerminal

pytestmark = pytest.mark.filterwarnings("ignore:.*forkpty.*:DeprecationWarning")
Opened = Callable[..., AtTerminal]


@pytest.fixture
def terminal(in_club: Program) -> Iterator[Opened]:
    opened: list[AtTerminal] = []

    def start(*words: str, columns: int = 80, **environment: str) -> AtTerminal:
        opened.append(AtTerminal(in_club.environment["OBSLOG_DB"], *words, columns=columns, **environment))
        return opened[-1]

    yield start
    for one in opened:
        one.close()


def answers(page: AtTerminal, *pairs: tuple[str, str]) -> None:
    """Wait for each question, and answer it."""
    for question, keys in pairs:
        page.wait_for(question)
        page.keys(keys)


def test_a_page_is_typed_up_with_tab_and_mended(terminal: Opened, in_club: Program) -> None:
    page = terminal("night", "type-up")
    answers(
        page,
        ("Site:", "mil\t\r"),
        ("Night of", "2026-03-01\r"),
        ("Who was there", "ine\t\r"),
        ("Sky", "\r"),
        ("Note on the night", "\r"),
        ("Mount", "her\t\r"),
        ("Tube", "\r"),
        ("Eyepiece", "\r"),
        ("Observer", "bram\r"),
        ("Set up at", "back\r"),
    )
    page.wait(lambda: page.text.count("Observer: bram") == 2)  # the answer stands there to be changed
    page.keys("\x15ines\r")
    page.wait_for("Set up at")
    page.keys("20:10\r")
    page.wait_for("Line (")
    page.keys("20:50 sync regulu\t")
    page.wait_for("Regulus")
    page.keys(" 3E 2N\r")
    page.keys("21:05 looked m81\r")
    page.wait_for("No line begins with 'looked'")
    page.keys("\x15\r")  # what was wrong stood there to be mended, and is wiped out
    page.wait_for("Save it?")
    page.keys("yes\r")
    assert page.ended() == 0
    with closing(sqlite3.connect(in_club.environment["OBSLOG_DB"])) as file:
        assert file.execute("SELECT target, offset_east_arcmin FROM arrivals").fetchall() == [
            ("Regulus", 3.0)
        ]
        assert file.execute("SELECT count(*) FROM attendances").fetchone() == (1,)


def test_in_red_nothing_else_reaches_the_terminal(terminal: Opened) -> None:
    page = terminal("--red", "night", "type-up", columns=40, COLORTERM="truecolor")
    page.wait_for("Site:")
    page.keys("mil\t\r")
    page.wait_for("Night of")
    colours = set(re.findall(r"\x1b\[[\d;]*?(?:38;(?:2;\d+;\d+;\d+|5;\d+)|3[0-7]|9[0-7])[\d;]*m", page.raw))
    assert colours
    assert all("38;2;160;0;0" in colour for colour in colours)


def test_on_a_dumb_terminal_it_is_a_plain_line(terminal: Opened) -> None:
    page = terminal("night", "type-up", TERM="dumb")
    page.wait_for("Site:")
    page.keys("mill\r")
    page.wait_for("Night of")
    assert "\x1b" not in page.raw
