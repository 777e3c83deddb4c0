"""The page of a night, from records made by hand."""

from datetime import date

from obslog.club.night.night_pages import NightPage, WholeNight
from obslog.club.pages.basis import Basis
from obslog.club.pages.night_facts import NightFacts
from obslog.report.pages.night_page import night_page

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


def test_it_is_called_by_its_date_and_site() -> None:
    whole = WholeNight(page=NIGHT, setups=[], snags=[], observations=[])
    page = night_page(NightFacts(night=whole, basis=Basis(day=date(2026, 3, 2), used=())))
    assert page.title == "The night of 2026-03-02 at Mill Field"
