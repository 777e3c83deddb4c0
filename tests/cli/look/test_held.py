"""Output that is held back: its order, and what counts as longer than the screen."""

import io

import pytest

from obslog.cli.look.held import Held, Quarters, rows_of
from tests.cli.program import Terminal


class Pages:
    """Stands for a pager: keeps what it is shown, and answers that it showed it, or did not."""

    def __init__(self, answer: str | None = None) -> None:
        self.shown: list[str] = []
        self.answer = answer

    def __call__(self, text: str) -> str | None:
        self.shown.append(text)
        return self.answer


def holding(pages: Pages, columns: int = 20, lines: int = 5) -> tuple[Held, Terminal, Terminal]:
    out, err = Terminal(), Terminal()
    return Held(out, err, lambda: (columns, lines), pages), out, err


@pytest.mark.parametrize(
    ("text", "rows"),
    [
        ("one\n", 1),
        ("one", 1),
        ("one\n\ntwo\n", 3),
        ("x" * 20 + "\n", 1),
        ("x" * 21 + "\n", 2),
        ("x" * 40 + "\n", 2),
        ("\x1b[1;31m" + "x" * 20 + "\x1b[0m\n", 1),
    ],
)
def test_a_line_too_long_for_the_terminal_takes_as_many_as_it_needs(text: str, rows: int) -> None:
    assert rows_of(text, 20) == rows


@pytest.mark.parametrize(("lines", "paged"), [(4, False), (5, True)])
def test_a_page_is_long_where_the_line_of_the_shell_has_no_room_below_it(lines: int, paged: bool) -> None:
    pages = Pages()
    held, out, _ = holding(pages)
    held.out.write("line\n" * lines)
    assert out.getvalue() == ""
    held.release()
    assert (pages.shown, out.getvalue()) == ((["line\n" * lines], "") if paged else ([], "line\n" * lines))


def test_what_belongs_to_the_output_keeps_its_place_and_its_stream() -> None:
    pages = Pages()
    held, out, err = holding(pages)
    held.err.write("before\n")
    assert err.getvalue() == "before\n", "nothing waits for it"
    held.out.write("one\n")
    held.err.write("note\n")
    assert (out.getvalue(), err.getvalue()) == ("", "before\n")
    held.release()
    assert (out.getvalue(), err.getvalue(), pages.shown) == ("one\n", "before\nnote\n", [])
    for number in range(4):
        held.out.write(f"{number}\n")
        held.err.write(f"note {number}\n")
    held.release()
    assert pages.shown == ["0\nnote 0\n1\nnote 1\n2\nnote 2\n3\nnote 3\n"]


def test_what_is_said_before_the_first_line_of_an_answer_is_part_of_its_page() -> None:
    pages = Pages()
    held, _, err = holding(pages)
    held.begin()
    held.err.write("Taken: Mill Field\n")
    held.out.write("line\n" * 4)
    held.release()
    assert (pages.shown, err.getvalue()) == (["Taken: Mill Field\n" + "line\n" * 4], "")
    held.err.write("later\n")
    assert err.getvalue() == "later\n"


def test_what_the_pager_does_not_show_is_written_and_why_is_given_back() -> None:
    held, out, _ = holding(Pages("no pager here"))
    held.out.write("line\n" * 9)
    assert held.release() == "no pager here"
    assert out.getvalue() == "line\n" * 9


def test_a_release_without_pages_shows_none_and_nothing_is_written_twice() -> None:
    pages = Pages()
    held, out, _ = holding(pages)
    held.out.write("line\n" * 9)
    held.release(paged=False)
    held.release()
    assert (pages.shown, out.getvalue()) == ([], "line\n" * 9)


def test_standard_error_that_goes_elsewhere_is_not_held() -> None:
    err = io.StringIO()
    held = Held(Terminal(), err, lambda: (20, 5), Pages())
    held.out.write("one\n")
    held.err.write("note\n")
    assert err.getvalue() == "note\n"


def test_once_stopped_each_line_is_written_at_once() -> None:
    held, out, _ = holding(Pages())
    held.stop()
    held.out.write("one\n")
    assert out.getvalue() == "one\n"


def test_work_without_a_bar_is_told_at_each_quarter() -> None:
    said: list[str] = []
    quarters = Quarters(said.append, "Building", 8)
    for _ in range(8):
        quarters.advance(1)
    assert said == ["Building.", *(f"Building: {share} %." for share in (25, 50, 75, 100))]
