"""How output looks: in which colours the terminal can show it, in the dim red or not, with signs and styles or plainly.

What is asked for on the command line goes before what the environment says, and that before what is kept in the
person's settings. The colours are those of the terminal; NO_COLOR takes them away (no-color.org), but not from who
types --red, and FORCE_COLOR (force-color.org) gives some to a terminal that is not known to have any.
"""

import re
import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from obslog.settings import UnreadableSettings, look_kept

PLAIN, RED, USUAL = "plain", "red", "usual"
LOOKS = (USUAL, RED, PLAIN)
OPTIONS = ("--red", "--plain", "--no-pager")
RED_HEX = "#a00000"
_SHOW_LINES_ONLY = ("dumb", "unknown")
_NO_COLOURS = re.compile(r"dumb|unknown|vt52|vt[1-3]\d\d?([-+].*)?|.*-(m|mono)")
_SIXTEEN = re.compile(r"linux.*|.*-16color|cygwin|ansi")
_MANY = re.compile(r".*-256color|.*(kitty|alacritty|wezterm|ghostty)|foot.*")
_OFF = ("0", "no", "off", "false")


class Depth(StrEnum):
    """How many colours a terminal has."""

    NONE = "none"
    SIXTEEN = "16"
    MANY = "256"
    TRUE = "16 million"


# The dim red in each: of the 16 the red that is not bright, of the 256 the nearest to RED_HEX of those without any
# green or blue: entry 124 of xterm's cube is (175, 0, 0), entry 88 is (135, 0, 0).
RED_IN = {Depth.SIXTEEN: "red", Depth.MANY: "color(124)", Depth.TRUE: RED_HEX}
RED_SIGNS = {Depth.SIXTEEN: "\x1b[31m", Depth.MANY: "\x1b[38;5;124m", Depth.TRUE: "\x1b[38;2;160;0;0m"}
END_SIGNS = "\x1b[0m"
STYLE_SIGNS = re.compile(r"\x1b\[[0-9;]*m")


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """`plain_piped` is also plain where output is no terminal, `red_piped` also red there."""

    red: bool = False
    plain: bool = False
    plain_piped: bool = False
    red_piped: bool = False
    depth: Depth = Depth.SIXTEEN

    @property
    def is_red(self) -> bool:
        """Whether a terminal is written to in the one dim red."""
        return self.red and self.depth is not Depth.NONE

    @property
    def bold(self) -> bool:
        """Whether bold letters may be used; of 16 colours a bold red is a bright one on many terminals."""
        if self.plain or self.depth is Depth.NONE:
            return False
        return not (self.red and self.depth is Depth.SIXTEEN)

    @property
    def red_signs(self) -> tuple[str, str]:
        """What turns the red on and off; nothing in another look, or where no colour may be used."""
        return (RED_SIGNS[self.depth], END_SIGNS) if self.is_red else ("", "")


def look_asked_for(
    options: Sequence[str], environment: Mapping[str, str], *, at_terminal: bool, obeys_signs: bool = True
) -> Look:
    """The look of one command line; what is kept in the settings is read for a terminal alone.

    A terminal that takes signs for letters, and so does not obey them, has no colours whatever is asked for.
    """
    kept = _kept(environment) if at_terminal else None
    red_typed, plain_typed = "--red" in options, "--plain" in options
    depth = depth_of(environment, sys.platform)
    if not obeys_signs or (environment.get("NO_COLOR") and not red_typed):
        depth = Depth.NONE
    return Look(
        red=red_typed or _red_by(environment, kept),
        plain=plain_typed or _plain_by(environment, kept),
        plain_piped=plain_typed,
        red_piped=depth is not Depth.NONE and _forced(environment) is not None,
        depth=depth,
    )


def depth_of(environment: Mapping[str, str], platform: str) -> Depth:
    """How many colours the terminal says that it has; FORCE_COLOR may say that it has more, or none."""
    forced = _forced(environment)
    if forced is Depth.NONE:
        return forced
    own = _own_depth(environment, platform)
    order = list(Depth)
    return own if forced is None else max(own, forced, key=order.index)


def shows_lines_only(environment: Mapping[str, str], platform: str) -> bool:
    """Whether the terminal can only show lines one below the other, and knows no signs that steer it."""
    return platform != "win32" and environment.get("TERM", "dumb").strip().lower() in ("", *_SHOW_LINES_ONLY)


def _own_depth(environment: Mapping[str, str], platform: str) -> Depth:
    term = environment.get("TERM", "").strip().lower()
    if platform == "win32" and not term:
        return Depth.TRUE if environment.get("WT_SESSION") else Depth.SIXTEEN
    if _NO_COLOURS.fullmatch(term):
        return Depth.NONE
    if _SIXTEEN.fullmatch(term):
        return Depth.SIXTEEN
    if environment.get("COLORTERM", "").strip().lower() in ("truecolor", "24bit") or term.endswith("-direct"):
        return Depth.TRUE
    return Depth.MANY if _MANY.fullmatch(term) else Depth.SIXTEEN


def _forced(environment: Mapping[str, str]) -> Depth | None:
    said = environment.get("FORCE_COLOR", "").strip().lower()
    if not said:
        return None
    if said in _OFF:
        return Depth.NONE
    return {"2": Depth.MANY, "3": Depth.TRUE}.get(said, Depth.SIXTEEN)


def _red_by(environment: Mapping[str, str], kept: str | None) -> bool:
    said = environment.get("OBSLOG_THEME", "").strip().lower()
    return (said or kept) == RED


def _plain_by(environment: Mapping[str, str], kept: str | None) -> bool:
    said = environment.get("OBSLOG_PLAIN", "").strip().lower()
    return said not in _OFF if said else kept == PLAIN


def _kept(environment: Mapping[str, str]) -> str | None:
    """What was kept; settings that cannot be read are told of by the command that needs them."""
    try:
        return look_kept(environment)
    except (UnreadableSettings, OSError):
        return None
