"""The page of a mount, from records made by hand."""

from dataclasses import replace
from datetime import date

from obslog.club.pages.basis import Basis
from obslog.club.pages.mount_facts import MountFacts
from obslog.club.pages.next_steps import NextStep
from obslog.club.pages.setters import SetUpBy
from obslog.report.pages.content import Bullets, Page, Paragraph, Table
from obslog.report.pages.mount_page import mount_page
from obslog.vocabulary import MountType
from tests.club.pages.test_next_steps import reviewed
from tests.report.pictures.test_landings import FIRST, history_of
from tests.report.pictures.test_snag_steps import LEVEL

DAY = date(2026, 3, 2)
NEW = MountFacts(
    mount="Heron",
    mount_type=MountType.GERMAN,
    day=DAY,
    history=None,
    set_up_by=[],
    pointing=None,
    not_computed="There is nothing to compute the pointing of Heron from: it has no arrivals.",
    reviewed=reviewed(),
    snags=[],
    look_first=[],
    next_steps=[],
    basis=Basis(day=DAY, used=()),
)


def paragraphs(page: Page) -> list[str]:
    return [part.text for section in page.sections for part in section.parts if isinstance(part, Paragraph)]


def test_of_a_new_mount_it_says_that_nothing_is_known_and_why() -> None:
    page = mount_page(NEW)
    assert page.lead == "Where Heron's go-tos land is not on record yet."
    assert paragraphs(page) == [
        "Nothing on record asks for anything to be done.",
        "Heron has not been set up yet.",
        "There is nothing to compute the pointing of Heron from: it has no arrivals.",
        "No snag of Heron is on record.",
    ]


def test_it_begins_with_the_verdict_as_a_sentence() -> None:
    history = replace(history_of([FIRST]), words="1 set-up; a verdict needs 8")
    assert mount_page(replace(NEW, history=history)).lead == "1 set-up; a verdict needs 8."


def test_what_to_do_stands_first_each_with_its_reason() -> None:
    page = mount_page(replace(NEW, next_steps=[NextStep("Have it serviced", "it is worn")]))
    assert (page.sections[0].title, page.sections[0].parts) == (
        "What to do next",
        [Bullets(["Have it serviced. It is worn."])],
    )


def test_who_set_it_up_is_told_and_so_is_that_nobody_wrote_it_down() -> None:
    by = [SetUpBy(member="Ines", setups=3, last=DAY), SetUpBy(member=None, setups=1, last=DAY)]
    (table,) = [p for p in mount_page(replace(NEW, set_up_by=by)).sections[1].parts if isinstance(p, Table)]
    assert table.rows == [["Ines", "3", "2026-03-02"], ["not on record", "1", "2026-03-02"]]


def test_snags_are_summed_over_the_steps() -> None:
    assert "1 snag on record, 1 not mended." in paragraphs(mount_page(replace(NEW, snags=[LEVEL])))


def test_one_of_several_pages_leads_up() -> None:
    assert mount_page(NEW, up=("index.html", "The club")).up == ("index.html", "The club")
