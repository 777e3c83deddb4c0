"""Members: people of the club, and how they are reached."""

from datetime import datetime
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.office.joining import join_spellings
from obslog.cli.privacy.leaving import leave_member
from obslog.cli.privacy.telling import tell_members
from obslog.cli.register.named_records import Record, add_retire, given, show_record, show_records
from obslog.cli.register.own_name import follow_the_name
from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import Name, Note, Officer, Rename, WithRetired
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.errors import WrongInput

if TYPE_CHECKING:
    from obslog.club.register.contacts import ContactOnRecord
    from obslog.club.register.usual_choices import WhoIsHere
    from obslog.records.database import Database

app = typer.Typer(help="The people of the club.", no_args_is_help=True)

Phone = Annotated[str | None, typer.Option("--phone", help='The phone number; an empty one, "", deletes it.')]
Email = Annotated[str | None, typer.Option("--email", help="The e-mail address.")]
Address = Annotated[str | None, typer.Option("--address", help="The postal address.")]


def show_members(screen: Screen, found: list[Record], with_retired: bool, officer: bool) -> None:
    columns = ["name", "note", *(["phone", "email", "address"] if officer else [])]
    show_records(screen, "member", found, [*columns, *(["retired_on"] if with_retired else [])])


@command(app, "list", show=show_members)
def list_members(
    database: "Database", with_retired: WithRetired = False, officer: Officer = False
) -> list[Record]:
    """List every member; contacts only with --officer."""
    if officer:
        from obslog.club.register.contacts import members_with_contacts

        return members_with_contacts(database, with_retired=with_retired)
    from obslog.club.register.named_records import listed

    return listed(database, "member", with_retired=with_retired)


@command(app, "show", show=show_record)
def show_member(database: "Database", name: Name, officer: Officer = False) -> Record:
    """Show one member; contacts only with --officer."""
    from obslog.club.register.contacts import member_with_contact
    from obslog.club.register.named_records import shown

    return member_with_contact(database, name) if officer else shown(database, "member", name)


@command(app, "add", show=show_record)
def add_member(database: "Database", now: datetime, name: Name, note: Note = None) -> Record:
    """Put a member on record.

    obslog member add "Ines Okafor"
    """
    from obslog.club.register.named_records import add

    return add(database, "member", name, given({"note": note}), now)


@command(app, "edit", show=show_record)
def edit_member(
    database: "Database",
    now: datetime,
    state: State,
    name: Name,
    rename: Rename = None,
    note: Note = None,
) -> Record:
    """Change what is on record of a member.

    obslog member edit "Ines Okafor" --note "has a key to the store-room"
    """
    from obslog.club.register.named_records import edit

    edited = edit(database, "member", name, given({"note": note}), now, rename=rename)
    if rename is not None:
        follow_the_name(state, was=name, now=str(edited["name"]))
    return edited


def show_contact(screen: Screen, known: "ContactOnRecord") -> None:
    screen.line(f"{known.member}, on record: {', '.join(known.on_record) or 'nothing'}")


@command(app, "contact", show=show_contact)
def set_contact(
    database: "Database",
    now: datetime,
    name: Name,
    phone: Phone = None,
    email: Email = None,
    address: Address = None,
) -> "ContactOnRecord":
    """Record how to reach a member.

    obslog member contact "Ines Okafor" --phone "01632 960 123"

    Member show, member list and the loan form show it only with --officer; here it is not repeated.
    """
    from obslog.club.register.contacts import set_contact

    return set_contact(database, name, given({"phone": phone, "email": email, "address": address}), now)


def show_me(screen: Screen, me: "WhoIsHere") -> None:
    if me.me is None:
        screen.note("Nobody has said who you are. Say it: obslog member me NAME")
    else:
        screen.line(f"You are {me.me}{', as OBSLOG_ME says' if me.from_environment else ''}.")


@command(app, "me", show=show_me)
def me(
    database: "Database",
    state: State,
    name: Annotated[
        str | None, typer.Argument(help="Your name as a member.", show_default="only say who you are")
    ] = None,
    forget: Annotated[bool, typer.Option("--forget", help="Forget who you are.")] = False,
) -> "WhoIsHere":
    """Say who you are: what you record is then yours.

    Set-ups, observations, snags, ticks, briefings and progress are yours from then on, unless another is named. It is
    kept on this machine and not in the database; what OBSLOG_ME says comes first.

    obslog member me "Ines Okafor"
    """
    from obslog.club.register.usual_choices import who_is_here, whole_member_name
    from obslog.records.driver_errors import files_in_sentences
    from obslog.settings import keep_person, settings_path

    if name is not None and forget:
        raise WrongInput("You are named or forgotten, not both.", "Give a name, or --forget alone.")
    if name is not None or forget:
        whole = whole_member_name(database, name) if name is not None else None
        with files_in_sentences(str(settings_path(state.environment))):
            keep_person(state.environment, whole)
    return who_is_here(database, state.me)


join_spellings(app)
tell_members(app)
leave_member(app)
add_retire(app, "member")
