"""Members: people of the club, how they are reached, and what becomes of their records when they leave."""

from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.register.named_records import add_retire, add_thing, edit_thing, given, heading, present
from obslog.cli.terminal.options import AsJson, Name, Note, Officer, WithRetired
from obslog.cli.terminal.state import State, state_of

if TYPE_CHECKING:
    from obslog.club.register.leaving_members import Leaving

app = typer.Typer(help="People of the club.", no_args_is_help=True)

MOST_MENTIONS = 20
Rename = Annotated[str | None, typer.Option("--rename", help="A new name.")]


@app.command("list")
def list_(
    context: typer.Context,
    with_retired: WithRetired = False,
    officer: Officer = False,
    as_json: AsJson = False,
) -> None:
    """List every member; how they are reached only with --officer."""
    state = state_of(context)
    with state.database() as database:
        if officer:
            from obslog.club.register.contacts import members_with_contacts

            found = members_with_contacts(database, with_retired=with_retired)
        else:
            from obslog.club.register.named_records import listed

            found = listed(database, "member", with_retired=with_retired)
    if as_json:
        state.screen.json(found)
    elif not found:
        state.screen.note("There is no member yet. Add one: obslog member add --help")
    else:
        columns = ["name", "note", *(["phone", "email", "address"] if officer else [])]
        columns += ["retired_on"] if with_retired else []
        state.screen.table([heading(c) for c in columns], [[who[c] for c in columns] for who in found])


@app.command("show")
def show(context: typer.Context, name: Name, officer: Officer = False, as_json: AsJson = False) -> None:
    """Show one member; how they are reached only with --officer."""
    from obslog.club.register.contacts import member_with_contact
    from obslog.club.register.named_records import shown

    state = state_of(context)
    with state.database() as database:
        member = member_with_contact(database, name) if officer else shown(database, "member", name)
    present(state, member, as_json)


@app.command("add")
def add(context: typer.Context, name: Name, note: Note = None, as_json: AsJson = False) -> None:
    """Put a member on record: obslog member add 'Ines Okafor'"""
    add_thing(context, "member", name, {"note": note}, as_json)


@app.command("edit")
def edit(
    context: typer.Context, name: Name, rename: Rename = None, note: Note = None, as_json: AsJson = False
) -> None:
    """Change what is on record of a member."""
    edit_thing(context, "member", name, {"note": note}, rename, as_json)


@app.command("contact")
def contact(
    context: typer.Context,
    name: Name,
    phone: Annotated[str | None, typer.Option("--phone", help="The phone number; '' takes it away.")] = None,
    email: Annotated[str | None, typer.Option("--email", help="The e-mail address.")] = None,
    address: Annotated[str | None, typer.Option("--address", help="The postal address.")] = None,
    as_json: AsJson = False,
) -> None:
    """Write down how a member is reached: obslog member contact 'Ines Okafor' --phone '01632 960 123'

    It is shown by member show and list, and on the loan form, only with --officer; here it is not repeated.
    """
    from obslog.club.register.contacts import set_contact

    state = state_of(context)
    values = given({"phone": phone, "email": email, "address": address})
    with state.database() as database:
        known = set_contact(database, name, values, state.now())
    if as_json:
        state.screen.json(known)
    else:
        state.screen.line(f"{known.member}, on record: {', '.join(known.on_record) or 'nothing'}")


@app.command("leave")
def leave(
    context: typer.Context,
    name: Name,
    only_look: Annotated[
        bool, typer.Option("--look", help="Only say what would be done, and where the name stands.")
    ] = False,
    also_texts: Annotated[
        bool, typer.Option("--also-texts", help="Replace the name in notes and other free texts too.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """A member leaves: the name is replaced, the contact deleted, all records kept. There is no undo.

    obslog member leave 'Ines Okafor' --look
    """
    from obslog.club.register.leaving_members import leave as leave_club

    state = state_of(context)
    with state.database() as database:
        left = leave_club(database, name, state.now(), also_texts=also_texts, only_look=only_look)
    if as_json:
        state.screen.json(left)
    else:
        _present_leaving(state, left)


add_retire(app, "member")


def _present_leaving(state: State, left: "Leaving") -> None:
    screen = state.screen
    if left.done:
        screen.line(f"Their name is {left.name} now; records are kept under it.", style="bold")
    else:
        screen.line(f"Nothing was changed. Their name would be {left.name}.", style="bold")
    was = "was" if left.done else "would be"
    if left.contact_deleted:
        screen.line(f"Their contact {was} deleted.")
    for what in left.no_longer_waits_for:
        screen.line(f"Their place in the waiting list for {what} {was} given up.")
    _present_mentions(state, left)
    for copy in left.copies:
        screen.line(f"This copy still holds the old name; delete it when it is not needed: {copy}")
    if left.done:
        screen.line(
            "The record of acts holds neither the old name nor the contact, so this cannot be undone."
        )
        if left.wiped is False:
            screen.line("Another program has the file open: remnants stay in its unused pages for a while.")
        if left.wiped is None:
            screen.line("The server keeps old versions of rows until it has vacuumed; its own backups stay.")
        screen.line(
            "Backups, exported sheets, calendars and printed forms made before still hold the old name."
        )


def _present_mentions(state: State, left: "Leaving") -> None:
    if not left.mentions:
        return
    state.screen.line("Texts that name them; those not replaced are for you to see to:")
    state.screen.table(
        ["where", "mark", "field", "names", "replaced", "text"],
        [
            [
                m.kind.replace("_", " "),
                m.mark,
                m.field,
                "all" if m.whole_name else "a part",
                m.replaced,
                m.text,
            ]
            for m in left.mentions[:MOST_MENTIONS]
        ],
    )
    if len(left.mentions) > MOST_MENTIONS:
        state.screen.line(f"and {len(left.mentions) - MOST_MENTIONS} more (--json has all)")
