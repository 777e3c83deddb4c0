"""The words by which a snag's text names a mistake of the alignment."""

import re
from collections import Counter

from obslog.vocabulary.mistakes import Cause
from obslog.vocabulary.steps import Step

TELL_TALE = {
    Cause.SUMMER_TIME: r"summer.?time|daylight",
    Cause.TIME_ZONE: r"time ?zone|\bzone\b",
    Cause.CLOCK: r"(?<!o')(?<!o’)\bclock\b(?! drive)|\btime (was )?wrong",
    Cause.DATE: r"date (was )?(wrong|a day)|a day (off|out)",
    Cause.DAY_AND_MONTH_SWAPPED: r"day and month|month and day",
    Cause.LONGITUDE_SIGN: r"longitude.*(sign|east|west)",
    Cause.ANOTHER_SITES_LONGITUDE: r"(last|other|old|another).*(site|place)",
    Cause.LATITUDE: r"^(?!.*\bscale\b).*\blatitude\b",
    Cause.WRONG_STAR: r"wrong star|another star|not \w+ but",
    Cause.DECLINATION_ZERO: (
        r"\bhome (?:position|mark)\b|\b(from|at) home\b.*\b(dec|declination|position)\b|not start(ed)? from home"
    ),
    Cause.POLAR_AXIS: r"polar axis|pole star nowhere",
}
"""Words by which a snag's text is counted for a mistake; the first that fits counts, so the narrower come first."""
OF_NO_ALIGNMENT = frozenset(
    {
        Step.PACK,
        Step.GROUND,
        Step.ASSEMBLE,
        Step.BALANCE,
        Step.FINDER,
        Step.CABLES,
        Step.POWER,
        Step.COOL,
        Step.WRITE_DOWN,
        Step.FINISH,
    }
)
"""Steps at which these words speak of something else: of what was left at home, of the last site's mud."""


def mistakes_in(texts: list[str]) -> Counter[Cause]:
    """How often each mistake is named in texts of snags."""
    found: Counter[Cause] = Counter()
    for text in texts:
        named = (name for name, pattern in TELL_TALE.items() if re.search(pattern, text, re.IGNORECASE))
        if (name := next(named, None)) is not None:
            found[name] += 1
    return found
