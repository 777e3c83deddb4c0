"""The pager: which one is taken, and what somebody at a terminal sees of it."""

import os
import re
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from shutil import which

import pytest

from obslog.cli.look.look import Depth, Look
from obslog.cli.look.pager import for_pager, keys_of_less, pager_environment, pager_words
from tests.cli.program import Program
from tests.cli.prompt.terminals import AtTerminal

RED = Look(red=True, depth=Depth.MANY)
USUAL = Look(depth=Depth.MANY)
ASKS = "q: leave"  # as the last line of the pager says it
LONG = ("words",)  # all words of the program and what they mean: several screens
LAST_WORD = "zero point"
at_terminals = pytest.mark.skipif(sys.platform == "win32" or which("less") is None, reason="needs less")


def in_path(folder: Path, *names: str) -> dict[str, str]:
    """An environment where these programs are, and no other."""
    folder.mkdir(exist_ok=True)
    for name in names:
        (folder / name).write_text("#!/bin/sh\ncat\n")
        (folder / name).chmod(0o755)
    return {"PATH": str(folder)}


@pytest.mark.parametrize(
    ("environment", "look", "words"),
    [
        ({}, USUAL, ["less"]),
        ({"PAGER": "most -w"}, USUAL, ["most", "-w"]),
        ({"PAGER": "most", "OBSLOG_PAGER": "less -S"}, USUAL, ["less", "-S"]),
        ({"PAGER": "less", "OBSLOG_PAGER": ""}, USUAL, None),
        ({"PAGER": ""}, USUAL, None),
        ({"PAGER": "cat"}, USUAL, None),
        ({"PAGER": "'unclosed"}, USUAL, ["'unclosed"]),
        ({"PAGER": "most"}, RED, ["less"]),  # it might bring colours of its own
        ({"PAGER": "/usr/bin/less -S"}, RED, ["/usr/bin/less", "-S"]),
        ({"OBSLOG_PAGER": "cat"}, RED, None),
    ],
)
def test_the_pager_is_the_one_that_is_named(
    tmp_path: Path, environment: dict[str, str], look: Look, words: list[str] | None
) -> None:
    assert pager_words(in_path(tmp_path, "less", "more") | environment, look, "linux") == words


def test_on_windows_a_path_keeps_its_backslashes_and_loses_its_quotes() -> None:
    named = {"OBSLOG_PAGER": r'"C:\Program Files\less.exe" -S'}
    assert pager_words(named, USUAL, "win32") == [r"C:\Program Files\less.exe", "-S"]


def test_on_windows_the_pager_is_named_with_its_place_for_its_own_is_no_exe(tmp_path: Path) -> None:
    """Started by the bare name, Windows looks for `more.exe`; what is there is `more.com`."""
    there = in_path(tmp_path, "more", "most")
    assert pager_words(there, USUAL, "win32") == [str(tmp_path / "more")]
    assert pager_words(there | {"PAGER": "most -w"}, USUAL, "win32") == [str(tmp_path / "most"), "-w"]
    assert pager_words(there | {"PAGER": "gone"}, USUAL, "win32") == ["gone"]
    assert pager_words({"PAGER": "C:/Windows/System32/MORE.COM"}, RED, "win32") is not None


def test_where_there_is_no_less_it_is_more_and_where_neither_is_none(tmp_path: Path) -> None:
    assert pager_words(in_path(tmp_path / "a", "more"), USUAL, "linux") == ["more"]
    assert pager_words(in_path(tmp_path / "b"), USUAL, "linux") is None


def test_a_persons_own_options_of_less_stay_but_not_in_the_red_look() -> None:
    own = {"LESS": "-i --use-color", "LESS_TERMCAP_md": "\x1b[34m", "LESSOPEN": "|colours %s", "PATH": "/bin"}
    assert pager_environment(own, USUAL) == own
    given = pager_environment(own, RED)
    assert "--use-color" not in given["LESS"]
    assert "LESSOPEN" not in given
    assert given["PATH"] == "/bin"
    signs = [value for name, value in given.items() if name.startswith("LESS_TERMCAP")]
    assert signs
    assert {code for value in signs for code in re.findall(r"\x1b\[([0-9;]*)m", value)} == {
        "0", "7", "38;5;124",
    }  # fmt: skip


def test_in_the_red_look_each_line_turns_the_red_on_and_none_turns_it_off() -> None:
    page = "\x1b[1;38;5;124mone\x1b[0m\n\x1b[38;5;124mtwo\nthree\x1b[0m\n"
    assert for_pager(page, RED, "less") == "".join(
        f"\x1b[38;5;124m{line}\n" for line in ("one", "two", "three")
    )
    assert for_pager("\x1b[1mone\x1b[0m\n", USUAL, "less") == "\x1b[1mone\x1b[0m\n"
    assert for_pager(page, RED, "more") == "one\ntwo\nthree\n", "it would count the signs as letters"


Start = Callable[..., AtTerminal]


@pytest.fixture
def start(in_club: Program) -> Iterator[Start]:
    """The program at a terminal of 24 lines, in the small club."""
    opened: list[AtTerminal] = []

    def begin(*words: str, columns: int = 80, **environment: str) -> AtTerminal:
        environment = {"OBSLOG_CONFIG": in_club.environment["OBSLOG_CONFIG"], **environment}
        opened.append(AtTerminal(in_club.environment["OBSLOG_DB"], *words, columns=columns, **environment))
        return opened[-1]

    yield begin
    for one in opened:
        one.close()


def colours(shown: AtTerminal) -> set[str]:
    """The colours of all that stands on the screen: of the letters, and of the ground where there are such."""
    seen = set()
    for row in range(shown.screen.lines):
        for column in range(shown.screen.columns):
            sign = shown.screen.buffer[row][column]
            if sign.data.strip() or sign.reverse:
                seen.add(sign.fg)
            seen.add(sign.bg)
    return seen - {"default"} | ({"default"} if _undyed(shown) else set())


def _undyed(shown: AtTerminal) -> bool:
    return any(
        sign.data.strip() and sign.fg == "default"
        for row in range(shown.screen.lines)
        for sign in shown.screen.buffer[row].values()
    )


@at_terminals
def test_a_long_answer_stops_at_its_first_screen_and_says_how_to_leave(start: Start) -> None:
    shown = start(*LONG)
    assert ASKS in shown.wait_for(ASKS)
    first = shown.text
    shown.keys(" ")
    shown.wait(lambda: shown.text != first and ASKS in shown.text)
    shown.keys("q")
    assert shown.ended() == 0
    assert LAST_WORD not in shown.raw


@at_terminals
@pytest.mark.parametrize(
    ("words", "environment"),
    [
        (LONG, {"OBSLOG_PAGER": ""}),
        (LONG, {"PAGER": "cat"}),
        ((*LONG, "--no-pager"), {}),
        ((*LONG, "--json"), {}),
        (LONG, {"TERM": "dumb"}),
        (("scales", "--help"), {}),
    ],
)
def test_no_pager_where_none_is_wanted_or_needed(
    start: Start, words: tuple[str, ...], environment: dict[str, str]
) -> None:
    shown = start(*words, **environment)
    assert shown.ended() == 0
    assert ASKS not in shown.raw


@at_terminals
@pytest.mark.parametrize("term", ["xterm", "xterm-256color", "linux"])
def test_all_is_red_in_the_pager_too(start: Start, term: str) -> None:
    red = "af0000" if term == "xterm-256color" else "red"
    shown = start("--red", *LONG, TERM=term)
    shown.wait_for(ASKS)
    assert colours(shown) == {red}
    shown.keys("/the")
    shown.wait_for("/the")
    assert colours(shown) == {red}, "what is typed for a search"
    shown.keys("\r")
    shown.wait_for(ASKS)
    assert colours(shown) == {red}, "what was found"
    assert any(sign.reverse for row in range(22) for sign in shown.screen.buffer[row].values())
    shown.keys("h=")
    shown.wait_for("lines")
    assert colours(shown) == {red}, "its own help stays away, and where one is in the page is told in red"
    shown.keys("G")
    shown.wait_for("(end)")
    assert colours(shown) == {red}
    shown.keys("q")
    assert shown.ended() == 0
    assert set(re.findall(r"\x1b\[(3\d|9\d|38;5;\d+|4\d)m", shown.raw)) == {
        "38;5;124" if term == "xterm-256color" else "31"
    }


@pytest.mark.skipif(which("more") is None, reason="needs more")
def test_where_there_is_only_more_all_is_red_too_and_no_line_is_broken(start: Start) -> None:
    shown = start("--red", *LONG, OBSLOG_PAGER="more")
    shown.wait_for("More")
    assert colours(shown) == {"af0000"}
    by_less = start("--red", *LONG)
    by_less.wait_for(ASKS)
    assert shown.screen.display[:22] == by_less.screen.display[:22]
    shown.keys(" q")
    assert shown.ended() == 0


def test_the_file_of_keys_is_there_for_the_red_look_alone_and_gone_afterwards() -> None:
    with keys_of_less(USUAL) as given:
        assert given == {}
    with keys_of_less(RED) as given:
        keys = Path(given["LESSKEYIN"])
        assert "h noaction" in keys.read_text().splitlines()
    assert not keys.parent.exists()


def test_without_room_for_its_keys_less_is_started_all_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    def full() -> str:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("tempfile.mkdtemp", full)
    with keys_of_less(RED) as given:
        assert given == {}


@at_terminals
def test_help_goes_through_the_pager_and_is_red(start: Start) -> None:
    shown = start("--help", "--red")
    shown.wait_for(ASKS)
    assert "Usage: obslog" in shown.text
    assert colours(shown) == {"af0000"}
    shown.keys("q")
    assert shown.ended() == 0


@at_terminals
def test_the_help_of_who_types_the_programs_name_alone_stops_at_its_first_screen(start: Start) -> None:
    shown = start()
    shown.wait_for(ASKS)
    assert "Usage: obslog" in shown.text
    shown.keys("q")
    assert shown.ended() == 2


@at_terminals
def test_a_pager_that_is_left_early_or_stopped_leaves_the_exit_code(start: Start) -> None:
    for keys in ("q", "\x03 q"):
        shown = start(*LONG)
        shown.wait_for(ASKS)
        for key in keys:
            answered(shown, key)
        assert shown.ended() == 0
        assert "Traceback" not in shown.raw
        assert "Stopped" not in shown.raw


def answered(shown: AtTerminal, key: str) -> None:
    """Press a key, and wait for what is written in answer: a terminal forgets the keys behind a Ctrl-C."""
    seen = len(shown.raw)
    shown.keys(key)
    shown.wait(lambda: len(shown.raw) > seen)


@at_terminals
def test_a_pager_that_reads_nothing_is_no_failure(start: Start, tmp_path: Path) -> None:
    pager = tmp_path / "seen-enough"
    pager.write_text("#!/bin/sh\nexit 0\n")
    pager.chmod(0o755)
    shown = start(*LONG, OBSLOG_PAGER=str(pager))
    assert shown.ended() == 0
    assert "Traceback" not in shown.raw


@at_terminals
@pytest.mark.parametrize("way", ["missing", "failing", "killed"])
def test_what_a_broken_pager_does_not_show_is_shown_without_it(
    start: Start, tmp_path: Path, way: str
) -> None:
    pager = tmp_path / "broken"
    if way != "missing":
        pager.write_text("#!/bin/sh\n" + ("kill -9 $$\n" if way == "killed" else "exit 3\n"))
        pager.chmod(0o755)
    shown = start(*LONG, OBSLOG_PAGER=str(pager))
    shown.wait_for(LAST_WORD)
    assert shown.ended() == 0
    said = f"The pager {pager} cannot be started."
    last = "".join(shown.raw.split()[-60:])  # a long path is broken at the edge of the terminal
    assert (said.replace(" ", "") in last) is (way == "missing")


@at_terminals
def test_an_error_comes_behind_what_was_shown_and_its_exit_code_stays(start: Start) -> None:
    shown = start("words", "no such word at all")
    assert shown.ended() == 2
    assert ASKS not in shown.raw


@at_terminals
def test_no_page_is_turned_at_the_prompt(start: Start) -> None:
    shown = start("prompt")
    shown.wait_for("no night open")
    shown.line("help")
    assert shown.at_prompt()
    assert ASKS not in shown.raw.replace("quit or Ctrl-D leaves", "")


@at_terminals
def test_without_a_keyboard_nothing_waits_for_a_key(in_club: Program) -> None:
    told = at_a_pseudo_terminal(in_club, f"{sys.executable} -m obslog words < /dev/null")
    assert LAST_WORD in told


@at_terminals
def test_a_short_answer_loads_nothing_of_the_pager(in_club: Program) -> None:
    script = (
        "import sys; from obslog.cli.main import main; main(['mount', 'show', 'Heron']); "
        "print('loaded' if 'obslog.cli.look.pager' in sys.modules else 'spared')"
    )
    told = at_a_pseudo_terminal(in_club, f'{sys.executable} -c "{script}"')
    assert "Heron" in told
    assert told.split()[-1] == "spared"


def at_a_pseudo_terminal(program: Program, line: str) -> str:
    """What a line of the shell shows at a terminal, where nobody presses a key."""
    import pexpect

    environment = {
        **{name: os.environ[name] for name in ("PATH", "HOME") if name in os.environ},
        **program.environment,
        "TERM": "xterm",
        "PYTHONPATH": str(Path(__file__).resolve().parents[3]),
        "LC_ALL": "C.UTF-8",
    }
    child = pexpect.spawn("/bin/sh", ["-c", line], env=environment, encoding="utf-8", timeout=120)
    child.expect(pexpect.EOF)
    child.close()
    assert child.exitstatus == 0, child.before
    return str(child.before)
