"""What `pointing trend`, `compare` and `whose` show, read back and held against records of known truth."""

import json
import re
import shutil
from datetime import date, timedelta
from math import log, sqrt
from pathlib import Path

import pytest

from obslog.cli.performance.trend import show_compared, show_trend
from obslog.club.over_time.landing_history import AsUsed, MountHistory, Serviced, SetupHistory
from obslog.club.over_time.own_trends import AlarmNight
from obslog.records.database import Database
from obslog.records.engine import make_engine
from obslog.trends.series.theil_sen import Slope, Verdict
from obslog.values import Interval
from tests.cli.conftest import EVENING
from tests.cli.performance.records import SOURCES, night, setup_id
from tests.cli.screens import ANY, PIPED, Shown, screens, shown_by
from tests.club.performance.histories import Evening, put_on_record

TREND = ("night", "set-up", "arrivals", "half", "from", "to", "rms", "median")
COMPARED = ("mount", "verdict", "set-ups", "newest half '", "a year", "from", "to", "alarms")
NIGHTS = [night(place) for place in range(14)]


def a_setup(place: int, half: Interval | None) -> SetupHistory:
    return SetupHistory(
        setup=setup_id(place),
        arrivals=20 + place,
        told_in_words=0,
        half_arcmin=half,
        rms_arcmin=place + 0.25 if half else None,
        median_arcmin=place + 0.75 if half else None,
    )


def a_history(**changed: object) -> MountHistory:
    """Fourteen set-ups; the half grows from 2' by 1' a set-up, its interval from half of that to twice as much."""
    setups = [a_setup(n, Interval(2.0 + n, (2.0 + n) / 2, (2.0 + n) * 2, 9)) for n in range(14)]
    values = {
        "mount": "Heron", "setups": setups, "verdict": Verdict.WORSENING, "reasons": ["it grew", "so it did"],
        "slope": Slope(Interval(log(1.5), log(1.2), log(2.0), 14), 0.01), "alarms": [], "services": [],
        "words": "Half lands", "days": 700, "as_used": AsUsed(None, Verdict.STEADY), "adjusted_for": [],
    }  # fmt: skip
    return MountHistory(**(values | changed))  # type: ignore[arg-type]


def trend_shown(history: MountHistory, most: int = 12) -> list[Shown]:
    return list(shown_by(lambda screen: show_trend(screen, history, most)))


def test_the_trend_lists_the_newest_set_ups_with_their_own_numbers() -> None:
    for shown in trend_shown(a_history()):
        rows = shown.rows(*TREND, ANY)
        assert [row["night"] for row in rows] == [str(night) for night in NIGHTS[2:]]
        assert [row["set-up"] for row in rows] == [str(n % 3 + 1) for n in range(2, 14)]
        assert [row["arrivals"] for row in rows] == [str(20 + n) for n in range(2, 14)]
        for name, value in (
            ("half", lambda n: 2 + n), ("from", lambda n: (2 + n) / 2), ("to", lambda n: 2 * (2 + n)),
            ("rms", lambda n: n + 0.25), ("median", lambda n: n + 0.75),
        ):  # fmt: skip
            assert [row[name] for row in rows] == [f"{value(n):.1f}" for n in range(2, 14)], name
        assert "The newest 12 of 14 set-ups; more with --most 14." in shown.notes
        assert "In arcminutes" in shown.notes


def test_all_set_ups_are_listed_where_so_many_are_asked_for() -> None:
    for shown in trend_shown(a_history(), most=14):
        assert [row["night"] for row in shown.rows(*TREND, ANY)] == [str(night) for night in NIGHTS]
        assert "The newest" not in shown.notes


def test_the_verdict_stands_first_then_the_reasons_then_the_services() -> None:
    services = [
        Serviced(NIGHTS[3], Interval(0.5, 0.4, 0.8, 9), 0.97),
        Serviced(NIGHTS[5], Interval(1.25, None, 1.5, 9), 0.004),
        Serviced(NIGHTS[8], None, None),
    ]
    for shown in trend_shown(a_history(services=services)):
        told = [
            "Half lands", "it grew", "so it did",
            "mechanical service on 2026-01-26: as used, the landing error changed by a factor of 0.50 "
            "(95 % interval 0.40 to 0.80); probability that it fell: 97 %",
            "mechanical service on 2026-02-09: as used, the landing error changed by a factor of 1.25 "
            "(95 % interval up to 1.50); probability that it fell: less than 1 %",
            "mechanical service on 2026-03-02: too few set-ups before or after it to say what it did",
        ]  # fmt: skip
        assert shown.in_order(*told, str(NIGHTS[13]))
        assert shown.lines[:3] == ["Half lands", "  it grew", "  so it did"]
        assert shown.lines[3].startswith("  mechanical service on 2026-01-26")


def test_services_without_a_set_up_between_them_are_told_together() -> None:
    services = [
        Serviced(NIGHTS[3], None, None),
        Serviced(NIGHTS[5], None, None),
        Serviced(NIGHTS[6], Interval(0.5, 0.4, 0.8, 9), 0.97, (NIGHTS[5],)),
    ]
    for shown in trend_shown(a_history(services=services)):
        assert shown.in_order(
            "mechanical service on 2026-01-26: too few set-ups before or after it to say what it did",
            "mechanical services on 2026-02-09 and 2026-02-16: as used, the landing error changed by a factor of 0.50 "
            "(95 % interval 0.40 to 0.80); probability that it fell: 97 %",
        )
        assert "mechanical service on 2026-02" not in shown.words


def test_a_set_up_without_landings_has_empty_cells_and_no_bar() -> None:
    history = a_history(
        setups=[a_setup(0, None), a_setup(1, Interval(4.0, 2.0, None, 2)), a_setup(2, Interval(3, 2, 9, 2))]
    )
    for shown in trend_shown(history):
        silent, open_ended, _ = shown.rows(*TREND, ANY)
        assert [silent[name] for name in TREND[2:]] == ["20", "", "", "", "", ""]
        assert [open_ended[name] for name in ("half", "from", "to")] == ["4.0", "2.0", ""]
        silent_bar, open_bar, _ = bars(shown)
        assert silent_bar == ""
        assert open_bar.endswith("▸")


def test_set_ups_without_landings_have_no_scale_and_no_bars() -> None:
    # A scale of nothing was headed 1' to 1', as if something had been measured.
    for shown in trend_shown(a_history(setups=[a_setup(0, None), a_setup(1, None)])):
        assert "1'" not in shown.out
        assert "Bars" not in shown.err
        assert [row["arrivals"] for row in shown.rows(*TREND)] == ["20", "21"]


def bars(shown: Shown) -> list[str]:
    """The bars: the last column of the table, or where that does not fit a table of their own below it."""
    columns = ("night", "set-up", ANY) if shown.width == 40 else (*TREND, ANY)
    return [row[ANY].rstrip() for row in shown.rows(*columns)]


def test_the_bars_stand_on_one_scale_from_the_least_to_the_most() -> None:
    setups = [a_setup(0, Interval(4.0, 2.0, 8.0, 2)), a_setup(1, Interval(8.0, 4.0, 32.0, 2))]
    for shown in trend_shown(a_history(setups=setups)):
        assert re.search(r"(median|set-up)\s+2'\s+32'$", shown.out, re.MULTILINE)
        first, second = bars(shown)
        # Fourteen cells for a factor of 16, four doublings: a doubling takes 13 / 4 = 3.25 cells.
        assert [bar.index("●") for bar in (first, second)] == [3, 6]
        assert [len(bar) for bar in (first, second)] == [7, 14]
        assert second[:3].strip() == ""


def test_the_comparison_gives_each_mount_its_own_newest_half_and_growth() -> None:
    silent_last = [
        a_setup(0, Interval(7.0, 6.0, 8.0, 9)),
        a_setup(1, Interval(5.5, 5.0, 6.0, 9)),
        a_setup(2, None),
    ]
    histories = [
        a_history(alarms=[AlarmNight(NIGHTS[3], True, None), AlarmNight(NIGHTS[5], True, None)]),
        a_history(
            mount="Wren", setups=silent_last, verdict=Verdict.TOO_FEW, reasons=["looked at together, no"]
        ),
        a_history(mount="Dunlin", setups=[a_setup(0, None)], slope=None, verdict=Verdict.STEADY, reasons=[]),
    ]
    for shown in shown_by(lambda screen: show_compared(screen, histories)):
        assert [list(row.values()) for row in shown.rows(*COMPARED)] == [
            # A slope of ln 1.5 a year is a factor of 1.5; the newest half is 2' + 13'.
            ["Heron", "worsening", "14", "15.0", "1.50", "1.20", "2.00", "2"],
            ["Wren", "too few nights", "3", "5.5", "", "", "", "0"],
            ["Dunlin", "steady", "1", "", "", "", "", "0"],
        ]
        assert "Wren: looked at together, no" in shown.words
        assert "it grew" not in shown.words
        assert "multiplied by in a year" in shown.notes


@pytest.fixture(scope="module")
def on_record(club_file: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """Fourteen fortnights of Heron, with checks 3', 4' and 5' out, times 1 + n / 10; two of Bracken."""
    path = Path(shutil.copy(club_file, tmp_path_factory.mktemp("trend") / "club.db"))
    database = Database(make_engine(str(path)), str(path))
    nights = [date(2025, 7, 7) + timedelta(days=14 * n) for n in range(14)]
    put_on_record(
        database,
        [
            Evening(night, [3 * (1 + n / 10), 4 * (1 + n / 10), 5 * (1 + n / 10)])
            for n, night in enumerate(nights)
        ]
        + [
            Evening(night, [12.0, 16.0, 20.0], mount="Bracken", observer="Bram Ostler")
            for night in nights[:2]
        ],
    )
    database.close()
    return {"OBSLOG_DB": str(path)}


def ends_of_a_scale(value: float, count: int) -> tuple[float, float]:
    """Where twice the logarithm of Rayleigh's likelihood of so many distances has fallen by 3.841 (chi squared, 95 %).

    With u the square of best over supposed scale that fall is 2 count (u - 1 - ln u).
    """

    def root(inside: float, outside: float) -> float:
        for _ in range(60):
            middle = sqrt(inside * outside)
            falls = 2 * count * (middle - 1 - log(middle)) > 3.8415
            inside, outside = (inside, middle) if falls else (middle, outside)
        return value / sqrt(inside)

    return root(1.0, 100.0), root(1.0, 0.001)


def test_what_was_measured_stands_on_the_screen(on_record: dict[str, str]) -> None:
    for shown in screens(on_record, EVENING, "pointing", "trend", "Heron"):
        rows = shown.rows(*TREND, ANY)
        assert [row["night"] for row in rows] == [
            str(date(2025, 7, 7) + timedelta(days=14 * n)) for n in range(2, 14)
        ]
        for n, row in enumerate(rows, start=2):
            grown = 1 + n / 10
            half = grown * sqrt(log(2) * (3**2 + 4**2 + 5**2) / 3)
            low, high = ends_of_a_scale(half, 3)
            told = [float(row[name]) for name in TREND[3:]]
            assert told == pytest.approx([half, low, high, grown * sqrt(50 / 3), grown * 4], abs=0.051)
            assert (row["set-up"], row["arrivals"]) == ("1", "3")
        assert shown.words.startswith("Heron is worsening: half of its go-tos now land within ")


def test_the_comparison_and_the_split_read_the_same_records(on_record: dict[str, str]) -> None:
    for shown in screens(on_record, EVENING, "pointing", "compare", "Bracken", "Heron"):
        assert shown.words.startswith("How Heron lands beside Bracken cannot be told; Heron is worsening. ")
        bracken, heron = shown.rows(*COMPARED)
        assert [bracken[name] for name in ("mount", "verdict", "set-ups", "a year")] == [
            "Bracken", "too few nights", "2", "",
        ]  # fmt: skip
        assert float(bracken["newest half '"]) == pytest.approx(4 * sqrt(log(2) * 50 / 3), abs=0.051)
        assert (heron["mount"], heron["verdict"], heron["set-ups"]) == ("Heron", "worsening", "14")
        # ln(1 + n / 10) a fortnight: from n = 0 to 13 it grows by ln 2.3 in 182 days, so by some 5.3 times a year.
        low, value, high = (float(heron[name]) for name in ("from", "a year", "to"))
        assert 1 < low < value < high
        assert value == pytest.approx(2.3 ** (365.25 / 182), rel=0.15)
    for shown in screens(on_record, EVENING, "pointing", "whose"):
        assert "Landing errors of 16 set-ups" in shown.lines
        worst = shown.rows(*SOURCES, ANY)[0]
        assert "Bracken" in worst["whose"] or "Bram Ostler" in worst["whose"]
        assert worst["set-ups"] == "2"


def test_as_many_set_ups_are_listed_as_are_asked_for(on_record: dict[str, str]) -> None:
    for most, count in (("1", 1), ("13", 13), ("14", 14), ("15", 14)):
        for shown in screens(
            on_record, EVENING, "pointing", "trend", "Heron", "--most", most, widths=[80, None]
        ):
            assert len(shown.rows(*TREND, ANY)) == count
            assert ("The newest" in shown.notes) == (count < 14)


def test_scripts_read_the_numbers_that_stand_on_the_screen(on_record: dict[str, str]) -> None:
    """Held against the truth above."""
    (trend,) = screens(on_record, EVENING, "pointing", "trend", "Heron", "--most", "14", widths=[PIPED])
    (told,) = screens(on_record, EVENING, "pointing", "trend", "Heron", "--json", widths=[PIPED])
    document = json.loads(told.out)
    keys = ("half_land_within_arcmin", "low_arcmin", "high_arcmin", "rms_arcmin", "median_arcmin")
    for row, setup in zip(trend.rows(*TREND, ANY), document["setups"], strict=True):
        assert (row["night"], row["arrivals"]) == (setup["night"], str(setup["arrivals"]))
        assert [row[name] for name in TREND[3:]] == [f"{setup[key]:.1f}" for key in keys]
    assert (document["verdict"], "polar_trend" in document) == ("worsening", False)
    (told,) = screens(on_record, EVENING, "pointing", "compare", "Bracken", "Heron", "--json", widths=[PIPED])
    assert [one["mount"] for one in json.loads(told.out)] == ["Bracken", "Heron"]
    (told,) = screens(on_record, EVENING, "pointing", "whose", "--json", widths=[PIPED])
    assert json.loads(told.out)["setups"] == 16
