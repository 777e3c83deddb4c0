"""Pages for a browser: of the store-room, of a member, of the club, and all of them in a folder."""

from datetime import date
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.pages.folder_written import PageFolder, WrittenFolder
from obslog.cli.pages.written_out import PageFile, show_nothing
from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import Officer, day
from obslog.cli.terminal.state import State

if TYPE_CHECKING:
    from obslog.club.overviews.club_facts import ClubFacts
    from obslog.club.overviews.member_facts import MemberFacts
    from obslog.club.overviews.store_facts import StoreFacts

NEWEST_NIGHTS = 10

TheMember = Annotated[str | None, typer.Argument(help="The member.", show_default="you")]
MostNights = Annotated[int, typer.Option("--nights", min=0, help="How many nights, the newest.")]
WithMembers = Annotated[
    bool, typer.Option("--members", help="Also a page of each member; each is private to that member.")
]


def add_to(app: typer.Typer) -> None:
    """Put the commands into their group."""
    command(app, "store", show=show_nothing)(store)
    command(app, "member", show=show_nothing)(member)
    command(app, "club", show=show_nothing)(club)
    command(app, "all", show=show_nothing)(all_pages)


def store(state: State, to: PageFile, officer: Officer = False) -> "StoreFacts":
    """Write the page of the store-room.

    What needs somebody, where the fleet lands, what is out, what is due, what it is worth, who waits.
    Borrowers are named with --officer.

    obslog page store --out store.html
    """
    from obslog.club.overviews.store_facts import store_facts
    from obslog.report.overviews.store_page import store_page

    to.check()
    with state.database() as database:
        facts = store_facts(database, state.now(), with_names=officer)
    to.write(store_page(facts), state, private=officer)
    return facts


def member(state: State, to: PageFile, name: TheMember = None) -> "MemberFacts":
    """Write the page of a member, private to them.

    Progress through lists, nights, habits as far as the records tell, and loans.

    obslog page member Ines --out ines.html
    """
    from obslog.club.overviews.member_facts import member_facts
    from obslog.club.register.usual_choices import member_meant
    from obslog.report.overviews.member_page import member_page

    to.check()
    with state.database() as database:
        facts = member_facts(
            database, member_meant(database, name, state.me, state.taken.append), state.now()
        )
    to.write(member_page(facts), state, private=True)
    return facts


def club(
    state: State,
    to: PageFile,
    first: Annotated[
        date | None, day("--from", help="The first day.", show_default="a year before the last")
    ] = None,
    last: Annotated[date | None, day("--to", help="The last day.", show_default="yesterday")] = None,
    officer: Officer = False,
) -> "ClubFacts":
    """Write the page of the club's year.

    The year beside the one before, nights by month, the fleet over the years, and the report for the annual meeting.
    Borrowers are counted; with --officer they are named.

    obslog page club --out club.html
    """
    from obslog.club.overviews.club_facts import club_facts, club_period
    from obslog.report.overviews.club_page import club_page

    to.check()
    now = state.now()
    with state.database() as database:
        period = club_period(database, first, last, now)
        facts = club_facts(database, period, now, with_names=officer)
    to.write(club_page(facts), state, private=officer)
    return facts


def all_pages(
    state: State,
    to: PageFolder,
    nights: MostNights = NEWEST_NIGHTS,
    members: WithMembers = False,
    officer: Officer = False,
) -> "WrittenFolder":
    """Write all pages into a folder, with an index.

    The club, the store-room, the last stocktake, every mount and the newest nights. Begin with index.html.
    Members' pages are private and only written with --members; borrowers are named with --officer.

    obslog page all --out pages
    """
    from obslog.club.overviews.folder_facts import folder_facts
    from obslog.report.overviews.folder import folder_pages

    to.check()
    with state.database() as database:
        facts = folder_facts(
            database, state.now(), most_nights=nights, with_members=members, with_names=officer
        )
    return to.write(folder_pages(facts), state, borrowers_named=officer)
