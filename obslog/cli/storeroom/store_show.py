"""How the store-room looks: the list of everything, and the page of one kit or thing."""

from typing import TYPE_CHECKING

from obslog.cli.terminal.options import Kind
from obslog.cli.terminal.state import State

if TYPE_CHECKING:
    from obslog.club.storeroom.store_list import StoreLine
    from obslog.club.storeroom.store_page import StorePage


def present_list(state: State, lines: "list[StoreLine]", values: bool, as_json: bool) -> None:
    """The list; with values, what each is worth takes the place of the due date."""
    from obslog.club.storeroom.store_list import worth

    screen = state.screen
    if as_json:
        screen.json({"items": lines, "worth": worth(lines)})
        return
    if not lines:
        screen.note("Nothing like that in the store-room.")
        return
    last = "value" if values else "due"
    screen.table(
        ["status", "kind", "name", "tag", "where", last],
        [
            [
                line.status,
                line.sort or line.kind,
                line.name,
                line.tag,
                line.where,
                line.value if values else line.due_on,
            ]
            for line in lines
        ],
    )
    if values:
        found = worth(lines)
        unknown = f"; of {found.unknown} the value is not known" if found.unknown else ""
        screen.line(f"{found.known} with a value, together {found.value:,.0f}{unknown}.")


def show_page(
    state: State, name: str, kind: Kind | None, officer: bool, as_json: bool, *, things_only: bool = False
) -> None:
    """Look the page up and show it; where only a thing can be meant, not a kit of the same name."""
    from obslog.club.storeroom.store_page import store_page

    with state.database() as database:
        page = store_page(
            database, name, state.now().date(), kind=kind, with_names=officer, things_only=things_only
        )
    present_page(state, page, as_json)


def present_page(state: State, page: "StorePage", as_json: bool) -> None:
    screen, line = state.screen, page.papers
    if as_json:
        screen.json(page)
        return
    where = f", {line.where}" if line.where else ""
    due = f", due {line.due_on}" if line.due_on else ""
    screen.line(f"{line.name} ({line.sort or line.kind}): {line.status}{where}{due}", style="bold")
    told = (
        ("kit", line.kit),
        ("tag", line.tag),
        ("serial", line.serial),
        ("maker", line.maker),
        ("model", line.model),
        ("acquired", line.acquired),
        ("acquired on", line.acquired_on),
        ("cost", line.cost),
        ("value", line.value),
        ("place", line.place),
        ("because", line.retired_why),
        ("note", line.note),
    )
    screen.fields((name, value) for name, value in told if value is not None)
    for photo in page.photographs:
        taken = f", taken {photo.taken_on}" if photo.taken_on else ""
        screen.line(f"photograph {photo.file_name}{taken}, SHA-256 {photo.sha256[:12]}...")
    for one in page.services_due:
        screen.line(f"! {one.name}: {one.words}")
    if page.history:
        screen.line()
        screen.table(["day", "what", "how"], [[event.day, event.what, event.words] for event in page.history])
