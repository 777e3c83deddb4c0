"""The pager: which one there is, and how a page is shown in it without a colour or a trouble of its own.

OBSLOG_PAGER names it, else PAGER; empty or `cat` means none. Else it is less, or more where there is no less. In the
red look only these two are used, for another may bring colours of its own: each line of the page turns the red on
itself, and what less draws itself (its last line, what was searched for) is put into red by its own variables.
What this module imports is imported for a page longer than the screen alone.
"""

import shlex
import shutil
import signal
import subprocess
import sys
import threading
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path, PurePath
from types import FrameType
from typing import IO, Any

from obslog.cli.look.look import END_SIGNS, STYLE_SIGNS, Look
from obslog.cli.look.stand_ins import STAND_INS

_NONE = ("", "cat")
# The last line says what may be pressed: nobody who meets the pager for the first time knows how to leave it. It is
# drawn as standing out, and so in the colours below; the mere colon that less has by itself is not.
_LESS = r"-R -F -X -Ps?e(end)  .space\: on  b\: back  q\: leave$"
_OWN = ("less", "more")
_RED_KEYS = "#command\nh noaction\nH noaction\n"


def pager_words(environment: Mapping[str, str], look: Look, platform: str = sys.platform) -> list[str] | None:
    """The command of the pager; None where none is wanted, or there is none."""
    named = environment.get("OBSLOG_PAGER", environment.get("PAGER"))
    if named is not None:
        words = _split(named, platform)
        if not words or words[0] in _NONE:
            return None
        if not look.is_red or _name(words[0]) in _OWN:
            return [_program(words[0], environment, platform), *words[1:]]
    for own in ("more",) if platform == "win32" else _OWN:
        if shutil.which(own, path=environment.get("PATH")):
            return [_program(own, environment, platform)]
    return None


def _program(word: str, environment: Mapping[str, str], platform: str) -> str:
    """The program as it can be started: Windows looks by itself for `more.exe` alone, and its own is `more.com`."""
    found = shutil.which(word, path=environment.get("PATH")) if platform == "win32" else None
    return found or word


def pager_environment(environment: Mapping[str, str], look: Look) -> dict[str, str]:
    """What the pager is started with. A person's own LESS stays, but for the red look, where it may bring colours."""
    given = dict(environment)
    if not look.is_red:
        given.setdefault("LESS", _LESS)
        return given
    start, _ = look.red_signs
    kept = {
        name: value
        for name, value in given.items()
        if not name.startswith(("LESS", "MORE")) or name == "LESSCHARSET"
    }
    marked = f"{start}\x1b[7m"  # what was searched for, and the last line: letters of the ground on red
    plain = f"{END_SIGNS}{start}"
    own = {"so": marked, "se": plain, "md": start, "me": plain, "us": start, "ue": plain, "mb": start}
    return {
        **kept,
        "LESS": _LESS,
        "LESSHISTFILE": "-",
        **{f"LESS_TERMCAP_{name}": signs for name, signs in own.items()},
    }


def for_pager(text: str, look: Look, pager: str) -> str:
    """The page as that pager gets it: in the red look each line turns the red on, and none turns it off.

    For more there are no such signs in it: it takes them for letters, and breaks its lines too early. What is written
    to the terminal before it starts holds, for it turns nothing off.
    """
    if pager == "more":
        return STYLE_SIGNS.sub("", text)
    if not look.is_red:
        return text
    start, _ = look.red_signs
    return "".join(f"{start}{line}\n" for line in STYLE_SIGNS.sub("", text).removesuffix("\n").split("\n"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Pager:
    """Shows pages at one terminal."""

    out: IO[str]
    look: Look
    environment: Mapping[str, str]

    def show(self, text: str) -> str | None:
        """Show the text and come back when the pager has ended; a text where that failed: why, where it was named."""
        words = pager_words(self.environment, self.look)
        if words is None:
            return ""
        if _name(words[0]) == "less" and not self.look.is_red:
            words.append("-R")
        start, end = self.look.red_signs
        self.out.write(start)
        self.out.flush()
        try:
            with _terminal_as_it_was(self.out):
                return None if self._run(words, for_pager(text, self.look, _name(words[0]))) else ""
        except OSError:
            return f"The pager {words[0]} cannot be started. OBSLOG_PAGER or PAGER names it."
        finally:
            self.out.write(end)
            self.out.flush()

    def _run(self, words: list[str], text: str) -> bool:
        """Whether the page was shown. One who ends the pager early, by a key or Ctrl-C, has seen enough."""
        with _ctrl_c_is_the_pagers() as pressed, keys_of_less(self.look) as keys:
            process: Any = subprocess.Popen(
                words,
                stdin=subprocess.PIPE,
                stdout=self.out.fileno(),
                env=pager_environment(self.environment, self.look) | keys,
            )
            with suppress(OSError):  # a pager that has ended reads no more
                process.stdin.write(text.encode(_encoding(self.out), STAND_INS))
            with suppress(OSError):
                process.stdin.close()
            failed = process.wait() != 0
        return bool(pressed) or not failed


@contextmanager
def _ctrl_c_is_the_pagers() -> Iterator[list[int]]:
    """While the pager runs, Ctrl-C is for it; gives the list of the times that it was pressed."""
    pressed: list[int] = []

    def press(number: int, _frame: FrameType | None) -> None:
        pressed.append(number)

    if threading.current_thread() is not threading.main_thread():
        yield pressed
        return
    before = signal.signal(signal.SIGINT, press)  # a handler, for what is ignored the pager would ignore too
    try:
        yield pressed
    finally:
        signal.signal(signal.SIGINT, before)


@contextmanager
def keys_of_less(look: Look) -> Iterator[dict[str, str]]:
    """In the red look less hears no key for its own help, whose letters have the colour of the terminal.

    A less before version 582 does not read such a file. Where none can be written the page is shown all the same.
    """
    if not look.is_red:
        yield {}
        return
    from tempfile import mkdtemp

    folder = None
    try:
        folder = Path(mkdtemp())
        (folder / "keys").write_text(_RED_KEYS, encoding="ascii")
        given = {"LESSKEYIN": str(folder / "keys")}
    except OSError:  # a full disk
        given = {}
    try:
        yield given
    finally:
        if folder is not None:
            shutil.rmtree(folder, ignore_errors=True)


@contextmanager
def _terminal_as_it_was(out: IO[str]) -> Iterator[None]:
    """Leave the terminal's own settings as they were: a pager that is killed leaves it without an echo."""
    if sys.platform == "win32":
        yield
        return
    import termios

    try:
        before = termios.tcgetattr(out.fileno())
    except termios.error:
        yield
        return
    try:
        yield
    finally:
        with suppress(termios.error):
            termios.tcsetattr(out.fileno(), termios.TCSADRAIN, before)


def _split(named: str, platform: str) -> list[str]:
    """The words of a command line; on Windows a backslash is a letter of a path."""
    try:
        words = shlex.split(named, posix=platform != "win32")
    except ValueError:  # a quote that is not closed
        words = named.split()
    return [word.strip('"') for word in words] if platform == "win32" else words


def _name(word: str) -> str:
    return PurePath(word).stem.casefold()


def _encoding(out: IO[str]) -> str:
    return "oem" if sys.platform == "win32" else (getattr(out, "encoding", None) or "utf-8")
