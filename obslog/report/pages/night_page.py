"""The page of a night: who was there, what the sky was like, what was done and what was seen."""

from obslog.club.pages.night_facts import NightFacts
from obslog.report.pages.content import Page
from obslog.report.pages.footer import footer_lines
from obslog.vocabulary import counted


def night_page(facts: NightFacts) -> Page:
    """The page, in reading order."""
    page = facts.night.page
    return Page(
        kind="night",
        title=f"The night of {page.night} at {page.site}",
        lead=f"{counted(len(facts.night.setups), 'set-up')}, {counted(len(facts.night.observations), 'observation')}.",
        sections=[],
        footer=footer_lines(facts.basis),
    )
