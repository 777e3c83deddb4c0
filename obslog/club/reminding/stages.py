"""How far a loan is past its due date, by the club's rules: from due soon to one for the officer to see to."""

from enum import StrEnum

from obslog.club.register.rule_book import Rules


class Stage(StrEnum):
    """What a borrower is to be told of a loan; in the order of how pressing it is."""

    NOT_YET = "not yet"
    DUE_SOON = "due soon"
    DUE = "due"
    OVERDUE = "overdue"
    SECOND = "second reminder"
    OFFICER = "to the officer"


def stage_of(days_left: int, rules: Rules) -> Stage:
    """The stage of a loan with so many days left; fewer than none when its due date has passed.

    A loan within the days of grace is due, not overdue. The later stages count from the due date too.
    """
    days_over = -days_left
    if days_left > rules["due-soon-days"]:
        return Stage.NOT_YET
    if days_left > 0:
        return Stage.DUE_SOON
    if days_over <= rules["overdue-out"]:
        return Stage.DUE
    if days_over >= rules["remind-officer-days"]:
        return Stage.OFFICER
    return Stage.SECOND if days_over >= rules["remind-again-days"] else Stage.OVERDUE


def most_pressing(stages: list[Stage]) -> Stage:
    """The most pressing of them; not yet, where there are none."""
    order = list(Stage)
    return max(stages, key=order.index, default=Stage.NOT_YET)
