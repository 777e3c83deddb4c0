"""The review: each item ready, to be watched, for service, out or retired, and why."""

from datetime import datetime
from typing import TYPE_CHECKING, Annotated, Any

import typer

from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import KindOption, Officer
from obslog.cli.terminal.screen import Screen
from obslog.english import counted
from obslog.estimate_words import estimate_document, interval_document, times_words

if TYPE_CHECKING:
    from obslog.club.review.review import Review, Reviewed
    from obslog.records.database import Database

Item = Annotated[str | None, typer.Argument(help="One kit or item.", show_default="all")]

MEANINGS = {
    "service": ", most used in the last year first",
    "watch": "",
    "out": "",
    "ready": " (beside a mount: its landing error, the club's average being 1)",
    "retired": "",
}


def add_to(app: typer.Typer) -> None:
    """Put the command among the program's own."""
    command(app, "review", show=show_review, document=_document_of_either)(review)


def review(
    database: "Database",
    now: datetime,
    item: Item = None,
    kind: KindOption = None,
    officer: Officer = False,
) -> "Review | Reviewed":
    """Say what to lend, watch, service or retire, and why.

    The numbers by which it judges are rules: see them with rule list, and change them with rule set.
    Borrowers are named with --officer.

    obslog review
    obslog review Heron
    """
    from obslog.club.register.club_day import club_day
    from obslog.club.review import review as club_review

    if item is None:
        return club_review.review(database, club_day(database, now), with_names=officer)
    return club_review.review_of(database, item, club_day(database, now), kind, with_names=officer)


def show_review(screen: Screen, found: "Review | Reviewed") -> None:
    from obslog.club.review.review import Review

    if isinstance(found, Review):
        _show_all(screen, found)
    else:
        _show_one(screen, found)


def _document_of_either(found: "Review | Reviewed") -> dict[str, Any]:
    from obslog.club.review.review import Review

    return _document(found) if isinstance(found, Review) else _document_of(found)


def _document(found: "Review") -> dict[str, Any]:
    return {
        "attribution": {
            source: estimate_document(share, "share", "sd", determined=False)
            for source, share in found.shares.items()
        },
        "items": [_item(item) for item in found.items],
    }


def _item(item: "Reviewed") -> dict[str, Any]:
    return {
        "name": item.name,
        "kind": item.kind,
        "status": item.status,
        "reasons": [reason.words for reason in item.reasons],
        "effect": _effect(item),
    }


def _effect(item: "Reviewed") -> dict[str, Any] | None:
    if item.effect is None:
        return None
    return interval_document(item.effect, "ratio", count="setups") | {"tube": item.tube}


def _document_of(item: "Reviewed") -> dict[str, Any]:
    """One item alone, with the numbers behind each of its reasons."""
    return _item(item) | {
        "evidence": item.reasons,
        "setups_last_year": item.setups_last_year,
        "judged": item.judged,
    }


def _show_all(screen: Screen, found: "Review") -> None:
    """The gravest first; what is ready, and of which nothing is said, gathered by kind."""
    from obslog.club.review.review import by_gravity
    from obslog.club.review.verdicts import gravest_words

    if not found.items:
        screen.note("Nothing is on record yet. Begin with a mount: obslog mount add --help")
        return
    for status, items in by_gravity(found):
        screen.line(f"{status.capitalize()}{MEANINGS[status]}", style="bold")
        told = [item for item in items if item.reasons]
        for item in told:
            screen.line(f"{item.name} ({item.kind}){_lands_in_full(item)}", indent=2)
            screen.line(gravest_words(item.reasons), indent=4)
        for kind in dict.fromkeys(item.kind for item in items):
            names = [f"{i.name}{_lands(i)}" for i in items if i.kind == kind and not i.reasons]
            if names:
                screen.line(f"{kind}s: {', '.join(names)}", indent=2)
        screen.line()
    screen.note("All reasons of one: obslog review NAME. The rules: obslog rule list.")


def _lands(item: "Reviewed") -> str:
    return f" {item.effect.value:.2f}" if item.effect else ""


def _lands_in_full(item: "Reviewed") -> str:
    return (
        f", landing error{item.with_tube} {item.effect.value:.2f} times the club's average"
        if item.effect
        else ""
    )


def _show_one(screen: Screen, item: "Reviewed") -> None:
    screen.line(f"{item.name} ({item.kind}): {item.status}", style="bold")
    for reason in item.reasons:
        screen.line(f"{reason.status}: {reason.words}", indent=2)
    if not item.reasons:
        screen.line("no problems found", indent=2)
    if item.effect is not None:
        screen.line(
            f"landing error{item.with_tube}: {times_words(item.effect)} over {counted(item.effect.count, 'set-up')}",
            indent=2,
        )
    if item.setups_last_year:
        screen.line(f"{counted(item.setups_last_year, 'set-up')} in the last year", indent=2)
