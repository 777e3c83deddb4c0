"""Every figure of the year's report, the insurer's list and the store-room, beside one counted with a pencil."""

import re
import shutil
from collections.abc import Sequence
from datetime import date
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from obslog.club.annual.report import annual_report
from obslog.club.annual.report_records import AnnualReport, Money, Period
from obslog.club.forms.blocks import Heading
from obslog.club.forms.stocktake_sheet import stocktake_sheet
from obslog.club.office.insurance import insurance_list
from obslog.club.overviews.store_facts import places_of
from obslog.club.shelves.count_records import place_counts
from obslog.club.shelves.counting import start as start_stocktake
from obslog.club.shelves.standing import standing
from obslog.club.storeroom.store_list import store_list, worth
from tests.club.annual.pencil import Pencil, summed
from tests.club.annual.random_clubs import Act, RandomClub, club_after, filled, years_of_acts

few = settings(
    max_examples=3, deadline=None, phases=[Phase.generate], suppress_health_check=[HealthCheck.too_slow]
)  # an example takes half a second, and to make it smaller minutes
YEARS = (
    (date(2023, 1, 1), date(2023, 12, 31)),
    (date(2024, 1, 1), date(2024, 12, 31)),
    (date(2024, 2, 29), date(2024, 2, 29)),
    (date(2024, 6, 1), date(2025, 5, 31)),
    (date(2022, 1, 1), date(2022, 12, 31)),  # a year with nothing
)
periods = st.sampled_from(YEARS)


@pytest.fixture(scope="module")
def template(sqlite_template: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("recounted") / "club.db"
    return filled(Path(shutil.copy(sqlite_template, path)))


def reported(club: RandomClub, first: date, last: date) -> tuple[AnnualReport, Pencil]:
    report = annual_report(club.database, Period(first, last), club.today, with_names=True)
    return report, Pencil(club, first, last, club.today)


def in_money(told: Money) -> tuple[float | None, int, int]:
    return told.total, told.known, told.unknown


@few
@given(acts=years_of_acts, period=periods)
def test_a_pencil_counts_the_same(template: Path, acts: Sequence[Act], period: tuple[date, date]) -> None:
    with club_after(template, acts) as club:
        for first, last in (period, (club.today.replace(day=1), club.today)):
            report, pencil = reported(club, first, last)
            hold_loans(report, pencil)
            hold_waiting(report, pencil)
            hold_days(report, pencil)
            hold_losses(report, pencil)
            assert vars_of(report.nights, pencil.night_figures()) == pencil.night_figures()
        hold_insurance(club, pencil)
        hold_places(club, report, pencil)


def vars_of(told: object, figures: dict[str, object] | dict[str, int]) -> dict[str, object]:
    return {name: getattr(told, name) for name in figures}


def hold_loans(report: AnnualReport, pencil: Pencil) -> None:
    figures = pencil.loan_figures(report.loans.grace_days)
    told = vars_of(report.loans, figures)
    told |= {
        name: [late.days_late for late in getattr(report.loans, name)] for name in ("late", "overdue_now")
    }
    assert told == figures
    assert report.loans.days_late == sum(late.days_late for late in report.loans.late)


def hold_waiting(report: AnnualReport, pencil: Pencil) -> None:
    figures = pencil.waiting_figures()
    told = vars_of(report.waiting, figures)
    told["queues"] = sorted((one.what, one.waiting, one.longest_days) for one in report.waiting.queues)
    assert told == figures


def hold_days(report: AnnualReport, pencil: Pencil) -> None:
    use = report.utilisation
    days = {item["name"]: (item["id"], pencil.days_of_item(item)) for item in pencil.items}
    days |= {kit["name"]: (kit["id"], pencil.days_of_kit(kit)) for kit in pencil.kits}
    there = {name: day for name, (_, day) in days.items() if day["out"] + day["in"] + day["missing"]}
    assert {line.name for line in use.lines} == set(there)
    for line in use.lines:
        key, day = days[line.name]
        counted = (line.days_out, line.days_available, line.days_missing, line.loans)
        assert counted == (day["out"], day["out"] + day["in"], day["missing"], pencil.loans_of(key)), (
            line.name
        )
        if line.kind != "kit":
            assert line.nights == sum(map(pencil.within, pencil.nights_of(key))), line.name
    kits = {kit["name"] for kit in pencil.kits}
    for together, those in ((use.kits, kits), (use.things, set(days) - kits)):
        out, inside = (sum(days[name][1][sort] for name in those) for sort in ("out", "in"))
        lent = sum(pencil.loans_of(days[name][0]) for name in those)
        assert (together.days_out, together.days_available, together.loans) == (out, out + inside, lent)


def hold_losses(report: AnnualReport, pencil: Pencil) -> None:
    lost, figures = report.losses, pencil.loss_figures()
    told: dict[str, object] = vars_of(lost, figures)
    told |= {name: sorted(one.name for one in getattr(lost, name)) for name in ("missing", "written_off")}
    told |= {name: in_money(getattr(lost, name)) for name in ("missing_value", "written_off_value")}
    assert told == figures
    came = report.acquisitions
    assert (sorted(one.name for one in came.things), in_money(came.cost), came.unknown_date) == pencil.came()
    assert sorted(left.name for left in report.retired) == pencil.retired()
    held: dict[str, tuple[int, list[Money]]] = {}
    for one in report.holdings:  # the store is told place by place
        where = one.holder if one.where == "members" and one.holder else one.where
        things, values = held.get(where, (0, []))
        held[where] = (things + one.things, [*values, one.value])
    assert {where: things for where, (things, _) in held.items()} == {
        where: things for where, (things, _) in pencil.worth_by_holder().items()
    }
    for where, (_, values) in held.items():
        known = sum(value.total or 0 for value in values)
        total, *_ = pencil.worth_by_holder()[where][1]
        assert known == pytest.approx(total or 0), where


def hold_places(club: RandomClub, report: AnnualReport, pencil: Pencil) -> None:
    """Five lists of what lies where: none has a place twice, in other capitals."""
    start_stocktake(club.database, club.now)
    insured, lines = insurance_list(club.database, club.today), store_list(club.database)
    sheet = stocktake_sheet(club.database, club.today).blocks
    heads = [re.fullmatch("(.*): ([0-9]+) items?", one.words) for one in sheet if isinstance(one, Heading)]
    lists: dict[str, list[tuple[str | None, int]]] = {
        "report": [(one.holder, one.things) for one in report.holdings if one.where == "store"],
        "insurer": [(one.name, one.items) for one in insured.by_place],
        "store": [(one.place, one.items) for one in places_of(lines)],
        "stocktake": [(one.place, one.items) for one in place_counts(standing(club.database).items)],
        "sheet": [(one[1], int(one[2])) for one in heads if one],
    }
    for name, told in lists.items():
        there = [
            (called(place), items) for place, items in told if called(place) not in ("on loan", "missing")
        ]
        assert sorted(there) == pencil.places(), name


def called(place: str | None) -> str:
    """A place in small letters; "" where none is on record."""
    return "" if place is None or place.casefold() == "no place on record" else place.casefold()


def hold_insurance(club: RandomClub, pencil: Pencil) -> None:
    told = insurance_list(club.database, club.today, with_names=True)
    total, known, unknown = summed(pencil.paper(item, "value") for item in pencil.in_use())
    assert told.total.value == (pytest.approx(total) if known else None)
    assert (told.total.items, told.total.unknown) == (known + unknown, unknown)
    written_off = [item for item in pencil.items if pencil.paper(item, "written_off_on")]
    assert told.written_off == len(written_off)
    assert told.retired == len(pencil.items) - len(pencil.in_use()) - len(written_off)
    by_holder = {one.name: (one.items, one.unknown) for one in told.by_holder}
    expected = {
        {"store": "in the store", "missing": "missing"}.get(where, f"with {where}"): (items, worth_[2])
        for where, (items, worth_) in pencil.worth_by_holder().items()
    }
    assert by_holder == expected
    assert sum(one.items for one in told.by_place) == told.total.items
    listed = worth(store_list(club.database))
    assert (listed.value, listed.known, listed.unknown) == (total or 0, known, unknown)
