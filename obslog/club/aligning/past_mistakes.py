"""The mistakes that a club made on past nights, and what they move: how often, and which, before anything is seen."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from obslog.english import counted
from obslog.pointing.mistakes.prior import CONFIDENCE, RATE_SETUPS, Past
from obslog.vocabulary.mistakes import Cause

REMEMBERED_DAYS = 5 * 365.25
"""People come and go: what a club did longer ago says little of who sets up tonight. Judged."""
MOST_NAMED = 3


@dataclass(frozen=True, slots=True)
class Mistake:
    """A mistake and its night; named by people in a snag, or so surely by where a first star landed."""

    night: date
    cause: Cause


@dataclass(frozen=True, slots=True)
class PastMistakes:
    """Mistakes of all nights, and on how many set-ups of each night it was measured where the first star stood."""

    mistakes: tuple[Mistake, ...] = ()
    measured: Mapping[date, int] | None = None

    def before(self, night: date) -> Past:
        """What was on record before that night, of the last years.

        A mistake counts once a night, however many set-ups it spoilt or people named it: one strange night is one.
        What a night is judged by comes from earlier ones, so that no answer bears out itself.
        """
        since = night - timedelta(days=REMEMBERED_DAYS)
        made = {(one.night, one.cause) for one in self.mistakes if since <= one.night < night}
        measured = sum(count for day, count in (self.measured or {}).items() if since <= day < night)
        return Past(counts=Counter(cause for _, cause in sorted(made)), setups=measured)


NOTHING_BEFORE = PastMistakes()


def past_words(past: Past) -> str:
    """One line that says what the answers were weighed by beforehand."""
    made = sum(past.counts.values())
    if not made and not past.setups:
        return "Weighed beforehand by common practice alone: past nights tell no mistake and no first star."
    often = sorted(past.counts.items(), key=lambda item: (-item[1], item[0]))
    named = [f"{cause} {times}" for cause, times in often[:MOST_NAMED]]
    more = sum(times for _, times in often[MOST_NAMED:])
    which = f" ({', '.join([*named, *([f'others {more}'] if more else [])])})" if named else ""
    return (
        f"Weighed beforehand by common practice, worth {CONFIDENCE:.0f} mistakes and {RATE_SETUPS:.0f} set-ups, and by "
        f"this club's past nights: {counted(made, 'mistake')}{which} beside "
        f"{counted(past.setups, 'first star')} measured."
    )


def again_words(past: Past, cause: Cause) -> str:
    """A sentence with a space before it, where this club made that mistake before; else nothing."""
    times = past.counts.get(cause, 0)
    return f" It was that on {counted(times, 'past night')} of this club." if times else ""
