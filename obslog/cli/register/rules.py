"""The club's rule book: the numbers by which things are lent and judged."""

from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.options import AsJson
from obslog.cli.terminal.state import State, state_of

if TYPE_CHECKING:
    from obslog.club.register.rule_book import RuleLine

app = typer.Typer(
    help="The rule book: the numbers by which things are lent and judged.", no_args_is_help=True
)

Rule = Annotated[str, typer.Argument(help="The rule, as in rule list.", show_default=False)]


@app.command("list")
def list_(context: typer.Context, as_json: AsJson = False) -> None:
    """Show all rules, with what each is for."""
    from obslog.club.register.rule_book import list_rules

    state = state_of(context)
    with state.database() as database:
        _present(state, list_rules(database), as_json)


@app.command("set")
def set_(
    context: typer.Context,
    rule: Rule,
    value: Annotated[str, typer.Argument(help="The club's own number, or its currency.", show_default=False)],
    as_json: AsJson = False,
) -> None:
    """Set a rule to the club's own number: obslog rule set loan-days 42

    The currency, in which amounts of money are shown, is a word: obslog rule set currency EUR
    """
    _set(state_of(context), rule, value, as_json)


@app.command("reset")
def reset(context: typer.Context, rule: Rule, as_json: AsJson = False) -> None:
    """Go back to a rule's default."""
    _set(state_of(context), rule, None, as_json)


def _set(state: State, rule: str, value: str | None, as_json: bool) -> None:
    from obslog.club.register.rule_book import set_rule

    with state.database() as database:
        line = set_rule(database, rule, value, state.now())
    if as_json:
        state.screen.json(line)
    else:
        _present(state, [line], False)


def _present(state: State, rules: "list[RuleLine]", as_json: bool) -> None:
    if as_json:
        state.screen.json(rules)
        return
    in_force = [rule for rule in rules if rule.value is not None]
    state.screen.table(
        ["rule", "value", "own", "meaning"],
        [[rule.name, rule.words, rule.own, rule.meaning] for rule in in_force],
    )
    unset = [rule.name for rule in rules if rule.value is None]
    if unset:
        state.screen.note(f"Not in force until set: {', '.join(unset)}")
