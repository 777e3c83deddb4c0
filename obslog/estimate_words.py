"""Estimates and intervals in words and for scripts: one way to say them for every screen and every document.

A number is rounded to its uncertainty; what the data do not determine is said in words, never as a number.
"""

from math import floor, isfinite, log10

from obslog.values import Estimate, Interval

NOT_DETERMINED = "not determined"
MOST_DECIMALS = 3
SMALL_CHANCE = 0.01
SMALLEST_P = 0.001  # told as a number; far from there it depends on the tails, which nobody knows
RATIO = ".2f"
MOST_WITH_A_TENTH = 9.95

Document = dict[str, float | int | bool | None]


def estimate_words(estimate: Estimate, unit: str = "", *, signed: bool = False) -> str:
    """An estimate with its standard deviation, `-12.1' ± 0.5'`; `signed` writes the + of a positive one too."""
    if not (estimate.determined and isfinite(estimate.value) and isfinite(estimate.sd)):
        return NOT_DETERMINED
    decimals = _decimals(estimate.sd)
    plus = "+" if signed else ""
    return f"{estimate.value:{plus}z.{decimals}f}{unit} ± {estimate.sd:.{decimals}f}{unit}"


def size_words(estimate: Estimate, unit: str = "") -> str:
    """The size of an estimate whose direction is said beside it: `12.1' ± 0.5'`."""
    size = Estimate(abs(estimate.value), estimate.sd, estimate.count, estimate.determined)
    return estimate_words(size, unit)


def sd_words(sd: float, unit: str = "") -> str:
    """An uncertainty alone: `±0.5'`."""
    return f"±{sd:.{_decimals(sd)}f}{unit}"


def interval_words(ratio: Interval) -> str:
    """A ratio with its 95 % interval: `1.58 (95 % interval 1.03 to 2.43)`; an end that is not bounded is said so."""
    return f"{ratio.value:{RATIO}} ({ends_words(ratio)})"


def ends_words(interval: Interval, form: str = RATIO) -> str:
    """The 95 % interval alone: `95 % interval 1.03 to 2.43`."""
    low, high = (None if end is None else f"{end:{form}}" for end in (interval.low, interval.high))
    return _between(low, high)


def _between(low: str | None, high: str | None) -> str:
    if low is None and high is None:
        return f"95 % interval {NOT_DETERMINED}"
    if low is None:
        return f"95 % interval up to {high}"
    return f"95 % interval {low} to {high}" if high is not None else f"95 % interval from {low}"


def arcmin_words(arcmin: float) -> str:
    """Arcminutes with two figures: `5.2'`, `22'`."""
    return f"{arcmin:.1f}'" if abs(arcmin) < MOST_WITH_A_TENTH else f"{arcmin:.0f}'"


def radius_words(radius: Interval) -> str:
    """A radius with its interval: `22' (19' to 26')`."""
    value = arcmin_words(radius.value)
    if radius.low is None or radius.high is None:
        return value
    return f"{value} ({arcmin_words(radius.low)} to {arcmin_words(radius.high)})"


def times_words(interval: Interval) -> str:
    """A factor beside the club's average: `1.58 times the club's average (95 % interval 1.03 to 2.43)`."""
    return f"{interval.value:{RATIO}} times the club's average ({ends_words(interval)})"


def percent_words(share: float) -> str:
    """A share of a whole: `38 %`."""
    return f"{100 * share:z.0f} %"


def chance_words(chance: float) -> str:
    """A probability: `38 %`; what is computed from few nights is never called certain."""
    if chance < SMALL_CHANCE:
        return "less than 1 %"
    return "more than 99 %" if chance > 1 - SMALL_CHANCE else percent_words(chance)


def chance_cell(chance: float) -> str:
    """The same for a table: `38 %`, `> 99 %`."""
    return chance_words(chance).replace("less than", "<").replace("more than", ">")


def ratio_cell(ratio: float | None) -> str:
    """A ratio for a table: `1.58`; empty where it is not known."""
    return "" if ratio is None else f"{ratio:.2f}"


def chance_interval_words(chance: Interval) -> str:
    """A probability with its interval: `77 % (95 % interval 66 % to 88 %)`; near certainty it is said once."""
    told = chance_words(chance.value)
    low, high = (None if end is None else chance_words(end) for end in (chance.low, chance.high))
    return told if told == low == high else f"{told} ({_between(low, high)})"


def p_words(p: float) -> str:
    """How often chance alone gives as much, as the trade writes it: `p = 0.012`, `p < 0.001`."""
    return f"p < {SMALLEST_P}" if p < SMALLEST_P else f"p = {p:.2g}"


def estimate_document(
    estimate: Estimate, value: str = "value_arcmin", sd: str = "sd_arcmin", *, determined: bool = True
) -> Document:
    """An estimate as scripts read it, under those keys, with or without `determined`."""
    told: Document = {"determined": estimate.determined} if determined else {}
    return {value: estimate.value, sd: estimate.sd} | told


def interval_document(
    interval: Interval | None, value: str = "value", low: str = "low", high: str = "high", count: str = ""
) -> Document:
    """An interval as scripts read it, under those keys; `count` names the key of the number of observations."""
    if interval is None:
        return {value: None, low: None, high: None}
    counted: Document = {count: interval.count} if count else {}
    return {value: interval.value, low: interval.low, high: interval.high} | counted


def _decimals(sd: float) -> int:
    """So many that the standard deviation keeps one digit that counts; never more than three."""
    return min(max(0, -floor(log10(max(sd, 1e-6)))), MOST_DECIMALS)
