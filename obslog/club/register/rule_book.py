"""The rule book: every number by which the club lends and judges its items, with its default and what it is for.

A club sets its own with `rule set`. The defaults are common practice among lending clubs, not from a publication,
unless the meaning says otherwise.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.errors import OutOfRange, UnknownName, WrongInput
from obslog.grammar.name_choice import chosen_name
from obslog.records.opening import Database
from obslog.records.tables.base import name_key
from obslog.records.tables.equipment import Item
from obslog.records.tables.storeroom import ClubRule

_PERCENT = "percent"
DEPRECIATION_YEARS_OF = {
    kind: f"depreciation-years-{kind}s" for kind in ("mount", "tube", "eyepiece", "item")
}
WAYS_TO_DEPRECIATE = ("depreciation-years", "depreciation-percent")
MONTHS = tuple(f"{month:02d}" for month in range(1, 13))


class NotACurrency(WrongInput):
    def __init__(self, text: str) -> None:
        super().__init__(
            f"{text!r} is not the code of a currency.",
            "Give its three letters by ISO 4217: obslog rule set currency EUR",
        )


class NotANumber(WrongInput):
    def __init__(self, rule: str, text: str) -> None:
        super().__init__(f"The rule {rule} is a number; {text!r} is not.", f"obslog rule set {rule} NUMBER")


class NotWhole(WrongInput):
    def __init__(self, rule: str, text: str, unit: str) -> None:
        super().__init__(
            f"The rule {rule} is a whole number of {unit}; {text} is not.", f"obslog rule set {rule} NUMBER"
        )


class TwoWays(WrongInput):
    def __init__(self, line: str = WAYS_TO_DEPRECIATE[0], share: str = WAYS_TO_DEPRECIATE[1]) -> None:
        super().__init__(
            f"An item is written down either by {line} or by {share}, and the club would have both rules.",
            f"Leave one: obslog rule reset {line}, or obslog rule reset {share}",
        )


@dataclass(frozen=True, slots=True)
class Rule:
    """One number: its default (None: not in force until set), the ends of what it may be, its unit and meaning."""

    default: float | None
    low: float
    high: float
    unit: str
    meaning: str


CURRENCY = "currency"
CURRENCY_RULE = Rule(None, 0, 0, "", "the currency in which amounts of money are shown, by its ISO 4217 code")
"""The one rule that is a word."""


RULES: Mapping[str, Rule] = {
    "loan-days": Rule(28, 1, 3660, "days", "how long a loan lasts, where the kit has no term of its own"),
    **{
        f"loan-days-{month}": Rule(
            None, 1, 3660, "days", f"how long a loan lasts that begins in month {month}"
        )
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
        "watch a mount whose landing error, with its uncertainty, is surely above this many times the club's average",
    ),
    "bad-name": Rule(
        1.25,
        1,
        10,
        "times",
        "above this ratio the review says explicitly that a sound mount is not at fault",
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
    "alarm-days": Rule(180, 1, 3660, "days", "how long an alarm of the control chart counts"),
    "alarms-a-year": Rule(
        1,
        0.01,
        100,
        "a year",
        "how many false alarms of the control chart all mounts together may make in a year",
    ),
    "alarms-watch": Rule(
        2, 2, 100, "nights", "watch a mount whose landing error was over the limit on so many nights"
    ),
    "snag-days": Rule(365, 1, 3660, "days", "how long a snag counts"),
    "snag-members": Rule(
        3, 2, 100, "members", "watch a mount with one kind of open snag among so many different members"
    ),
    "crooked-watch": Rule(
        10, 1, 600, "arcmin", "watch a mount whose cone error or squareness is surely larger than this"
    ),
    "idle-days": Rule(365, 1, 3660, "days", "an item that was not used or lent for so long is idle"),
    "overdue-out": Rule(0, 0, 365, "days", "days of grace before a loan counts as overdue"),
    "remind-again-days": Rule(
        14, 1, 365, "days", "how long after its due date a loan is told of as a second reminder"
    ),
    "remind-officer-days": Rule(
        28, 1, 3660, "days", "how long after its due date an overdue loan is for the officer to see to"
    ),
    "fault-days": Rule(
        3, 0, 60, "days", "a fault reported within so many days of going out is not blamed on the borrower"
    ),
    "beginner-setups": Rule(5, 0, 1000, "set-ups", "a member with fewer on record borrows as a beginner"),
    "beginner-aperture-mm": Rule(150, 1, 2000, "mm", "the largest aperture lent to a beginner without help"),
    "beginner-weight-kg": Rule(12, 1, 500, "kg", "the heaviest kit lent to a beginner without help"),
    "battery-percent": Rule(60, 1, 100, _PERCENT, "a battery with less of its capacity needs replacing"),
    "keep-leavers-months": Rule(
        24,
        0,
        600,
        "months",
        "how long the name of somebody who left is kept; then `member leavers` calls it due",
    ),
    "depreciation-years": Rule(
        None, 1, 100, "years", "over how many years the cost of an item is written down in a straight line"
    ),
    **{
        rule: Rule(
            None, 1, 100, "years", f"over how many years that of {kind}s is, in place of the rule for all"
        )
        for kind, rule in DEPRECIATION_YEARS_OF.items()
    },
    "depreciation-percent": Rule(
        None,
        0.1,
        99,
        _PERCENT,
        "how much less an item is worth each year, of what is left, where no line is set",
    ),
    "depreciation-floor-percent": Rule(
        None, 0, 100, _PERCENT, "to how much of its cost an item is written down at most"
    ),
    "wanted-use-percent": Rule(
        75, 1, 100, _PERCENT, "what is lent or used for so large a share of the time is one of those to buy"
    ),
    "wanted-missing-days": Rule(
        90, 0, 3660, "days", "how long an item has been missing before it is one of those to buy"
    ),
    "wanted-fewest-members": Rule(
        3, 1, 100, "members", "with fewer who asked in two years, how much something is wanted is not sure"
    ),
    "wanted-fewest-loans": Rule(
        5, 1, 1000, "loans", "with fewer in a year, how much an item is used is not sure"
    ),
}

OF_CATEGORY: Mapping[str, Rule] = {
    "depreciation-years-of-": Rule(
        None, 1, 100, "years", "over how many years the cost of an item of that category is written down"
    ),
    "depreciation-percent-of-": Rule(
        None, 0.1, 99, _PERCENT, "how much less an item of that category is worth each year, of what is left"
    ),
}
"""Rules that a club may set for a category of its items, with its name behind: `depreciation-years-of-finder`."""

_OF_ONE = {
    "days": "day",
    "set-ups": "set-up",
    "members": "member",
    "nights": "night",
    "months": "month",
    "years": "year",
    "loans": "loan",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleLine:
    """A rule as it is in force; `own` where the club has set it. The currency is a word, all others are numbers."""

    name: str
    value: float | str | None
    own: bool
    default: float | None
    unit: str
    meaning: str

    @property
    def words(self) -> str:
        """The value with its unit: `28 days`, `1 day`, `60 %`, `EUR`."""
        if isinstance(self.value, str):
            return self.value
        unit = "%" if self.unit == _PERCENT else self.unit
        return f"{self.value:g} {_OF_ONE.get(unit, unit) if self.value == 1 else unit}"


class Rules:
    """The rules in force: the club's own, and for the rest the defaults."""

    def __init__(self, own: Mapping[str, float], currency: str | None = None) -> None:
        self._own, self.currency = own, currency

    def __getitem__(self, name: str) -> float:
        value = self.get(name)
        assert value is not None, name
        return value

    def get(self, name: str) -> float | None:
        return self._own.get(name, RULES[name].default)

    def of_category(self, category: str) -> tuple[float | None, float | None]:
        """The club's own years and percent for items of that category. Raises TwoWays where both are set."""
        line, share = (f"{rule}{category_word(category)}" for rule in OF_CATEGORY)
        if line in self._own and share in self._own:
            raise TwoWays(line, share)
        return self._own.get(line), self._own.get(share)

    @property
    def names_a_category(self) -> bool:
        """Whether the club has set a rule for any category."""
        return any(name.startswith(tuple(OF_CATEGORY)) for name in self._own)

    def loan_days(self, month: int) -> int:
        """The club's term for a loan that begins in that month."""
        seasonal = self.get(f"loan-days-{month:02d}")
        return int(self["loan-days"] if seasonal is None else seasonal)


def rules_in_force(session: Session) -> Rules:
    own = session.scalars(select(ClubRule)).all()
    numbers = {rule.name: rule.value for rule in own if rule.value is not None}
    return Rules(numbers, next((rule.word for rule in own if rule.name == CURRENCY), None))


def currency_of(database: Database) -> str | None:
    """The currency in which amounts are shown; None where the club has named none."""
    with database.read() as session:
        return rules_in_force(session).currency


def list_rules(database: Database) -> list[RuleLine]:
    """All rules in the order of the book, then those that are set for a category, the currency last."""
    with database.read() as session:
        own = {rule.name: _value(rule) for rule in session.scalars(select(ClubRule))}
    of_categories = [(name, rule) for name in sorted(own) if (rule := _rule_of_category(name)) is not None]
    rules = (*RULES.items(), *of_categories, (CURRENCY, CURRENCY_RULE))
    return [_line(name, rule, own.get(name)) for name, rule in rules]


def set_rule(database: Database, name: str, value: float | str | None, now: datetime) -> RuleLine:
    """Set a rule to the club's own number or word, or with None back to the default.

    The rule may be named by any beginning that it alone has; that of a category has the category's whole name. Raises
    UnknownName, SeveralNamesFit, OutOfRange, NotANumber, NotWhole, NotACurrency, TwoWays.
    """
    name, rule = _meant(name)
    if value is not None:
        value = _currency(f"{value}") if rule is CURRENCY_RULE else _number(name, rule, value)
    with database.write(now, f"set the rule {name}") as session:
        if value is not None:
            _refuse_another_way(session, name)
            _refuse_another_category(session, name)
        put_rule(session, name, value)
    return _line(name, rule, value)


def put_rule(session: Session, name: str, value: float | str | None) -> None:
    """The rule with the club's own number or word; with None it has no row, and is the default."""
    found = session.scalar(select(ClubRule).where(ClubRule.name == name))
    number, word = (None, value) if isinstance(value, str) else (value, None)
    if value is None:
        if found is not None:
            session.delete(found)
    elif found is None:
        session.add(ClubRule(name=name, value=number, word=word))
    elif (found.value, found.word) != (number, word):
        found.value, found.word = number, word


def category_word(category: str) -> str:
    """A category as it stands in the name of a rule: small, with hyphens between its words."""
    return "-".join(name_key(category).split())


def _meant(name: str) -> tuple[str, Rule]:
    """The rule that is meant, with its whole name. Raises UnknownName, SeveralNamesFit."""
    of_category = category_word(name)
    if (rule := _rule_of_category(of_category)) is not None:
        return of_category, rule
    meant = chosen_name(name, [*RULES, CURRENCY])
    if meant is None:
        raise UnknownName("rule", name, [*RULES, CURRENCY])
    return meant, CURRENCY_RULE if meant == CURRENCY else RULES[meant]


def _rule_of_category(name: str) -> Rule | None:
    start = _start_of_category(name)
    return OF_CATEGORY[start] if start is not None and name != start else None


def _start_of_category(name: str) -> str | None:
    """What stands before the category in the name of such a rule; None for all other rules."""
    return next((start for start in OF_CATEGORY if name.startswith(start)), None)


def _refuse_another_way(session: Session, name: str) -> None:
    """Raises TwoWays where the club has set the other way to write these items down."""
    start = _start_of_category(name)
    ways = WAYS_TO_DEPRECIATE if start is None else [way + name.removeprefix(start) for way in OF_CATEGORY]
    if name not in ways:
        return
    others = [way for way in ways if way != name]
    if session.scalar(select(ClubRule.id).where(ClubRule.name.in_(others))) is not None:
        raise TwoWays(*ways)


def _refuse_another_category(session: Session, name: str) -> None:
    """Raises UnknownName for a rule of a category of which the club has no item, unless it is set already."""
    start = _start_of_category(name)
    if start is None or session.scalar(select(ClubRule.id).where(ClubRule.name == name)) is not None:
        return
    known = sorted({category_word(category) for category in session.scalars(select(Item.sort))})
    if name.removeprefix(start) not in known:
        see = f"Items on record have {', '.join(known)}." if known else "No item on record has one."
        raise UnknownName("category", name.removeprefix(start), known, see=see)


def _line(name: str, rule: Rule, own: float | str | None) -> RuleLine:
    in_force = rule.default if own is None else own
    return RuleLine(
        name=name,
        value=in_force,
        own=own is not None,
        default=rule.default,
        unit=rule.unit,
        meaning=rule.meaning,
    )


def _value(rule: ClubRule) -> float | str | None:
    return rule.value if rule.word is None else rule.word


def _currency(text: str) -> str:
    code = text.strip().upper()
    if not (len(code) == 3 and code.isascii() and code.isalpha()):
        raise NotACurrency(text)
    return code


def _number(name: str, rule: Rule, value: float | str) -> float:
    try:
        number = float(value)
    except ValueError:
        raise NotANumber(name, f"{value}") from None
    if not rule.low <= number <= rule.high:
        raise OutOfRange(f"The rule {name}", number, rule.low, rule.high, rule.unit)
    if rule.unit in _OF_ONE and not number.is_integer():  # what is counted
        raise NotWhole(name, f"{value}", rule.unit)
    return number
