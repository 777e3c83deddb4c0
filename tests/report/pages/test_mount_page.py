"""The page of a mount, from records made by hand."""

from datetime import date

from obslog.club.pages.basis import Basis
from obslog.club.pages.mount_facts import MountFacts
from obslog.report.pages.mount_page import mount_page
from tests.report.pictures.test_landings import FIRST, history_of


def test_it_begins_with_the_sentence_that_matters_most() -> None:
    history = history_of([FIRST])
    page = mount_page(MountFacts(mount="Heron", history=history, basis=Basis(day=date(2026, 3, 2), used=())))
    assert (page.title, page.lead) == ("Heron", history.words)
