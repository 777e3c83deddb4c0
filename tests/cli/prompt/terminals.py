"""The prompt as somebody at a terminal sees it: keys go in, a screen comes out."""

import os
import signal
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pexpect
import pyte

ROOT = Path(__file__).resolve().parents[3]
LONGEST_S = 120.0
_NEW_LINE_TO_EDIT = "\x1b[?2004h"  # what the line editor sends when it begins a line
PROGRAM = (
    "import sys; from datetime import UTC, datetime; from obslog.cli.main import main; "
    "sys.exit(main(sys.argv[1:], lambda: datetime(2026, 3, 2, 21, 40, tzinfo=UTC)))"
)


class AtTerminal:
    """The program at a terminal of its own, at 21:40 on 2 March 2026."""

    def __init__(self, database: str, *words: str, columns: int = 80, **environment: str) -> None:
        kept = {name: os.environ[name] for name in ("PATH", "HOME", "TMPDIR", "LANG") if name in os.environ}
        environment = {"TERM": "xterm-256color", "LC_ALL": "C.UTF-8", **environment}
        self.raw = ""
        self.screen = pyte.Screen(columns, 24)
        self._stream = pyte.Stream(self.screen)
        self._child: Any = pexpect.spawn(
            sys.executable,
            ["-c", PROGRAM, *words],
            env={**kept, "PYTHONPATH": str(ROOT), "OBSLOG_DB": database, **environment},
            dimensions=(24, columns),
            encoding="utf-8",
            timeout=LONGEST_S,
        )

    @property
    def text(self) -> str:
        """What stands on the screen, without the spaces at the ends of lines."""
        return "\n".join(line.rstrip() for line in self.screen.display).rstrip()

    def keys(self, keys: str) -> None:
        self._child.send(keys)

    def line(self, typed: str) -> str:
        """Type a line, and give the screen when the next can be typed."""
        lines = self.raw.count(_NEW_LINE_TO_EDIT)
        self.keys(f"{typed}\r")
        self.wait(lambda: self.raw.count(_NEW_LINE_TO_EDIT) > lines and self.at_prompt())
        return self.text

    def at_prompt(self) -> bool:
        """Whether a line can be typed: the cursor stands behind an empty prompt, and the bottom line below it."""
        row = self.screen.display[self.screen.cursor.y]
        return row.rstrip() in (">", "yes?", "which?") and self.screen.cursor.x == len(row.rstrip()) + 1

    def wait_for(self, text: str) -> str:
        self.wait(lambda: text in self.text)
        return self.text

    def wait(self, until: Callable[[], bool]) -> None:
        """Read until that holds; fails with the screen where it never does."""
        end = time.monotonic() + LONGEST_S
        while not until():
            if time.monotonic() > end:
                raise AssertionError(f"waited in vain; the screen shows\n{self.text}")
            try:
                told = self._child.read_nonblocking(4096, 0.1)
            except pexpect.TIMEOUT:
                continue
            except pexpect.EOF:
                if until():
                    return
                raise AssertionError(f"the program ended; the screen shows\n{self.text}") from None
            self.raw += told
            self._stream.feed(told)

    def ended(self) -> int:
        """The exit code, when the program has ended of its own accord."""
        self._read_to_the_end()
        self._child.close()
        return int(self._child.exitstatus)

    def kill(self) -> None:
        """End it as a flat battery would."""
        self._child.kill(9)
        self.close()

    def hang_up(self) -> None:
        """End it as a window that is closed, or a line to another machine that breaks."""
        self._child.kill(signal.SIGHUP)
        self._read_to_the_end()
        self.close()

    def _read_to_the_end(self) -> None:
        """Keep what comes before the end too: an answer may still be on its way when it is waited for."""
        self._child.expect(pexpect.EOF)
        self.raw += self._child.before
        self._stream.feed(self._child.before)

    def close(self) -> None:
        self._child.close(force=True)
