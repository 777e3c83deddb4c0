"""The entry: runs a command, and turns every failure into two lines and an exit code."""

import gc
import os
import sys
from collections.abc import Mapping, Sequence
from contextlib import suppress
from datetime import UTC, datetime
from functools import cache
from io import TextIOWrapper
from itertools import islice
from typing import TYPE_CHECKING, Any

from obslog.cli.look.look import OPTIONS, look_asked_for, shows_lines_only
from obslog.cli.look.reader_gone import nobody_reads
from obslog.cli.look.shown_values import shown
from obslog.cli.look.stand_ins import STAND_INS
from obslog.cli.look.windows_console import obeys_signs
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import Clock, State
from obslog.errors import ObslogError, WrongInput

if TYPE_CHECKING:
    from obslog.cli.look.held import Page

NOT_DONE, UNEXPECTED, INTERRUPTED, BROKEN_PIPE = 1, 70, 130, 141


def run() -> None:
    """The console script.

    One thread of linear algebra: the matrices here are small, and on a busy machine threads wait for one another.
    Python looks for cycles of dead objects hundreds of times less often, and not once more before it ends: what a
    command makes lives as long as it does, and to look through it again and again took a third of a checklist's time.
    """
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    gc.set_threshold(400_000, 20, 20)
    exit_code = main(sys.argv[1:])
    gc.freeze()
    sys.exit(exit_code)


def main(
    arguments: Sequence[str],
    clock: Clock = lambda: datetime.now(UTC),
    environment: Mapping[str, str] = os.environ,
) -> int:
    """Run one command line and give its exit code: 0 done, 1 could not be done, 2 wrong input."""
    arguments = options_first(arguments)
    screen = _screen(arguments, environment)
    with screen.heard_by_all():
        return _exit_code(arguments, State(clock=clock, environment=environment, screen=screen))


def _exit_code(arguments: Sequence[str], state: State) -> int:
    """Run the command, and say what went wrong; what it had shown before that is seen first."""
    screen = state.screen
    try:
        exit_code = _run(arguments, state)
        screen.flush()
        return exit_code
    except ObslogError as error:
        _explain(screen, error.message, error.hint, getattr(error, "details", ()))
        return error.exit_code
    except UnicodeEncodeError:  # bytes on the command line that this system's encoding does not know
        _explain(
            screen, "The input contains characters that cannot be decoded.", "Type it again in plain letters."
        )
        return WrongInput.exit_code
    except KeyboardInterrupt:
        screen.release(paged=False)
        screen.note("Stopped. No partial changes were saved.")
        return INTERRUPTED
    except OSError as error:
        _drop_output()
        if nobody_reads(error):
            return BROKEN_PIPE
        what = error.filename or "The output"
        _explain(
            screen,
            f"{what} cannot be read or written: {(error.strerror or str(error)).lower()}.",
            "Check the name, the folder and the room on the disk.",
        )
        return NOT_DONE
    except Exception as error:
        if state.environment.get("OBSLOG_DEBUG"):
            _explain(screen, *_whole_story(error))
            return UNEXPECTED
        _explain(
            screen,
            f"Something unexpected happened: {type(error).__name__}: {error}",
            "No partial changes were saved. OBSLOG_DEBUG=1 shows the full traceback; please report it.",
        )
        return UNEXPECTED


def options_first(arguments: Sequence[str]) -> list[str]:
    """The words with the program's own options before the command, for those may stand behind it too.

    What follows a `--` is left where it is.
    """
    end = arguments.index("--") if "--" in arguments else len(arguments)
    first: list[str] = []
    rest: list[str] = []
    words = iter(arguments[:end])
    for word in words:
        if word in (*OPTIONS, "--version") or word.startswith("--db="):
            first.append(word)
        elif word == "--db" and (value := list(islice(words, 1))):
            first += [word, *value]
        else:
            rest.append(word)
    return [*first, *rest, *arguments[end:]]


def _run(arguments: Sequence[str], state: State) -> int:
    try:
        result = _program()(args=list(arguments), obj=state, standalone_mode=False, prog_name="obslog")
    except SystemExit as ended:
        # So Typer ends where the reader of the output has gone, and where a shell asks.
        if isinstance(ended.__context__, BrokenPipeError):
            raise ended.__context__ from None
        return ended.code if isinstance(ended.code, int) else 0
    except Exception as error:
        if not hasattr(error, "exit_code") or isinstance(error, ObslogError):
            raise
        if not hasattr(error, "format_message"):  # asked to exit
            return int(error.exit_code)
        context = getattr(error, "ctx", None)
        if context is not None and type(error).__name__ == "NoArgsIsHelpError":
            state.screen.begin_answer()
            state.screen.note(context.command.get_help(context))
            state.screen.release()
            return int(error.exit_code)
        from obslog.cli.terminal.word_order import meant_by_words
        from obslog.cli.terminal.wrong_words import what_and_hint

        meant = meant_by_words(arguments, _program().commands)
        _explain(state.screen, *what_and_hint(error.format_message(), context, meant))
        return int(error.exit_code)
    if result == INTERRUPTED:  # so Typer answers to Ctrl-C
        raise KeyboardInterrupt
    return result if isinstance(result, int) else 0


@cache
def _program() -> Any:
    """The program as it is built from its table, once: what one call needs is handed in with the call."""
    from typer.main import get_command

    from obslog.cli.app import app

    return get_command(app)


def _screen(arguments: Sequence[str], environment: Mapping[str, str]) -> Screen:
    """The screen is there before the arguments are understood, so that it can say what is wrong with them."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors=STAND_INS)
    if isinstance(sys.stdin, TextIOWrapper) and not sys.stdin.isatty():
        with suppress(OSError):  # what was read before cannot be read otherwise
            sys.stdin.reconfigure(encoding="utf-8-sig", errors="surrogateescape")
    end = arguments.index("--") if "--" in arguments else len(arguments)
    options = [word for word in arguments[:end] if word in OPTIONS]
    at_terminal = sys.stdout.isatty() or sys.stderr.isatty()
    obeys = obeys_signs((sys.stdout, sys.stderr))
    look = look_asked_for(options, environment, at_terminal=at_terminal, obeys_signs=obeys)
    screen = Screen(sys.stdout, sys.stderr, look)
    if "--no-pager" not in options and _has_a_reader(environment):
        screen.hold(_page(screen, environment), _size)
    return screen


def _has_a_reader(environment: Mapping[str, str]) -> bool:
    """Whether somebody sits at a terminal on which a page can be turned."""
    if not (sys.stdout.isatty() and sys.stdin.isatty()) or shows_lines_only(environment, sys.platform):
        return False
    try:
        sys.stdout.fileno()
    except (OSError, ValueError):
        return False
    return True


def _size() -> tuple[int, int]:
    import shutil

    return shutil.get_terminal_size()


def _page(screen: Screen, environment: Mapping[str, str]) -> "Page":
    """What shows a text in the pager; it is imported for a text that is long."""
    out, _ = screen.terminal

    def page(text: str) -> str | None:
        from obslog.cli.look.pager import Pager

        return Pager(out=out, look=screen.look, environment=environment).show(text)

    return page


def _drop_output() -> None:
    """Nobody takes the output: keep the interpreter from complaining when it flushes at exit."""
    with suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _explain(screen: Screen, what: str, hint: str, details: Sequence[str] = ()) -> None:
    """One line what, one line each for the details, one line what to do, whatever was typed."""
    screen.release()
    screen.note(shown(what, one_line=True), style="bold")
    for detail in details:
        screen.note("  " + shown(detail, one_line=True))
    screen.note(shown(hint, one_line=True))


def _whole_story(error: Exception) -> tuple[str, str, list[str]]:
    """The traceback as the details of what is wrong, for it is to be seen in the look of the screen too."""
    from traceback import format_exception

    story = "".join(format_exception(error)).splitlines()
    return f"Something unexpected happened: {type(error).__name__}: {error}", "Please report it.", story
