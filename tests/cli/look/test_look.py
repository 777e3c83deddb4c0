"""Which look is asked for, and what a terminal says of its colours."""

import json
from pathlib import Path

import pytest

from obslog.cli.look.look import Depth, depth_of, look_asked_for, shows_lines_only


@pytest.mark.parametrize(
    ("environment", "depth"),
    [
        ({"TERM": "xterm"}, Depth.SIXTEEN),
        ({}, Depth.SIXTEEN),
        ({"TERM": "linux"}, Depth.SIXTEEN),
        ({"TERM": "linux", "COLORTERM": "truecolor"}, Depth.SIXTEEN),  # left over from another terminal
        ({"TERM": "xterm-16color", "COLORTERM": "truecolor"}, Depth.SIXTEEN),
        ({"TERM": "xterm-256color"}, Depth.MANY),
        ({"TERM": "screen-256color"}, Depth.MANY),
        ({"TERM": "xterm-kitty"}, Depth.MANY),
        ({"TERM": "alacritty"}, Depth.MANY),
        ({"TERM": "xterm-256color", "COLORTERM": "truecolor"}, Depth.TRUE),
        ({"TERM": "tmux", "COLORTERM": "24bit"}, Depth.TRUE),
        ({"TERM": "xterm-direct"}, Depth.TRUE),
        ({"TERM": "xterm-256color", "COLORTERM": "yes"}, Depth.MANY),
        ({"TERM": "dumb"}, Depth.NONE),
        ({"TERM": "dumb", "COLORTERM": "truecolor"}, Depth.NONE),
        ({"TERM": "vt100"}, Depth.NONE),
        ({"TERM": "vt220"}, Depth.NONE),
        ({"TERM": "xterm-mono"}, Depth.NONE),
    ],
)
def test_a_terminal_has_the_colours_that_it_says(environment: dict[str, str], depth: Depth) -> None:
    assert depth_of(environment, "linux") is depth


@pytest.mark.parametrize(
    ("term", "forced", "depth"),
    [
        ("dumb", "1", Depth.SIXTEEN),
        ("dumb", "true", Depth.SIXTEEN),
        ("dumb", "2", Depth.MANY),
        ("dumb", "3", Depth.TRUE),
        ("xterm-256color", "1", Depth.MANY),  # never fewer than there are
        ("xterm-256color", "0", Depth.NONE),
        ("xterm-256color", "", Depth.MANY),
    ],
)
def test_colours_can_be_forced(term: str, forced: str, depth: Depth) -> None:
    assert depth_of({"TERM": term, "FORCE_COLOR": forced}, "linux") is depth


def test_a_window_of_windows_has_colours_without_a_name_of_its_kind() -> None:
    assert depth_of({}, "win32") is Depth.SIXTEEN
    assert depth_of({"WT_SESSION": "1"}, "win32") is Depth.TRUE
    assert not shows_lines_only({}, "win32")


@pytest.mark.parametrize(
    ("term", "lines_only"),
    [("dumb", True), ("unknown", True), ("", True), ("xterm", False), ("vt100", False)],
)
def test_a_terminal_of_lines_is_told_apart(term: str, lines_only: bool) -> None:
    assert shows_lines_only({"TERM": term}, "linux") is lines_only


@pytest.mark.parametrize(
    ("options", "environment", "kept", "red", "plain"),
    [
        ([], {}, None, False, False),
        (["--red"], {}, None, True, False),
        ([], {"OBSLOG_THEME": " RED "}, None, True, False),
        ([], {"OBSLOG_THEME": "blue"}, None, False, False),
        ([], {}, "red", True, False),
        ([], {"OBSLOG_THEME": "usual"}, "red", False, False),
        (["--plain"], {}, None, False, True),
        ([], {"OBSLOG_PLAIN": "1"}, None, False, True),
        ([], {"OBSLOG_PLAIN": "0"}, "plain", False, False),
        ([], {"OBSLOG_PLAIN": ""}, "plain", False, True),
        ([], {}, "plain", False, True),
        (["--red"], {}, "plain", True, True),
        (["--plain"], {"OBSLOG_THEME": "red"}, None, True, True),
    ],
)
def test_the_line_comes_before_the_environment_and_that_before_what_is_kept(
    tmp_path: Path, options: list[str], environment: dict[str, str], kept: str | None, red: bool, plain: bool
) -> None:
    (tmp_path / "settings.json").write_text(json.dumps({"me": "Ines"} | ({"look": kept} if kept else {})))
    look = look_asked_for(
        options, {"TERM": "xterm", "OBSLOG_CONFIG": str(tmp_path), **environment}, at_terminal=True
    )
    assert (look.is_red, look.plain) == (red, plain)


def test_what_is_kept_is_for_terminals_and_what_is_typed_for_pipes_too(tmp_path: Path) -> None:
    (tmp_path / "settings.json").write_text('{"look": "plain"}')
    environment = {"OBSLOG_CONFIG": str(tmp_path)}
    assert not look_asked_for([], environment, at_terminal=False).plain
    assert not look_asked_for([], environment, at_terminal=True).plain_piped
    assert look_asked_for(["--plain"], environment, at_terminal=False).plain_piped


@pytest.mark.parametrize("broken", ["{", "[1]", '{"look": 5}', '{"look": "blue"}'])
def test_settings_that_cannot_be_read_give_the_usual_look(tmp_path: Path, broken: str) -> None:
    (tmp_path / "settings.json").write_text(broken)
    look = look_asked_for([], {"OBSLOG_CONFIG": str(tmp_path)}, at_terminal=True)
    assert (look.red, look.plain) == (False, False)


def test_no_color_takes_colours_away_but_not_from_who_types_the_option(tmp_path: Path) -> None:
    # no-color.org: what is given on the command line goes before the variable, which counts where it is not empty.
    base = {"TERM": "xterm", "OBSLOG_CONFIG": str(tmp_path)}
    by_environment = base | {"OBSLOG_THEME": "red", "NO_COLOR": "1"}
    assert look_asked_for([], by_environment, at_terminal=True).red_signs == ("", "")
    assert look_asked_for(["--red"], base | {"NO_COLOR": "1"}, at_terminal=True).is_red
    assert look_asked_for([], base | {"OBSLOG_THEME": "red", "NO_COLOR": ""}, at_terminal=True).is_red
    forced = by_environment | {"FORCE_COLOR": "3"}
    assert look_asked_for([], forced, at_terminal=True).depth is Depth.NONE


@pytest.mark.parametrize(
    ("term", "colorterm", "signs"),
    [
        # ECMA-48: 31 is the red of the eight, 91 would be the bright one. xterm's cube of 6 x 6 x 6 begins at entry 16:
        # 124 = 16 + 36 x 3, three steps of red and none of green or blue.
        ("xterm", "", "\x1b[31m"),
        ("linux", "truecolor", "\x1b[31m"),
        ("xterm-256color", "", "\x1b[38;5;124m"),
        ("xterm-256color", "truecolor", "\x1b[38;2;160;0;0m"),
        ("dumb", "", ""),
    ],
)
def test_the_dim_red_is_written_in_what_the_terminal_can_show(term: str, colorterm: str, signs: str) -> None:
    look = look_asked_for(["--red"], {"TERM": term, "COLORTERM": colorterm}, at_terminal=False)
    assert look.red_signs[0] == signs


def test_of_the_colours_without_green_and_blue_the_nearest_is_taken() -> None:
    # xterm's cube has the steps 0, 95, 135, 175, 215, 255 in each colour; those of red alone are 16 + 36 n.
    steps = [0, 95, 135, 175, 215, 255]
    nearest = min(range(6), key=lambda n: abs(steps[n] - 0xA0))
    look = look_asked_for(["--red"], {"TERM": "xterm-256color"}, at_terminal=False)
    assert look.red_signs[0] == f"\x1b[38;5;{16 + 36 * nearest}m"


def test_a_red_of_sixteen_is_never_bold_for_that_is_bright_on_many_terminals() -> None:
    red = [
        look_asked_for(["--red"], {"TERM": term}, at_terminal=False) for term in ("xterm", "xterm-256color")
    ]
    assert [look.bold for look in red] == [False, True]
    assert look_asked_for([], {"TERM": "xterm"}, at_terminal=False).bold
