"""Text broken into lines of a width, between words where it can be and within a word where it must."""

import re
from collections.abc import Callable

from obslog.report.forms.signs import ELLIPSIS

Measure = Callable[[str], float]
_LONGEST_LOOKED_AT = 4000
_PIECE = re.compile(r"\s+|[^\s_]+_*|_+")  # the name of a column is broken behind its underscores


def wrapped(text: str, width: float, measure: Measure, most: int | None = None) -> list[str]:
    """The lines of a text, none wider than `width`; at most `most`, the last with an ellipsis where it goes on."""
    looked_at = text if most is None else text[:_LONGEST_LOOKED_AT]
    lines: list[str] = []
    line = ""
    for piece in _PIECE.findall(looked_at):
        if measure((line + piece).rstrip()) <= width:
            line += piece if line else piece.lstrip()
            continue
        if line:
            lines.append(line.rstrip())
        line = piece.lstrip()
        while measure(line) > width and (most is None or len(lines) <= most):
            length = _fits(line, width, measure)
            lines.append(line[:length])
            line = line[length:]
        if most is not None and len(lines) > most:
            break
    lines.append(line.rstrip())
    lines = [kept for kept in lines if kept] or [""]
    cut = len(lines) > (most or len(lines)) or (len(looked_at) < len(text))
    return (
        [*lines[: most - 1], _ended(lines[most - 1], width, measure)]
        if most and cut and len(lines) >= most
        else lines
    )


def _ended(line: str, width: float, measure: Measure) -> str:
    """The line with an ellipsis at its end."""
    if measure(line + ELLIPSIS) <= width:
        return line + ELLIPSIS
    return line[: _fits(line, width - measure(ELLIPSIS), measure)].rstrip() + ELLIPSIS


def _fits(line: str, width: float, measure: Measure) -> int:
    """How many signs of the line fit, at least one; by halves, for a name may be long."""
    low, high = 1, len(line)
    while low < high:
        middle = (low + high + 1) // 2
        low, high = (middle, high) if measure(line[:middle]) <= width else (low, middle - 1)
    return low
