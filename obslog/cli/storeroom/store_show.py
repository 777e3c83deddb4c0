"""How the store-room looks: the list of everything, and the page of one kit or item."""

from typing import TYPE_CHECKING, Any

from obslog.cli.terminal.screen import Screen
from obslog.money import known_money, money_text

if TYPE_CHECKING:
    from obslog.club.storeroom.store_list import StoreLine, StoreList
    from obslog.club.storeroom.store_page import StorePage


def list_document(found: "StoreList") -> dict[str, Any]:
    return {"items": found.lines, "worth": found.worth, "currency": found.currency}


def show_list(screen: Screen, found: "StoreList", values: bool) -> None:
    """The list; with values, what each is worth takes the place of the due date."""
    if not found.lines:
        screen.note("Nothing to show. To put an item into the store-room: obslog item add --help")
        return
    screen.table(
        ["status", "kind", "name", "tag", "where", "value" if values else "due"],
        [
            [
                line.status,
                line.sort or line.kind,
                line.name,
                line.tag,
                line.where,
                known_money(line.value, found.currency) if values else line.due_on,
            ]
            for line in found.lines
        ],
    )
    if values:
        worth = found.worth
        items = "item has" if worth.known == 1 else "items have"
        unknown = f"; for {worth.unknown} the value is not known" if worth.unknown else ""
        screen.line(
            f"{worth.known} {items} a value, in total {money_text(worth.value, found.currency)}{unknown}."
        )


def show_page(screen: Screen, page: "StorePage") -> None:
    line = page.papers
    where = f", {line.where}" if line.where else ""
    due = f", due {line.due_on}" if line.due_on else ""
    screen.line(f"{line.name} ({line.sort or line.kind}): {line.status}{where}{due}", style="bold")
    screen.fields((name, value) for name, value in _details(line, page) if value is not None)
    for photo in page.photographs:
        taken = f", taken {photo.taken_on}" if photo.taken_on else ""
        screen.line(f"photograph {photo.file_name}{taken}, SHA-256 {photo.sha256[:12]}...")
    for receipt in page.receipts:
        dated = f" of {receipt.dated_on}" if receipt.dated_on else ""
        screen.line(f"receipt {receipt.file_name}{dated}, SHA-256 {receipt.sha256[:12]}...")
    for due_service in page.services_due:
        screen.line(f"! {due_service.name}: {due_service.words}")
    if page.history:
        screen.line()
        screen.table(
            ["day", "event", "details"], [[event.day, event.what, event.words] for event in page.history]
        )


def _valued(page: "StorePage") -> str | None:
    """`on 2026-03-01 by Tomasz`, as far as it is known and told."""
    if page.valuation is None or page.valuation.valued_on is None:
        return None
    by = f" by {page.valuation.valued_by}" if page.valuation.valued_by else ""
    return f"on {page.valuation.valued_on}{by}"


def _details(line: "StoreLine", page: "StorePage") -> tuple[tuple[str, object], ...]:
    return (
        ("kit", line.kit),
        ("tag", line.tag),
        ("serial", line.serial),
        ("maker", line.maker),
        ("model", line.model),
        ("acquired", line.acquired),
        ("acquired on", line.acquired_on),
        ("cost", known_money(line.cost, page.currency)),
        ("value", known_money(line.value, page.currency)),
        ("valued", _valued(page)),
        ("place", line.place),
        ("reason", line.retired_why),
        ("note", line.note),
    )
