"""The file for a member: everything that is kept about them, and why."""

from obslog import __version__
from obslog.club.privacy.kept_about import KeptAbout
from obslog.english import counted
from obslog.report.pages.content import Bullets, Page, Paragraph, Section, Table


def told_page(told: KeptAbout) -> Page:
    """What is kept about a member as a page: a section a kind of record, each with its reason and all its rows."""
    sections = [
        Section(
            one.title,
            (
                Paragraph(one.why),
                Table(
                    caption=f"{one.title}: {counted(len(one.rows), 'row')}",
                    columns=one.columns,
                    rows=one.rows,
                ),
            ),
        )
        for one in told.sections
    ]
    return Page(
        kind="member",
        title=f"What is kept about {told.member}",
        lead=f"All that the club's records held about you on {told.day}, and why.",
        sections=[*sections, Section("For how long, and where else", (Bullets(tuple(ends(told))),))],
        footer=[
            f"Made by obslog {__version__} on {told.day}. Other members are not named in what refers to you."
        ],
    )


def ends(told: KeptAbout) -> list[str]:
    """What a member has to know besides: how long, computed results, copies."""
    return [
        told.kept_until,
        "Results computed from them are kept so that pages open quickly; they may hold your name, and go with it.",
        *(f"A copy of the records that holds your name, too: {copy}" for copy in told.copies),
        "Copies on other machines, sheets, calendars and printed forms are not known to the program; ask the officer.",
    ]
