"""The page of a mount: how it points, whether that changes, why, and what to do."""

from obslog.club.pages.mount_facts import MountFacts
from obslog.report.pages.content import Bullets, Page, Section
from obslog.report.pages.footer import footer_lines
from obslog.report.pictures.landings import landings_picture


def mount_page(facts: MountFacts) -> Page:
    """The page, in reading order."""
    return Page(
        kind="mount",
        title=facts.mount,
        lead=facts.history.words,
        sections=[
            Section("Over the months", [landings_picture(facts.history), Bullets(facts.history.reasons)])
        ],
        footer=footer_lines(facts.basis),
    )
