"""The verdict on a mount in words: a sentence that any member understands, then the reasons with their numbers."""

from collections.abc import Sequence
from datetime import date
from math import exp

from obslog.club.over_time.hidden_words import cannot_tell_words, hidden_reason
from obslog.club.over_time.own_trends import AlarmNight, MountOwn
from obslog.english import counted, enumerated
from obslog.estimate_words import interval_words, p_words
from obslog.pointing.misfit.found_changes import FoundChange, chance_of_words, record_words
from obslog.trends.own.own_dependence import SEASON, OwnDependence
from obslog.trends.own.own_verdict import HARD_TO_TELL, HIDING, OWN_LEVEL, JointVerdict, OwnTrend
from obslog.trends.series.growth import DAYS_A_YEAR, growth_words
from obslog.trends.series.theil_sen import FEWEST_FOR_A_VERDICT, LEVEL, Verdict
from obslog.trends.series.trend import TOO_WIDE, Trend, on_nights, too_few_reason
from obslog.values import Interval
from obslog.vocabulary.mounts import MECHANICAL_TERMS

ALLOWED = {
    "observer": "who set it up",
    "site": "where",
    "tube": "which tube was on it",
    "season": "the season",
    "temperature": "the temperature",
}
DAYS_OF_A_MONTH = DAYS_A_YEAR / 12


def verdict_words(
    mount: str, own: MountOwn | None, verdict: Verdict, begun: FoundChange | None, since: str
) -> str:
    """The verdict as a sentence that the numbers below it bear out.

    `since` says since when set-ups count; `begun` is the change since which they do.
    """
    newly = f" since its {MECHANICAL_TERMS[begun.term]} changed {begun.when}" if begun else ""
    if (
        own is None
        or own.trend is None
        or own.first is None
        or own.last is None
        or not own.trend.nights_enough
    ):
        return _too_few_words(mount, own.trend if own else None, newly or since)
    now, then = (_arcmin(exp(log)) for log in (own.trend.last_log, own.trend.first_log))
    middle = _arcmin(exp((own.trend.first_log + own.trend.last_log) / 2))
    if verdict is Verdict.TOO_FEW:
        return f"Whether {mount} changes{newly} cannot be told yet: half of its go-tos land within {middle}."
    if verdict is Verdict.STEADY:
        landed = f"{mount} is steady{newly}: half of its go-tos land within {middle}"
        if begun and own.before_log is not None:
            return f"{landed}; before that it was {_arcmin(exp(own.before_log))}."
        return f"{landed}, and no change for better or worse is to be seen."
    earlier = f"{_earlier(own.first, own.last)} it was {then}"
    if verdict in HIDING.values():
        return cannot_tell_words(mount, own, verdict, newly=newly, now=now, earlier=earlier)
    return f"{mount} is {verdict}{newly}: half of its go-tos now land within {now}; {earlier}."


def _too_few_words(mount: str, trend: OwnTrend | None, since: str) -> str:
    count, nights = (trend.count, trend.nights) if trend else (0, 0)
    landed = on_nights(f"{counted(count, 'set-up')} with a landing", nights)
    takes = f"it takes {FEWEST_FOR_A_VERDICT} nights"
    return f"Too few nights to say whether {mount} gets worse{since}: {landed}, and {takes}."


def change_words(mount: str, change: FoundChange, factor: Interval | None) -> str:
    """A change that nobody wrote down, with its evidence, and what it did to the landing error."""
    landed = (
        f"; its landing error changed by a factor of {interval_words(factor)} with it"
        if factor is not None
        else ""
    )
    return (
        f"its {change.words}, with no service on record then ({chance_of_words(change.chance)}){landed}. Since then it "
        f"counts as another mount. Was it knocked, or worked on? Record it: {record_words(mount, change)}"
    )


def own_reasons(
    own: MountOwn, verdict: JointVerdict, plain: Trend, adjusted_for: Sequence[str], since: str
) -> list[str]:
    """Why, with numbers; what its users saw beside it. `since` says since when set-ups count."""
    trend = own.trend
    if trend is None:
        return []
    if trend.slope is None or not trend.nights_enough:
        return [too_few_reason(trend.count, trend.nights, since)]
    allowing = _allowing(adjusted_for)
    years = own.days / DAYS_A_YEAR
    as_used = (
        f"as used: {growth_words(plain.slope.per_year, plain.years)}, {plain.verdict}"
        if plain.slope
        else None
    )
    return [
        f"{counted(trend.count, 'set-up')}{since}",
        f"{allowing}: {growth_words(trend.slope.per_year, years)}, {p_words(trend.slope.p)} for no trend",
        *([as_used] if as_used else []),
        *_cautions(own, trend, verdict),
        *(_follows_words(one, years) for one in trend.follows),
    ]


def alarm_words(alarm: AlarmNight) -> str:
    since = f", most likely since {alarm.likely_since}" if alarm.likely_since else ""
    way = "worse" if alarm.worse else "better"
    chance = (
        f" (by chance one such alarm in {counted(alarm.one_in, 'set-up')} of the club)"
        if alarm.one_in
        else ""
    )
    return f"{alarm.night}: outside the control limits, {way} than the first nights{since}{chance}"


def _follows_words(found: OwnDependence, years: float) -> str:
    when = "at its worst" if found.what == SEASON else "for 10 °C more"
    return (
        f"it follows the {found.what} in a way of its own: a factor of {found.factor:.2f} {when}, beside what all "
        f"mounts do, {p_words(found.p)}; with that allowed for, {growth_words(found.per_year, years)}"
    )


def _cautions(own: MountOwn, trend: OwnTrend, verdict: JointVerdict) -> list[str]:
    told = []
    if trend.slope and OWN_LEVEL <= trend.slope.p < LEVEL:
        told.append(f"a verdict needs p under {OWN_LEVEL}")
    if verdict.verdict is Verdict.TOO_FEW:
        told.append(TOO_WIDE)
    if own.rests_on is not None:
        told.append(f"without the night of {own.rests_on} it would not be sure: one night is no trend")
    if trend.told_apart > HARD_TO_TELL:
        told.append(hidden_reason(own, trend))
    if len(own.observers) == 1 and not own.unsigned:
        told.append(f"all set up by {own.observers[0]}: a change in how that is done would look the same")
    if verdict.raised_p is not None:
        told.append(
            f"{trend.verdict} on its own; among {verdict.mounts} mounts looked at together p is "
            f"{verdict.raised_p:.2g}: it may be chance"
        )
    return told


def _allowing(adjusted_for: Sequence[str]) -> str:
    told = [ALLOWED[name] for name in adjusted_for]
    return f"after allowing for {enumerated(told)}" if told else "the mount's own"


def _earlier(first: date, last: date) -> str:
    """How long before its last set-up the first one was: `2 years earlier`, `5 months earlier`, `12 days earlier`."""
    days = (last - first).days
    months = round(days / DAYS_OF_A_MONTH)
    if months >= 18:
        return f"{counted(round(months / 12), 'year')} earlier"
    return f"{counted(months, 'month')} earlier" if months >= 2 else f"{counted(days, 'day')} earlier"


def _arcmin(size: float) -> str:
    return f"{size:.0f}'" if size >= 10 else f"{size:.1f}'"
