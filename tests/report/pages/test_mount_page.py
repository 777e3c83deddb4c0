"""The page of a mount, from records made by hand."""

from dataclasses import replace
from datetime import date

from obslog.club.over_time.axes_over_time import MechanicsOverTime, PolarTrend
from obslog.club.pages.basis import Basis
from obslog.club.pages.mount_facts import MountFacts, Pointing
from obslog.club.pages.next_steps import NextStep
from obslog.club.pages.setters import SetUpBy
from obslog.club.performance.mount_fit import MechanicalTerm, Residual
from obslog.club.review.verdicts import Status
from obslog.report.pages.content import Bullets, Page, Paragraph, Part, Table
from obslog.report.pages.mount_page import MOST_LISTED, mount_page
from obslog.report.pictures.picture import Picture
from obslog.trends.series.theil_sen import Verdict
from obslog.values import Estimate
from obslog.vocabulary.mounts import MountType
from tests.club.pages.axes import axis
from tests.club.pages.test_next_steps import budget, cause, reviewed
from tests.report.pictures.test_landings import FIRST, history_of
from tests.report.pictures.test_residual_sky import fit_of
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


def test_a_retired_mount_is_told_to_be_one_and_asks_for_nothing() -> None:
    page = mount_page(replace(NEW, reviewed=reviewed((Status.RETIRED, "retired on 2026-02-20: worn out"))))
    assert page.lead == (
        "Heron was retired on 2026-02-20: worn out. Where Heron's go-tos land is not on record yet."
    )
    assert paragraphs(page)[0] == "Nothing: it is not in use any more."


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


def pointing_of(count: int) -> Pointing:
    """What the fit of so many arrivals says, and a budget in which one remedy of two is worth it."""
    trend = PolarTrend([], None, Verdict.TOO_FEW, ["1 set-up; a verdict needs 8"])
    sizes = {"cone": (-11.0, 0.5, True), "squareness": (2.0, 0.4, True), "sag": (3.0, 9.0, False)}
    residuals = [Residual(90.0, 45.0, 1.0, float(place)) for place in range(count)]
    mechanical = [
        MechanicalTerm(date(2026, 1, 5), term, Estimate(value, sd, 90, determined))
        for term, (value, sd, determined) in sizes.items()
    ]
    return Pointing(
        fit=fit_of(residuals, mechanical=mechanical, words=["a", "b", "c", "d"]),
        axes=[axis(DAY, 3.0, 4.0)],
        over_time=MechanicsOverTime(
            mount="Heron",
            mount_type=MountType.GERMAN,
            tube="Long tube",
            polar_trend=trend,
            mechanical_changes=[],
        ),
        budget=budget(cause("cone error", 12.0), cause("sag", 19.5)),
    )


def parts_of(page: Page, title: str) -> list[Part]:
    return [part for section in page.sections if section.title.startswith(title) for part in section.parts]


def test_only_remedies_that_gain_something_are_listed() -> None:
    """Half land within 20'; without sag it would be 19.5'."""
    page = mount_page(replace(NEW, pointing=pointing_of(3)))
    (table,) = [part for part in parts_of(page, "What its errors") if isinstance(part, Table)]
    assert table.rows == [["cone error", "12' (11' to 13')", "mend the cone error"]]
    assert table.caption.startswith(f"What would help: since {budget().since} half land within 20' (")


def test_of_very_many_arrivals_the_newest_are_listed_and_all_are_drawn() -> None:
    page = mount_page(replace(NEW, pointing=pointing_of(MOST_LISTED + 1)))
    picture, note = parts_of(page, "Over the sky")[:2]
    assert isinstance(picture, Picture)
    assert [picture.rows[0][3], picture.rows[-1][3]] == ["+1.0'", f"+{MOST_LISTED}.0'"]
    assert picture.description.startswith(f"{MOST_LISTED + 1} arrivals")
    assert note == Paragraph(
        f"The numbers are those of the newest {MOST_LISTED} of {MOST_LISTED + 1} arrivals in the fit."
    )


def test_the_picture_of_the_polar_axis_says_what_is_drawn_of_a_turn_in_azimuth() -> None:
    """Beside it stand errors in azimuth itself, which are longer than in the sky."""
    for mount_type, title in ((MountType.GERMAN, "The polar axis"), (MountType.ALTAZ, "How level")):
        page = mount_page(replace(NEW, mount_type=mount_type, pointing=pointing_of(3)))
        how, picture = parts_of(page, title)[:2]
        assert isinstance(how, Paragraph)
        assert isinstance(picture, Picture)
        assert ("times the cosine of the latitude" in how.text) == (mount_type is MountType.GERMAN)
        assert ("east, in the sky" in picture.columns) == (mount_type is MountType.GERMAN)
        assert "Crosses are one standard deviation" in how.text
        assert "10' and 30'" in how.text


def test_the_words_of_the_fit_are_told_without_those_that_the_table_has() -> None:
    said = parts_of(mount_page(replace(NEW, pointing=pointing_of(3))), "Over the sky")[-1]
    assert said == Bullets(["D."])


def test_each_era_has_a_row_of_what_belongs_to_the_mount() -> None:
    page = mount_page(replace(NEW, pointing=pointing_of(3)))
    (table,) = [part for part in parts_of(page, "Over the sky") if isinstance(part, Table)]
    assert table.rows == [["2026-01-05", "-11.0' ± 0.5'", "+2.0' ± 0.4'", "not determined"]]
    assert table.numeric == [False, True, True, True]
