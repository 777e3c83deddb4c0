"""The page of a night, from records made by hand."""

from dataclasses import replace
from datetime import UTC, date, datetime

from obslog.club.night.night_pages import NightPage, SkyLine, WholeNight
from obslog.club.night.observation_lines import ObservationLine
from obslog.club.night.setups import ArrivalLine, SetupPage
from obslog.club.pages.basis import Basis
from obslog.club.pages.night_facts import NightFacts
from obslog.club.pages.night_story import Happening
from obslog.report.pages.content import Page, Paragraph, Section, Table
from obslog.report.pages.night_page import night_page
from obslog.vocabulary.observations import Sighting
from obslog.vocabulary.sky_scales import SkyScale
from tests.report.pictures.test_sky_chart import VEGA

AT = datetime(2026, 3, 2, 21, 40, tzinfo=UTC)
NIGHT = NightPage(
    night=date(2026, 3, 2),
    site="Mill Field",
    open=False,
    started="19:00",
    ended="23:10",
    present=["Ines"],
    sky=[],
    setups=[],
    note=None,
)
NOTHING = NightFacts(
    night=WholeNight(page=NIGHT, setups=[], snags=[], observations=[]),
    places=[],
    story=[],
    basis=Basis(day=date(2026, 3, 3), used=()),
)
ARRIVAL = ArrivalLine(
    number=1,
    at="21:40",
    at_utc=AT,
    role="sync",
    target="Vega",
    offset="",
    offset_east_arcmin=None,
    offset_north_arcmin=None,
    landing="edge",
    field_arcmin=None,
    pier_side=None,
    note="through cloud",
)
SETUP = SetupPage(
    night=NIGHT.night,
    site="Mill Field",
    mount="Heron",
    setup=1,
    tube=None,
    observer="Ines",
    eyepiece=None,
    open=False,
    started="20:00",
    pier_side=None,
    pier_side_since=None,
    arrivals=[ARRIVAL],
    note="feet on the flagstones",
)


def section(page: Page, title: str) -> Section:
    return next(one for one in page.sections if one.title == title)


def test_it_is_called_by_its_date_and_site_and_says_what_came_of_it() -> None:
    page = night_page(NOTHING)
    assert page.title == "The night of 2026-03-02 at Mill Field"
    assert page.lead == "1 person from 19:00 to 23:10: nothing on record yet."
    whole = replace(NOTHING.night, setups=[SETUP])
    assert night_page(replace(NOTHING, night=whole, places=[VEGA])).lead == (
        "1 person from 19:00 to 23:10: 1 set-up, 1 arrival."
    )


def test_it_counts_every_observation_also_of_what_was_only_suspected() -> None:
    seen = ObservationLine(
        number=1,
        night=NIGHT.night,
        site="Mill Field",
        at="21:40",
        at_utc=AT,
        target="M 81",
        sighting=Sighting.SEEN,
        vision=None,
        found_by=None,
        observer="Ines",
        eyepiece=None,
        magnification=None,
        filter=None,
        rating=None,
        alt_deg=None,
        sketch=None,
        description=None,
    )
    suspected = replace(seen, number=2, target="M 101", sighting=Sighting.SUSPECTED)
    page = night_page(replace(NOTHING, night=replace(NOTHING.night, observations=[seen, suspected])))
    assert page.lead == "1 person from 19:00 to 23:10: 2 observations."
    (table,) = section(page, "What was seen").parts
    assert isinstance(table, Table)
    assert len(table.rows) == 2


def test_a_night_of_which_only_the_end_is_known_lasted_until_then() -> None:
    whole = replace(NOTHING.night, page=replace(NIGHT, started=""))
    assert night_page(replace(NOTHING, night=whole)).lead == "1 person until 23:10: nothing on record yet."


def test_what_nobody_noted_is_said_to_be_unknown() -> None:
    whole = replace(NOTHING.night, page=replace(NIGHT, present=[], started="", ended="", open=True))
    page = night_page(replace(NOTHING, night=whole))
    assert page.lead == "Nobody on record: nothing on record yet. The night is still open."
    said = [part.text for one in page.sections for part in one.parts if isinstance(part, Paragraph)]
    assert said == [
        "Nobody was noted.",
        "Nobody noted what the sky was like.",
        "No arrival is on record.",
        "No observation is on record.",
        "Nothing, as far as was noted.",
    ]


def test_a_reading_stands_beside_the_meaning_of_its_scale() -> None:
    sky = [SkyLine(scale=SkyScale.ANTONIADI, value=2.0, at="21:00", at_utc=AT)]
    whole = replace(NOTHING.night, page=replace(NIGHT, sky=sky))
    (table,) = section(night_page(replace(NOTHING, night=whole)), "The sky").parts
    assert isinstance(table, Table)
    assert table.rows == [["antoniadi", "2", "21:00", "seeing, 1 (best) to 5"]]


def test_every_text_of_the_night_is_there_with_what_it_is_about() -> None:
    whole = replace(NOTHING.night, page=replace(NIGHT, note="frost at nine"), setups=[SETUP])
    page = night_page(replace(NOTHING, night=whole))
    assert section(page, "What was written").parts == [
        Paragraph("frost at nine"),
        Paragraph("Heron, set-up 1: feet on the flagstones"),
        Paragraph("Heron, 21:40, Vega: through cloud"),
    ]


def test_what_happened_stands_in_its_order() -> None:
    story = [Happening(at_utc=AT, at="21:40", what="the night was begun")]
    (table,) = section(night_page(replace(NOTHING, story=story)), "In order").parts
    assert isinstance(table, Table)
    assert table.rows == [["21:40", "the night was begun"]]
    assert table.caption.startswith("What happened, in order of time by the clocks of the site; ")


def test_of_a_site_without_a_time_zone_the_times_are_universal() -> None:
    story = [Happening(at_utc=AT, at="21:40Z", what="the night was begun")]
    (table,) = section(night_page(replace(NOTHING, story=story)), "In order").parts
    assert isinstance(table, Table)
    assert table.caption.startswith("What happened, in order of time by Universal Time; ")
