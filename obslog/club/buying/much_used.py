"""What is nearly always in use: out of the store on most days it could be, or used on most nights of the club."""

from collections.abc import Iterator, Sequence

from obslog.club.buying.evidence import BuyingEvidence, Stock
from obslog.club.register.rule_book import Rules
from obslog.club.upkeep.utilisation import together
from obslog.english import counted

FEWEST_DAYS, FEW_DAYS, FEW_NIGHTS = 90, 180, 10
USED_AT_NIGHT = ("mount", "tube", "eyepiece")  # what set-ups and observations name


def much_used(found: BuyingEvidence, rules: Rules) -> Iterator[tuple[Sequence[Stock], str, list[str]]]:
    """What is in use so much, the reason with its numbers, and what is doubtful about it.

    Kits one by one; items that are in no kit together with others of their category.
    """
    least = rules["wanted-use-percent"] / 100
    kits = [[one] for one in found.stock if one.kind == "kit" and one.in_use]
    loose = [one for one in found.stock if one.kind != "kit" and one.in_use and one.loose]
    categories = sorted({one.category for one in loose})
    for of_it in (*kits, *([one for one in loose if one.category == category] for category in categories)):
        loans = sum(one.loans_open_before(found.today) for one in of_it)
        for reason in _much_out(of_it, loans, least):
            yield of_it, reason, list(_doubts_of_use(of_it, loans, rules))
        for reason in _much_at_night(of_it, found, least):
            yield of_it, reason, list(_doubts_of_nights(found))


def _much_out(of_it: Sequence[Stock], loans: int, least: float) -> Iterator[str]:
    """Nothing is said of what was there for a short time only: its first loan would be most of it."""
    days = together(one.days for one in of_it if one.days is not None)
    if days.utilisation is not None and days.utilisation >= least and _longest_there(of_it) >= FEWEST_DAYS:
        yield (
            f"out on {days.out} of {counted(days.available, 'day')} ({100 * days.utilisation:.0f} %) "
            f"in {counted(loans, 'loan')}{_of_all(of_it)}"
        )


def _of_all(of_it: Sequence[Stock]) -> str:
    return f", {of_it[0].like_it(len(of_it))} together" if len(of_it) > 1 else ""


def _much_at_night(of_it: Sequence[Stock], found: BuyingEvidence, least: float) -> Iterator[str]:
    if of_it[0].kind not in USED_AT_NIGHT or not found.nights:
        return
    used, could_be = sum(one.nights for one in of_it), found.nights * len(of_it)
    if used / could_be >= least:
        share = 100 * used / could_be
        yield f"used on {used} of {counted(could_be, 'night')} ({share:.0f} %){_of_all(of_it)}"


def _doubts_of_use(of_it: Sequence[Stock], loans: int, rules: Rules) -> Iterator[str]:
    days = _longest_there(of_it)
    if loans < rules["wanted-fewest-loans"]:
        yield f"{counted(loans, 'loan')} in a year {'is' if loans == 1 else 'are'} few"
    if days < FEW_DAYS:
        yield f"there to be lent for only {counted(days, 'day')}"


def _doubts_of_nights(found: BuyingEvidence) -> Iterator[str]:
    if found.nights < FEW_NIGHTS:
        yield f"{counted(found.nights, 'night')} in a year {'is' if found.nights == 1 else 'are'} few"


def _longest_there(of_it: Sequence[Stock]) -> int:
    """For how many days of the year the one that was there longest could be lent."""
    return max((one.days.available for one in of_it if one.days is not None), default=0)
