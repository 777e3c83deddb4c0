"""The review: each thing ready, to be watched, for service, out or retired, and why."""

from typing import TYPE_CHECKING, Annotated, Any

import typer

from obslog.cli.terminal.options import AsJson, KindOption, Officer
from obslog.cli.terminal.state import State, state_of

if TYPE_CHECKING:
    from obslog.club.review.review import Review, Reviewed

MEANINGS = {
    "service": ", those first that stood under the sky most often in the last year",
    "watch": "",
    "out": "",
    "ready": " (x: how it lands beside the club's average, 1)",
    "retired": "",
}


def add_to(app: typer.Typer) -> None:
    app.command("review")(review)


def review(
    context: typer.Context,
    item: Annotated[str | None, typer.Argument(help="One kit or thing.", show_default="all")] = None,
    kind: KindOption = None,
    officer: Officer = False,
    as_json: AsJson = False,
) -> None:
    """What to lend, watch, service or retire, and why: obslog review, or obslog review Heron

    The numbers by which it judges are shown by obslog rule list, and can be set. Borrowers are named with --officer.
    """
    from obslog.club.review import review as club_review

    state = state_of(context)
    today = state.now().date()
    with state.database() as database:
        if item is not None:
            one = club_review.review_of(database, item, today, kind, with_names=officer)
        else:
            found = club_review.review(database, today, with_names=officer)
    if item is not None:
        if as_json:
            state.screen.json(one)
        else:
            _show_one(state, one)
    elif as_json:
        state.screen.json(_document(found))
    else:
        _show_all(state, found)


def _document(found: "Review") -> dict[str, Any]:
    return {
        "attribution": {source: {"share": s.share, "sd": s.sd} for source, s in found.attribution.items()},
        "items": [
            {
                "name": item.name,
                "kind": item.kind,
                "status": item.status,
                "reasons": [reason.words for reason in item.reasons],
                "effect": item.effect,
            }
            for item in found.items
        ],
    }


def _show_all(state: State, found: "Review") -> None:
    """The gravest first; what is ready, and of which nothing is said, gathered by kind."""
    from obslog.club.review.review import by_gravity

    screen = state.screen
    for status, items in by_gravity(found):
        screen.line(f"{status.capitalize()}{MEANINGS[status]}", style="bold")
        told = [item for item in items if item.reasons]
        for item in told:
            screen.line(f"{item.name} ({item.kind}){_lands(item)}", indent=2)
            more = f" (and {len(item.reasons) - 1} more)" if len(item.reasons) > 1 else ""
            screen.line(f"{item.reasons[0].words}{more}", indent=4)
        for kind in dict.fromkeys(item.kind for item in items):
            names = [f"{i.name}{_lands(i)}" for i in items if i.kind == kind and not i.reasons]
            if names:
                screen.line(f"{kind}s: {', '.join(names)}", indent=2)
        screen.line()
    screen.note("All reasons of one: obslog review NAME. The rules: obslog rule list.")


def _lands(item: "Reviewed") -> str:
    return f" x {item.effect.ratio:.2f}" if item.effect else ""


def _show_one(state: State, item: "Reviewed") -> None:
    screen = state.screen
    screen.line(f"{item.name} ({item.kind}): {item.status}", style="bold")
    for reason in item.reasons:
        screen.line(f"{reason.status}: {reason.words}", indent=2)
    if not item.reasons:
        screen.line("nothing speaks against it", indent=2)
    if item.effect is not None:
        e = item.effect
        screen.line(
            f"effect on the landing error: x {e.ratio:.2f} of the club's (95 %: {e.low:.2f} to {e.high:.2f})",
            indent=2,
        )
    if item.setups_last_year:
        screen.line(f"{item.setups_last_year} set-ups in the last year", indent=2)
