"""The sentences that a stocktake's page begins with: how much was seen, what is lost and worth, and what came back."""

from obslog.club.shelves.committee import StocktakeFacts
from obslog.club.shelves.count_records import Standing
from obslog.english import counted
from obslog.money import money_text


def lead_words(facts: StocktakeFacts) -> str:
    """How much was seen, how much was not and what that is worth, and whether what was lost before came back."""
    then = facts.standing
    said = [_seen_words(facts), _before_words(facts), _counted_words(then)]
    return " ".join(sentence for sentence in said if sentence)


def _seen_words(facts: StocktakeFacts) -> str:
    then = facts.standing
    if then.finished_on is None:
        if not then.expected:
            return "Nothing should be on the shelves."
        seen = then.expected - then.not_seen
        return f"{seen} of {counted(then.expected, 'item')} seen, {then.not_seen} not seen yet."
    if not then.expected:
        return "Nothing should have been on the shelves."
    if not then.not_seen:
        all_of = "All" if then.expected > 1 else "The"
        were = "were" if then.expected > 1 else "was"
        number = f"{then.expected} items" if then.expected > 1 else "one item"
        return f"{all_of} {number} that should have been on the shelves {were} seen."
    were = "was" if then.not_seen == 1 else "were"
    return (
        f"Of {counted(then.expected, 'item')} that should have been on the shelves {then.not_seen} {were} not found"
        f"{_worth_words(facts)}."
    )


def _worth_words(facts: StocktakeFacts) -> str:
    if not facts.lost:
        return ""
    if facts.lost_value is None:
        return (
            "; what they are worth is not on record"
            if len(facts.lost) > 1
            else "; its worth is not on record"
        )
    worth = money_text(facts.lost_value, facts.currency)
    if not facts.not_valued:
        return f", worth {worth}{' together' if len(facts.lost) > 1 else ''}"
    known = len(facts.lost) - facts.not_valued
    return f"; {known} of them {'is' if known == 1 else 'are'} worth {worth}, of the rest it is not on record"


def _before_words(facts: StocktakeFacts) -> str:
    """What became of what the stocktake before did not find; of an open one as yet, for more is to be seen."""
    if not facts.before:
        return ""
    back, lost = sum(line.came_back for line in facts.before), len(facts.before)
    is_open = facts.standing.finished_on is None
    if lost == 1:
        said = ("is accounted for", "is not accounted for yet") if is_open else ("is back", "is not back")
        return f"The item that the stocktake before did not find {said[0] if back else said[1]}."
    done = "accounted for so far" if is_open else "back"
    are = "are" if back > 1 else "is"
    return f"Of {lost} items that the stocktake before did not find {back or 'none'} {are} {done}."


def _counted_words(then: Standing) -> str:
    by = f"Counted by {then.member}" if then.member else ""
    if then.finished_on is None:
        return f"{by}." if by else ""
    days = (
        f"on {then.finished_on}"
        if then.started_on == then.finished_on
        else f"from {then.started_on} to {then.finished_on}"
    )
    return f"{by or 'Counted'} {days}."
