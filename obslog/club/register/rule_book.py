"""The rule book: every number by which the club lends and judges its things, with its default and what it is for.

A club sets its own with `rule set`. The defaults are common practice among lending clubs, not from a publication,
unless the meaning says otherwise.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.errors import UnknownName
from obslog.fields import NumberField
from obslog.records.opening import Database
from obslog.records.tables.storeroom import ClubRule

MONTHS = tuple(f"{month:02d}" for month in range(1, 13))


@dataclass(frozen=True, slots=True)
class Rule:
    """One number: its default (None: not in force until set), the ends of what it may be, its unit and meaning."""

    default: float | None
    low: float
    high: float
    unit: str
    meaning: str


RULES: Mapping[str, Rule] = {
    "loan-days": Rule(28, 1, 3660, "days", "how long a loan lasts, where the kit has no term of its own"),
    **{
        f"loan-days-{month}": Rule(None, 1, 3660, "days", f"the same for loans that begin in month {month}")
        for month in MONTHS
    },
    "due-soon-days": Rule(7, 0, 365, "days", "how long before its due date a loan is called due soon"),
    "fewest-setups": Rule(6, 2, 1000, "set-ups", "with fewer, a mount is not judged"),
    "fewest-observers": Rule(
        2, 2, 100, "members", "with fewer, a mount is not judged: it might be the person"
    ),
    "effect-watch": Rule(
        1.0,
        0.5,
        10,
        "times",
        "a mount lands worse than the club's when its effect's whole interval is above this",
    ),
    "bad-name": Rule(
        1.25,
        1,
        10,
        "times",
        "a sound mount that lands worse than the club's by this is cleared in words",
    ),
    "scatter-watch": Rule(
        3.0,
        0.1,
        600,
        "arcmin",
        "watch a mount whose own scatter per axis is surely larger; readings by eye alone scatter about 2",
    ),
    "scatter-service": Rule(5.0, 0.1, 600, "arcmin", "service a mount whose own scatter is surely larger"),
    "growth-service": Rule(
        1.5, 1, 100, "times a year", "service a worsening mount whose landing error grows by at least this"
    ),
    "alarm-days": Rule(180, 1, 3660, "days", "alarms of the control chart count for so long"),
    "alarms-watch": Rule(2, 2, 100, "nights", "watch a mount with alarms to the worse on so many nights"),
    "snag-days": Rule(365, 1, 3660, "days", "snags count for so long"),
    "snag-members": Rule(
        3, 2, 100, "members", "watch a mount with one kind of open snag among so many different members"
    ),
    "crooked-watch": Rule(
        10, 1, 600, "arcmin", "watch a mount whose cone error or squareness is surely larger than this"
    ),
    "idle-days": Rule(365, 1, 3660, "days", "a thing that was not used or lent for so long is idle"),
    "overdue-out": Rule(0, 0, 365, "days", "days of grace before a loan counts as overdue"),
    "fault-days": Rule(
        3, 0, 60, "days", "a fault told within so many days of going out is not laid to the borrower"
    ),
    "beginner-setups": Rule(5, 0, 1000, "set-ups", "a member with fewer on record borrows as a beginner"),
    "beginner-aperture-mm": Rule(150, 1, 2000, "mm", "the largest aperture lent to a beginner without help"),
    "beginner-weight-kg": Rule(12, 1, 500, "kg", "the heaviest kit lent to a beginner without help"),
    "battery-percent": Rule(60, 1, 100, "percent", "a battery with less of its capacity wants replacing"),
}


@dataclass(frozen=True, slots=True)
class RuleLine:
    """A rule as it is in force; `own` where the club has set it."""

    name: str
    value: float | None
    own: bool
    default: float | None
    unit: str
    meaning: str


class Rules:
    """The numbers in force: the club's own, and for the rest the defaults."""

    def __init__(self, own: Mapping[str, float]) -> None:
        self._own = own

    def __getitem__(self, name: str) -> float:
        value = self.get(name)
        assert value is not None, name
        return value

    def get(self, name: str) -> float | None:
        return self._own.get(name, RULES[name].default)

    def loan_days(self, month: int) -> int:
        """The club's term for a loan that begins in that month."""
        seasonal = self.get(f"loan-days-{month:02d}")
        return int(self["loan-days"] if seasonal is None else seasonal)


def rules_in_force(session: Session) -> Rules:
    return Rules({rule.name: rule.value for rule in session.scalars(select(ClubRule))})


def list_rules(database: Database) -> list[RuleLine]:
    """All rules in the order of the book."""
    with database.read() as session:
        own = {rule.name: rule.value for rule in session.scalars(select(ClubRule))}
    return [
        RuleLine(name, own.get(name, rule.default), name in own, rule.default, rule.unit, rule.meaning)
        for name, rule in RULES.items()
    ]


def set_rule(database: Database, name: str, value: float | None, now: datetime) -> RuleLine:
    """Set a rule to the club's own number, or with None back to the default. Raises UnknownName, OutOfRange."""
    rule = RULES.get(name)
    if rule is None:
        raise UnknownName("rule", name, list(RULES))
    NumberField(f"The rule {name}", rule.low, rule.high, rule.unit).check(value)
    with database.write(now, f"set the rule {name}") as session:
        found = session.scalar(select(ClubRule).where(ClubRule.name == name))
        if value is None:
            if found is not None:
                session.delete(found)
        elif found is None:
            session.add(ClubRule(name=name, value=value))
        else:
            found.value = value
    in_force = rule.default if value is None else value
    return RuleLine(name, in_force, value is not None, rule.default, rule.unit, rule.meaning)
