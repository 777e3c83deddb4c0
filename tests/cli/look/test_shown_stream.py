"""A stream of the screen: tinted on a terminal, as it is through a pipe, and wrapped only where there is a width."""

import io

import pytest

from obslog.cli.look.look import Depth, Look
from obslog.cli.look.shown_stream import ShownStream


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


RED = Look(red=True, depth=Depth.MANY)
LONG = " ".join(["word"] * 100)


@pytest.mark.parametrize(
    ("stream", "red_piped", "is_red"),
    [(Terminal(), False, True), (io.StringIO(), False, False), (io.StringIO(), True, True)],
)
def test_what_goes_past_rich_is_red_on_a_terminal_and_where_a_pipe_is_to_be(
    stream: io.StringIO, red_piped: bool, is_red: bool
) -> None:
    start, end = RED.red_signs
    tinted = ShownStream(stream, RED, red_piped=red_piped).tinted("Vega")
    assert tinted == (f"{start}Vega{end}" if is_red else "Vega")


def test_nothing_is_never_tinted() -> None:
    assert ShownStream(Terminal(), RED, red_piped=True).tint("") == ""


def test_a_line_is_wrapped_on_a_terminal_and_whole_through_a_pipe(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "40")
    for stream, lines in (
        (Terminal(), 13),
        (io.StringIO(), 1),
    ):  # eight words of five cells to a line of forty
        ShownStream(stream, Look(), red_piped=False).say(LONG, style="", indent=0, hang=0)
        assert stream.getvalue().count("\n") == lines


def test_what_is_held_goes_to_another_file_than_its_own() -> None:
    own, held = io.StringIO(), io.StringIO()
    stream = ShownStream(own, Look(), red_piped=False)
    stream.file = held
    stream.say("Vega", style="", indent=2, hang=0)
    assert (own.getvalue(), held.getvalue()) == ("", "  Vega\n")
