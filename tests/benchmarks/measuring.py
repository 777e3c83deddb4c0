"""What all benchmarks share: two things timed in turn, memory in a process of its own, and goals met or missed.

Processor time is taken, not the clock's: on a machine that others use too it changes far less. Each side does its whole
work once before anything counts, then the two take turns, and the best of each is kept.
"""

import os
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # processor time of several threads would count them all

Work = Callable[[], object]


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One measured value, and the goal for it if there is one."""

    what: str
    against: str
    value: float
    at_most: float | None = None
    at_least: float | None = None
    unit: str = ""

    @property
    def missed(self) -> bool:
        above = self.at_most is not None and self.value > self.at_most
        return above or (self.at_least is not None and self.value < self.at_least)

    @property
    def goal(self) -> str:
        if self.at_most is not None:
            return f"at most {self.at_most:g}{self.unit}"
        return "" if self.at_least is None else f"at least {self.at_least:g}{self.unit}"

    @property
    def measured(self) -> str:
        digits = f"{self.value:.2f}" if self.value < 10 else f"{self.value:.0f}"
        return f"{digits}{self.unit}{', missed' if self.missed else ''}"


@dataclass(slots=True)
class Report:
    """The lines measured so far; each is printed as it comes."""

    lines: list[Line] = field(default_factory=list)

    def add(
        self,
        what: str,
        against: str,
        value: float,
        *,
        at_most: float | None = None,
        at_least: float | None = None,
        unit: str = "",
    ) -> None:
        line = Line(what=what, against=against, value=value, at_most=at_most, at_least=at_least, unit=unit)
        self.lines.append(line)
        against = f" against {line.against}" if line.against else ""
        print(f"{line.what}{against}: {line.measured}{f' ({line.goal})' if line.goal else ''}", flush=True)

    def missed(self) -> int:
        return sum(line.missed for line in self.lines)

    def table(self) -> list[str]:
        """The lines as a table of a page."""
        rows = [f"| {line.what} | {line.against} | {line.goal} | {line.measured} |" for line in self.lines]
        return ["| what | against | goal | measured |", "|---|---|---|---|", *rows]


def seconds(work: Work) -> float:
    """Processor time of one run."""
    start = time.process_time()
    work()
    return time.process_time() - start


def in_turn(works: Sequence[Work], runs: int = 5, timed: Callable[[Work], float] = seconds) -> list[float]:
    """The best of some runs of each, all warm, taking turns."""
    for work in works:
        timed(work)
    turns = [[timed(work) for work in works] for _ in range(runs)]
    return [min(times) for times in zip(*turns, strict=True)]


def peak_mb(module: str, function: str, *arguments: object) -> float:
    """The most memory that a process of its own needs, imports included, to call a function of a module once.

    Linux counts what the process that started it held into the usual number (getrusage), so it is read from /proc.
    """
    code = (
        f"from {module} import {function}\n{function}(*{arguments!r})\n"
        "print(next(line.split()[1] for line in open('/proc/self/status') if line.startswith('VmHWM')))"
    )
    child = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    return int(child.stdout.split()[-1]) / 1024
