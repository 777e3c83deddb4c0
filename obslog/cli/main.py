"""The entry: runs a command, and turns every failure into two lines and an exit code."""

import os
import sys
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime

from obslog.cli.screen import Screen
from obslog.cli.state import Clock, State
from obslog.errors import ObslogError
from obslog.settings import red_theme

UNEXPECTED, INTERRUPTED, BROKEN_PIPE = 70, 130, 141


def run() -> None:
    """The console script.

    One thread of linear algebra: the matrices here are small, and on a busy machine threads wait for one another.
    """
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    sys.exit(main(sys.argv[1:]))


def main(
    arguments: Sequence[str],
    clock: Clock = lambda: datetime.now(UTC),
    environment: Mapping[str, str] = os.environ,
) -> int:
    """Run one command line and give its exit code: 0 done, 1 could not be done, 2 wrong input."""
    screen = _screen(arguments, environment)
    try:
        return _run(arguments, State(clock, environment, screen))
    except ObslogError as error:
        _explain(screen, error.message, error.hint, getattr(error, "details", ()))
        return error.exit_code
    except KeyboardInterrupt:
        screen.note("Stopped. Nothing was half written.")
        return INTERRUPTED
    except BrokenPipeError:
        # The reader has gone: keep the interpreter from complaining when it flushes at exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return BROKEN_PIPE
    except Exception as error:
        if environment.get("OBSLOG_DEBUG"):
            raise
        _explain(
            screen,
            f"Something unexpected happened: {type(error).__name__}: {error}",
            "Nothing was half written. With OBSLOG_DEBUG=1 the whole story is shown; please report it.",
        )
        return UNEXPECTED


def _run(arguments: Sequence[str], state: State) -> int:
    from obslog.cli.app import app

    try:
        result = app(args=list(arguments), obj=state, standalone_mode=False, prog_name="obslog")
    except Exception as error:
        if not hasattr(error, "exit_code") or isinstance(error, ObslogError):
            raise
        if not hasattr(error, "format_message"):  # asked to exit
            return int(error.exit_code)
        context = getattr(error, "ctx", None)
        command = context.command_path if context else "obslog"
        _explain(
            state.screen,
            error.format_message().replace("Value error, ", ""),
            f"See how it goes: {command} --help",
        )
        return int(error.exit_code)
    return result if isinstance(result, int) else 0


def _screen(arguments: Sequence[str], environment: Mapping[str, str]) -> Screen:
    """The screen is there before the arguments are understood, so that it can say what is wrong with them."""
    plain = bool(environment.get("NO_COLOR"))
    return Screen(sys.stdout, sys.stderr, red=red_theme("--red" in arguments, environment), plain=plain)


def _explain(screen: Screen, what: str, hint: str, details: Sequence[str] = ()) -> None:
    screen.note(what, style="bold")
    for detail in details:
        screen.note("  " + detail)
    screen.note(hint)
