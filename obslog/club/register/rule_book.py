"""The rule book: which rules are in force, the club's own for the rest the defaults; and how a club sets its own."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.register.rule_table import (
    CURRENCY,
    CURRENCY_RULE,
    OF_CATEGORY,
    PERCENT,
    RULES,
    WAYS_TO_DEPRECIATE,
    Rule,
)
from obslog.errors import OutOfRange, UnknownName, WrongInput
from obslog.grammar.name_choice import chosen_name
from obslog.records.database import Database
from obslog.records.tables.base import name_key
from obslog.records.tables.equipment import Item
from obslog.records.tables.storeroom import ClubRule


class NotACurrency(WrongInput):
    def __init__(self, text: str) -> None:
        super().__init__(
            f"{text!r} is not the code of a currency.",
            "Give its three letters by ISO 4217: obslog rule set currency EUR",
        )


class RuleNotANumber(WrongInput):
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
        unit = "%" if self.unit == PERCENT else self.unit
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
        raise RuleNotANumber(name, f"{value}") from None
    if not rule.low <= number <= rule.high:
        raise OutOfRange(f"The rule {name}", number, rule.low, rule.high, rule.unit)
    if rule.unit in _OF_ONE and not number.is_integer():  # what is counted
        raise NotWhole(name, f"{value}", rule.unit)
    return number
