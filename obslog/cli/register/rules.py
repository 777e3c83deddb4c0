"""The club's rule book: the numbers by which it lends and judges; and its routine, which is a file."""

from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli import routine
from obslog.cli.terminal.command import command
from obslog.cli.terminal.screen import Screen

if TYPE_CHECKING:
    from obslog.club.register.rule_book import RuleLine
    from obslog.records.database import Database

app = typer.Typer(help="The rules: numbers for lending and judging.", no_args_is_help=True)

RuleName = Annotated[str, typer.Argument(help="The rule, as in rule list.", show_default=False)]
Value = Annotated[str, typer.Argument(help="The club's own number, or its currency.", show_default=False)]


def show_rules(screen: Screen, rules: "Sequence[RuleLine]") -> None:
    in_force = [rule for rule in rules if rule.value is not None]
    if in_force:
        screen.table(
            ["rule", "value", "changed", "meaning"],
            [[rule.name, rule.words, rule.own, rule.meaning] for rule in in_force],
        )
    unset = _in_short([rule.name for rule in rules if rule.value is None])
    if unset:
        screen.note(f"No value until one is set: {', '.join(unset)}")


def show_rule(screen: Screen, rule: "RuleLine") -> None:
    show_rules(screen, [rule])


@command(app, "list", show=show_rules)
def list_rules(database: "Database") -> "Sequence[RuleLine]":
    """Show every rule with its value and its meaning."""
    from obslog.club.register.rule_book import list_rules

    return list_rules(database)


@command(app, "set", show=show_rule)
def set_rule(database: "Database", now: datetime, rule: RuleName, value: Value) -> "RuleLine":
    """Set a rule to the club's own number.

    obslog rule set loan-days 42

    How quickly the cost of items of one category is written down has the category in its name.

    obslog rule set depreciation-years-of-finder 8

    The currency, in which amounts of money are shown, is a word.

    obslog rule set currency EUR
    """
    from obslog.club.register.rule_book import set_rule

    return set_rule(database, rule, value, now)


@command(app, "reset", show=show_rule)
def reset_rule(database: "Database", now: datetime, rule: RuleName) -> "RuleLine":
    """Set a rule back to its default.

    obslog rule reset loan-days
    """
    from obslog.club.register.rule_book import set_rule

    return set_rule(database, rule, None, now)


routine.add_to(app)


def _in_short(names: Sequence[str]) -> list[str]:
    """Names that are numbered one after the other as the first and last of them: loan-days-01 to loan-days-12."""
    runs: list[list[str]] = []
    for name in names:
        if runs and _follows(name, runs[-1][-1]):
            runs[-1].append(name)
        else:
            runs.append([name])
    return [run[0] if len(run) == 1 else f"{run[0]} to {run[-1]}" for run in runs]


def _follows(name: str, before: str) -> bool:
    """Whether both are of one series, and their numbers neighbours."""
    (stem, _, number), (stem_before, _, number_before) = name.rpartition("-"), before.rpartition("-")
    if stem != stem_before or not (number.isdigit() and number_before.isdigit()):
        return False
    return int(number) == int(number_before) + 1
