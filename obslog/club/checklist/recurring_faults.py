"""What keeps going wrong at a step, in one line: "summer time wrong on 2 of the last 6 nights with Tomasz"."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from obslog.club.aligning.mistake_words import mistakes_in
from obslog.club.checklist.setup_outcomes import Wrong
from obslog.vocabulary.mistakes import Cause, SetupFault

FEWEST_TIMES = 2
"""One bad night is a night, not a habit."""

CAUSE_WORDS: dict[Cause | SetupFault, str] = {
    Cause.SUMMER_TIME: "summer time wrong",
    Cause.CLOCK: "clock wrong",
    Cause.TIME_ZONE: "time zone wrong",
    Cause.MORNING_FOR_EVENING: "morning given for evening",
    Cause.DATE: "date wrong",
    Cause.DAY_AND_MONTH_SWAPPED: "day and month swapped",
    Cause.LONGITUDE_SIGN: "longitude given with the wrong sign",
    Cause.ANOTHER_SITES_LONGITUDE: "another site still keyed in",
    Cause.DEGREES_AND_MINUTES: "degrees and minutes mixed up",
    Cause.LATITUDE: "latitude wrong",
    Cause.DECLINATION_ZERO: "home position off",
    Cause.HOUR_AXIS_HOME: "home position off",
    Cause.WRONG_STAR: "wrong star taken",
    Cause.SENT_TO_ANOTHER_STAR: "sent to another star",
    Cause.POLAR_AXIS: "polar axis far off",
    SetupFault.TILTED_BASE: "base far from level",
    SetupFault.FIRST_STAR_LOST: "first star not found",
    SetupFault.FAR_LANDINGS: "go-tos landed far out",
    SetupFault.BEGUN_ANEW: "given up and set up again",
}


@dataclass(frozen=True, slots=True)
class Trouble:
    """The commonest trouble at a step: its words, how often, and by which cause or text it is known (None: any)."""

    words: str
    count: int
    cause: Cause | SetupFault | None = None
    text: str | None = None

    def covers(self, wrong: Wrong) -> bool:
        if self.cause is not None:
            return cause_of(wrong) == self.cause
        return self.text is None or wrong.text == self.text


def main_trouble(wrongs: Sequence[Wrong], title: str) -> Trouble:
    """A cause or a text that makes up half of all and came twice or more; else whatever went wrong at the step."""
    causes = Counter(cause for one in wrongs if (cause := cause_of(one)) is not None)
    texts = Counter(one.text for one in wrongs)
    cause, by_cause = causes.most_common(1)[0] if causes else (None, 0)
    text, by_text = texts.most_common(1)[0]
    least = max(FEWEST_TIMES, len(wrongs) / 2)
    if cause is not None and by_cause >= least:
        return Trouble(CAUSE_WORDS[cause], by_cause, cause=cause)
    if by_text >= least:
        return Trouble(f'"{text}"', by_text, text=text)
    return Trouble(f"trouble at '{title}'", len(wrongs))


def evidence_words(trouble: Trouble, times: int, about: str, name: str, *, each_a_night: bool = True) -> str:
    """The line of evidence: in nights with a mount or a member where each time was another night, else in set-ups.

    A site is told in set-ups always, for several mounts stand there in one night.
    """
    units = "nights" if each_a_night and about != "site" else "set-ups"
    where = "at" if about == "site" else "with"
    return f"{trouble.words} on {trouble.count} of the last {times} {units} {where} {name}"


def cause_of(wrong: Wrong) -> Cause | SetupFault | None:
    """The mistake that explains it, or that its text names, if any."""
    return wrong.cause or next(iter(mistakes_in([wrong.text])), None)
