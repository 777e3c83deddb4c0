"""The store-room: what the club owns, where it is, what it is worth, and what became of it."""

from pathlib import Path
from typing import Annotated, Any

import typer

from obslog.cli.register.named_records import given
from obslog.cli.storeroom.store_show import present_list, show_page
from obslog.cli.terminal.options import AsJson, Kind, KindOption, Officer
from obslog.cli.terminal.state import state_of
from obslog.errors import WrongInput
from obslog.times import read_date
from obslog.vocabulary import Acquired

app = typer.Typer(help="The store-room: what the club owns, and where it is.", no_args_is_help=True)

Thing = Annotated[str, typer.Argument(help="The thing.", show_default=False)]
On = Annotated[str | None, typer.Option("--on", help="The day.", show_default="today")]
Why = Annotated[str, typer.Option("--why", help="The reason: lost, stolen, broken...", show_default=False)]
LostOnLoan = Annotated[
    bool, typer.Option("--lost-on-loan", help="The borrower lost it; the rest of the loan goes on.")
]
CLEARED = ("tag", "serial", "maker", "model", "acquired", "acquired-on", "cost", "value", "place")


class NoSuchField(WrongInput):
    def __init__(self, text: str) -> None:
        super().__init__(f"There is no field {text!r} to clear.", f"The fields are {', '.join(CLEARED)}.")


class GivenAndCleared(WrongInput):
    def __init__(self, field: str) -> None:
        super().__init__(f"The {field.replace('_', ' ')} is both given and cleared.", "Do one of the two.")


class PhotographOnce(WrongInput):
    def __init__(self) -> None:
        super().__init__(
            "Name one file: a photograph to add, or after --check one to look for.",
            "obslog store photo Heron heron.jpg, or obslog store photo Heron --check heron.jpg",
        )


@app.command("list")
def list_(
    context: typer.Context,
    kind: Annotated[Kind | None, typer.Option("--kind", help="One kind only.")] = None,
    values: Annotated[bool, typer.Option("--values", help="What they are worth, with the sum.")] = False,
    missing: Annotated[bool, typer.Option("--missing", help="Those that are missing.")] = False,
    with_retired: Annotated[
        bool, typer.Option("--with-retired", "--all", help="Also those that are retired.")
    ] = False,
    officer: Officer = False,
    as_json: AsJson = False,
) -> None:
    """Everything on one screen, and where it is: obslog store list --kind eyepiece

    Who has what is named with --officer.
    """
    from obslog.club.storeroom.store_list import store_list

    state = state_of(context)
    with state.database() as database:
        lines = store_list(
            database, kind=kind, missing=missing, with_retired=with_retired, with_names=officer
        )
    present_list(state, lines, values, as_json)


@app.command("show")
def show(
    context: typer.Context,
    name: Annotated[str, typer.Argument(help="The kit or thing.", show_default=False)],
    kind: KindOption = None,
    officer: Officer = False,
    as_json: AsJson = False,
) -> None:
    """One thing with its papers, photographs and history: obslog store show Heron

    Borrowers are named with --officer.
    """
    show_page(state_of(context), name, kind, officer, as_json)


@app.command("note")
def note(
    context: typer.Context,
    name: Thing,
    tag: Annotated[str | None, typer.Option("--tag", help="The club's tag on it.")] = None,
    serial: Annotated[str | None, typer.Option("--serial", help="Serial number.")] = None,
    maker: Annotated[str | None, typer.Option("--maker", help="Who made it.")] = None,
    model: Annotated[str | None, typer.Option("--model", help="Its model.")] = None,
    acquired: Annotated[Acquired | None, typer.Option("--acquired", help="How the club came by it.")] = None,
    acquired_on: Annotated[str | None, typer.Option("--acquired-on", help="The day.")] = None,
    cost: Annotated[float | None, typer.Option("--cost", help="What it cost.")] = None,
    value: Annotated[float | None, typer.Option("--value", help="What replacing it would cost.")] = None,
    place: Annotated[str | None, typer.Option("--place", help="Where it is kept.")] = None,
    clear: Annotated[
        list[str] | None, typer.Option("--clear", help="Make unknown again: a field's name; once for each.")
    ] = None,
    kind: KindOption = None,
    as_json: AsJson = False,
) -> None:
    """Write down what is known of a thing; the rest stays: obslog store note Heron --tag M-01 --value 900"""
    from obslog.club.storeroom.inventory_details import write_paper

    values: dict[str, Any] = given(
        {
            "tag": tag,
            "serial": serial,
            "maker": maker,
            "model": model,
            "acquired": acquired,
            "acquired_on": read_date(acquired_on) if acquired_on else None,
            "cost": cost,
            "value": value,
            "place": place,
        }
    )
    for field in clear or []:
        column = field.strip().casefold().replace("-", "_")
        if column.replace("_", "-") not in CLEARED:
            raise NoSuchField(field)
        if values.get(column) is not None:
            raise GivenAndCleared(column)
        values[column] = None
    state = state_of(context)
    with state.database() as database:
        write_paper(database, name, values, state.now(), kind=kind)
    show_page(state, name, kind, False, as_json, things_only=True)


@app.command("photo")
def photo(
    context: typer.Context,
    name: Thing,
    file: Annotated[Path | None, typer.Argument(help="The photograph.", show_default=False)] = None,
    taken: Annotated[str | None, typer.Option("--taken", help="The day it was taken.")] = None,
    check: Annotated[
        Path | None, typer.Option("--check", help="Say whether this file is one on record.")
    ] = None,
    kind: KindOption = None,
    as_json: AsJson = False,
) -> None:
    """Put a photograph on record, by file name and SHA-256: obslog store photo Heron heron.jpg --taken 2026-03-01

    The file itself stays where it is. With --check: whether a file is, sign for sign, one that is on record.
    """
    from obslog.club.storeroom.inventory_details import add_photograph, check_photograph

    if (file is None) == (check is None):
        raise PhotographOnce
    state = state_of(context)
    with state.database() as database:
        if check is not None:
            known = check_photograph(database, name, check, kind)
            if as_json:
                state.screen.json(known)
            elif known.known:
                taken_words = f", taken {known.taken_on}" if known.taken_on else ""
                state.screen.line(f"{known.file_name} is on record as {known.known_as}{taken_words}.")
            else:
                state.screen.line(f"{known.file_name} is not on record for {name}.")
            return
        assert file is not None
        day = read_date(taken) if taken else None
        line = add_photograph(database, name, file, state.now(), taken_on=day, kind=kind)
    if as_json:
        state.screen.json(line)
    else:
        state.screen.line(f"{line.file_name}: {'added' if line.new else 'on record already'}")
        state.screen.line(f"SHA-256 {line.sha256}", indent=2)


@app.command("missing")
def missing(
    context: typer.Context,
    name: Thing,
    on: On = None,
    lost_on_loan: LostOnLoan = False,
    kind: KindOption = None,
    as_json: AsJson = False,
) -> None:
    """Say that a thing is missing: obslog store missing 'Wide 25'"""
    from obslog.club.storeroom.missing import go_missing

    state = state_of(context)
    day = read_date(on) if on else None
    with state.database() as database:
        go_missing(database, name, state.now(), kind=kind, on=day, lost_on_loan=lost_on_loan)
    show_page(state, name, kind, False, as_json, things_only=True)


@app.command("found")
def found(
    context: typer.Context, name: Thing, on: On = None, kind: KindOption = None, as_json: AsJson = False
) -> None:
    """Say that a missing thing is found again: obslog store found 'Wide 25'"""
    from obslog.club.storeroom.missing import be_found

    state = state_of(context)
    with state.database() as database:
        be_found(database, name, state.now(), kind=kind, on=read_date(on) if on else None)
    show_page(state, name, kind, False, as_json, things_only=True)


@app.command("write-off")
def write_off(
    context: typer.Context,
    name: Thing,
    why: Why,
    on: On = None,
    lost_on_loan: LostOnLoan = False,
    kind: KindOption = None,
    as_json: AsJson = False,
) -> None:
    """Write a thing off for good: obslog store write-off 'Wide 25' --why 'left on a car roof'

    It is retired from that day. What is out comes back first, or is written off with --lost-on-loan.
    """
    from obslog.club.storeroom.retirement import write_off as write_it_off

    state = state_of(context)
    day = read_date(on) if on else None
    with state.database() as database:
        write_it_off(database, name, why, state.now(), kind=kind, on=day, lost_on_loan=lost_on_loan)
    show_page(state, name, kind, False, as_json, things_only=True)


@app.command("reinstate")
def reinstate(
    context: typer.Context,
    name: Annotated[str, typer.Argument(help="The kit or thing.", show_default=False)],
    on: On = None,
    kind: KindOption = None,
    as_json: AsJson = False,
) -> None:
    """Take what was retired or written off into use again: obslog store reinstate 'Old tube'"""
    from obslog.club.storeroom.retirement import reinstate as take_into_use

    state = state_of(context)
    with state.database() as database:
        take_into_use(database, name, state.now(), kind=kind, on=read_date(on) if on else None)
    show_page(state, name, kind, False, as_json)
