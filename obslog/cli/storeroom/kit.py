"""Kits: things lent together."""

from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.register.named_records import given, present
from obslog.cli.terminal.options import AsJson, KindOption, Note, Officer, WithRetired
from obslog.cli.terminal.state import State, state_of
from obslog.times import read_date

if TYPE_CHECKING:
    from obslog.club.storeroom.kits import KitPage

app = typer.Typer(help="Kits: things lent together.", no_args_is_help=True)

Kit = Annotated[str, typer.Argument(help="The kit.", show_default=False)]
Part = Annotated[str, typer.Argument(help="The part.", show_default=False)]
Days = Annotated[int | None, typer.Option("--loan-days", help="Its own term, days; else the club's.")]
Weight = Annotated[float | None, typer.Option("--weight-kg", help="What the whole kit weighs.")]


@app.command("add")
def add(
    context: typer.Context,
    name: Kit,
    parts: Annotated[
        list[str] | None, typer.Option("--part", help="A thing on record, or a label; once for each.")
    ] = None,
    loan_days: Days = None,
    weight_kg: Weight = None,
    note: Note = None,
    as_json: AsJson = False,
) -> None:
    """Put a kit on record: obslog kit add 'Evening kit' --part Heron --part 'Wide 25' --part 'dust cap'"""
    from obslog.club.storeroom.kits import add_kit

    state = state_of(context)
    with state.database() as database:
        page = add_kit(
            database, name, parts or [], state.now(), loan_days=loan_days, weight_kg=weight_kg, note=note
        )
    _present(state, page, as_json)


@app.command("edit")
def edit(
    context: typer.Context,
    name: Kit,
    loan_days: Days = None,
    weight_kg: Weight = None,
    rename: Annotated[str | None, typer.Option("--rename", help="A new name.")] = None,
    note: Note = None,
    as_json: AsJson = False,
) -> None:
    """Change a kit's term, weight, note or name."""
    from obslog.club.storeroom.kits import edit_kit

    state = state_of(context)
    with state.database() as database:
        values = given({"loan_days": loan_days, "weight_kg": weight_kg, "note": note})
        page = edit_kit(database, name, values, state.now(), rename)
    _present(state, page, as_json)


@app.command("put")
def put(
    context: typer.Context, name: Kit, part: Part, kind: KindOption = None, as_json: AsJson = False
) -> None:
    """Put a part into a kit: obslog kit put 'Evening kit' 'Stop 20'"""
    from obslog.club.storeroom.kits import add_part

    state = state_of(context)
    with state.database() as database:
        page = add_part(database, name, part, state.now(), kind=kind)
    _present(state, page, as_json)


@app.command("remove")
def remove(
    context: typer.Context,
    name: Kit,
    part: Part,
    why: Annotated[str | None, typer.Option("--why", help="The reason.")] = None,
    as_json: AsJson = False,
) -> None:
    """Take a part out of a kit; the thing itself stays on record."""
    from obslog.club.storeroom.kits import remove_part

    state = state_of(context)
    with state.database() as database:
        page = remove_part(database, name, part, why, state.now())
    _present(state, page, as_json)


@app.command("replace")
def replace(
    context: typer.Context,
    name: Kit,
    part: Part,
    by: Annotated[str, typer.Argument(help="What takes its place.", show_default=False)],
    as_json: AsJson = False,
) -> None:
    """Put another part in a part's place: obslog kit replace 'Evening kit' 'Wide 25' 'Stop 20'"""
    from obslog.club.storeroom.kits import replace_part

    state = state_of(context)
    with state.database() as database:
        page = replace_part(database, name, part, by, state.now())
    _present(state, page, as_json)


@app.command("missing")
def missing(context: typer.Context, name: Kit, part: Part, as_json: AsJson = False) -> None:
    """Say that a part is missing: obslog kit missing 'Evening kit' 'Wide 25'"""
    _set_missing(state_of(context), name, part, True, as_json)


@app.command("found")
def found(context: typer.Context, name: Kit, part: Part, as_json: AsJson = False) -> None:
    """Say that a missing part is found again."""
    _set_missing(state_of(context), name, part, False, as_json)


def _set_missing(state: State, name: str, part: str, missing: bool, as_json: bool) -> None:
    from obslog.club.storeroom.missing import part_goes_missing, part_is_found

    with state.database() as database:
        page = (part_goes_missing if missing else part_is_found)(database, name, part, state.now())
    _present(state, page, as_json)


@app.command("show")
def show(context: typer.Context, name: Kit, officer: Officer = False, as_json: AsJson = False) -> None:
    """Show a kit, its parts, and where each is; who has it with --officer."""
    from obslog.club.storeroom.kits import show_kit

    state = state_of(context)
    with state.database() as database:
        page = show_kit(database, name, with_names=officer)
    _present(state, page, as_json)


@app.command("list")
def list_(
    context: typer.Context,
    with_retired: WithRetired = False,
    officer: Officer = False,
    as_json: AsJson = False,
) -> None:
    """List the kits; who has them with --officer."""
    from obslog.club.storeroom.kits import list_kits

    state = state_of(context)
    with state.database() as database:
        kits = list_kits(database, with_retired=with_retired, with_names=officer)
    if as_json:
        state.screen.json(kits)
    elif not kits:
        state.screen.note("There is no kit yet. Add one: obslog kit add --help")
    else:
        state.screen.table(
            ["kit", "parts", "complete", *(["with"] if officer else []), "due"],
            [
                [kit.name, len(kit.parts), kit.complete, *([kit.with_whom] if officer else []), kit.due_on]
                for kit in kits
            ],
        )


@app.command("retire")
def retire(
    context: typer.Context,
    name: Kit,
    why: Annotated[str | None, typer.Option("--why", help="The reason.")] = None,
    on: Annotated[str | None, typer.Option("--on", help="The day.", show_default="today")] = None,
    as_json: AsJson = False,
) -> None:
    """Take a kit out of use; its parts and its history stay."""
    from obslog.club.storeroom.retirement import retire as retire_it

    state = state_of(context)
    now = state.now()
    with state.database() as database:
        kit = retire_it(database, "kit", name, why, read_date(on) if on else now.date(), now)
    present(state, kit, as_json)


def _present(state: State, page: "KitPage", as_json: bool) -> None:
    if as_json:
        state.screen.json(page)
        return
    term = f"{page.loan_days} days" if page.loan_days else "the club's"
    weight = f"; {page.weight_kg:g} kg" if page.weight_kg else ""
    complete = "complete" if page.complete else "not complete"
    state.screen.line(f"{page.name}: {complete}; term: {term}{weight}", style="bold")
    if page.due_on:
        from obslog.club.storeroom.custody import out_until

        state.screen.line(out_until(page.with_whom, page.due_on))
    state.screen.table(["part", "kind", "where"], [[part.part, part.kind, part.where] for part in page.parts])
