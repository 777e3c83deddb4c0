"""The bottom line of the prompt: where and when one is, what is set up, and how long until the sky changes."""

from datetime import datetime
from typing import TYPE_CHECKING

from obslog.club.evening.asked import PromptSettings
from obslog.club.evening.standing import EveningStanding
from obslog.english import counted
from obslog.times import shown_local

if TYPE_CHECKING:
    from obslog.club.evening.night_hours import NightChange

GAP = "  "
HOURS_FROM = 2  # what is further off is told in hours too: nobody divides 450 minutes in the dark


def bottom_line(
    standing: EveningStanding,
    settings: PromptSettings,
    change: "NightChange | None",
    now: datetime,
    width: int,
) -> str:
    """The parts that are known, on as many lines as they need."""
    return "\n".join(_packed(list(parts(standing, settings, change, now)), width))


def parts(
    standing: EveningStanding, settings: PromptSettings, change: "NightChange | None", now: datetime
) -> list[str]:
    """What the bottom line says, part by part."""
    said = [standing.site or "no site", shown_local(now, standing.zone)]
    if standing.night is None:
        said.append("no night open")
    elif standing.several:
        said.append(f"{counted(len(standing.several), 'set-up')} open: setup MOUNT")
    elif standing.mount is None:
        said.append("no set-up")
    else:
        said += [standing.mount, f"next {standing.next_number}"]
    if standing.pier is not None:
        said.append(f"pier {standing.pier}")
    if change is not None and change.at_utc > now:
        minutes = max(1, round((change.at_utc - now).total_seconds() / 60))
        said.append(f"{change.what} in {_duration(minutes)}")
    if settings.quiet:
        said.append("quiet")
    if standing.stocktake:
        said.append(_counting(settings))
    return said


def _counting(settings: PromptSettings) -> str:
    if not settings.counting:
        return "stocktake open"
    return f"counting at {settings.place}" if settings.place else "counting"


def _duration(minutes: int) -> str:
    hours, rest = divmod(minutes, 60)
    if hours < HOURS_FROM:
        return f"{minutes} min"
    return f"{hours} h {rest} min" if rest else f"{hours} h"


def _packed(said: list[str], width: int) -> list[str]:
    lines = [""]
    for part in said:
        grown = f"{lines[-1]}{GAP}{part}" if lines[-1] else part
        if lines[-1] and len(grown) > width:
            lines.append(part[:width])
        else:
            lines[-1] = grown[:width]
    return lines
