"""What `pointing fit` shows, read back from the screen: records made by hand, and a sheet made from a known truth."""

import re
import shutil
from collections.abc import Iterator
from datetime import UTC, date, datetime
from math import cos, hypot, radians, tan
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from obslog.cli.performance.documents import fit_document
from obslog.cli.performance.fit import show_fit
from obslog.club.performance.mount_fit import FittedSetup, MechanicalTerm, MountFit, Residual, SuspectWords
from obslog.club.register.observing_site import ObservingSite
from obslog.club.sky.where import where_is
from obslog.records.database import Database
from obslog.records.engine import make_engine
from obslog.values import Estimate, Place
from obslog.vocabulary.mounts import MountType
from tests.cli.performance.records import night, setup_id
from tests.cli.screens import Row, Shown, screens, shown_by
from tests.club.performance.test_mount_fit import SAMPLES, TRUTH, take_in

COLUMNS = ("night", "set-up", "altitude", "azimuth", "from pole", "arrivals", "rms", "doubtful")
MAY = datetime(2026, 5, 2, 21, 40, tzinfo=UTC)
UNKNOWN = Estimate(3.0, 55.0, 1, False)


def a_setup(place: int, **changed: Any) -> FittedSetup:
    values: dict[str, Any] = {
        "setup": setup_id(place),
        "polar_altitude_arcmin": Estimate(-12.0 - place, 1.0, 8, True),
        "polar_azimuth_arcmin": Estimate(30.0 + place, 2.0, 8, True),
        "separation_arcmin": Estimate(21.0 + place, 1.0, 8, True),
        "arrivals": 40 + place,
        "rms_arcmin": place + 0.25,
        "suspects": [],
    }
    return FittedSetup(**(values | changed))


def a_suspect(
    place: int, label: int | str, probability: float, *readings: str, at_centring: bool = False
) -> SuspectWords:
    return SuspectWords(
        setup=setup_id(place),
        number=place + 20,
        label=label,
        target=f"Star {place}",
        at_centring=at_centring,
        probability=probability,
        readings=[*readings],
    )


def a_fit(**changed: Any) -> MountFit:
    """Fourteen set-ups, each with numbers of its own."""
    values: dict[str, Any] = {
        "mount": "Heron", "mount_type": MountType.GERMAN, "tube": "Long tube",
        "noise_arcmin": Estimate(2.0, 0.1, 90, True), "newest_noise_arcmin": Estimate(2.0, 0.1, 90, True),
        "mechanical": [MechanicalTerm(date(2026, 1, 5), "cone", Estimate(-11.0, 0.5, 90, True))],
        "setups": [a_setup(place) for place in range(14)], "findings": [], "sentence": "It is so.",
        "words": ["cone error -11' ± 1'", "turn it"],
        "suspects": [], "residuals": [], "left_out": {},
    }  # fmt: skip
    return MountFit(**(values | changed))


def fit_shown(found: MountFit, most: int = 12, *, chart: bool = False) -> Iterator[Shown]:
    return shown_by(lambda screen: show_fit(screen, found, most, chart))


def test_the_fit_lists_the_newest_set_ups_with_their_own_numbers_and_signs() -> None:
    for shown in fit_shown(a_fit()):
        assert [list(row.values()) for row in shown.rows(*COLUMNS)] == [
            [
                str(night(n)), str(n % 3 + 1), f"-{12 + n} ± 1", f"+{30 + n} ± 2", f"{21 + n} ± 1", str(40 + n),
                f"{n + 0.25:.1f}", "",
            ]
            for n in range(2, 14)
        ]  # fmt: skip
        assert "The newest 12 of 14 set-ups; more with --most 14." in shown.notes
        assert "Polar axis in arcminutes: + too high, + too far east;" in shown.notes


def test_the_base_of_an_altazimuth_mount_leans_and_points_at_no_pole() -> None:
    """Signs as the design has them: north +, east +."""
    columns = ("night", "set-up", "leans north", "leans east", "from level", "arrivals", "rms", "doubtful")
    for shown in fit_shown(a_fit(mount_type=MountType.ALTAZ, setups=[a_setup(0)])):
        (row,) = shown.rows(*columns)
        assert [row[name] for name in columns[2:5]] == ["-12 ± 1", "+30 ± 2", "21 ± 1"]
        assert "Base in arcminutes: + leaning north, + leaning east; empty where" in shown.notes
        assert "olar axis" not in shown.notes


def test_nothing_is_said_of_more_where_all_are_listed() -> None:
    for shown in fit_shown(a_fit(), most=14):
        assert len(shown.rows(*COLUMNS)) == 14
        assert "The newest" not in shown.notes
        assert "Left out" not in shown.notes
        assert "What the fit leaves: arrow" not in shown.notes


def test_the_words_stand_between_the_title_and_the_table() -> None:
    for shown in fit_shown(a_fit()):
        assert shown.lines[:4] == ["It is so.", "Heron with Long tube", "  cone error -11' ± 1'", "  turn it"]
        assert shown.in_order("turn it", str(night(2)))
    for shown in fit_shown(a_fit(tube=None)):
        assert shown.lines[1] == "Heron with no tube named"


def test_what_is_not_determined_is_an_empty_cell_and_doubtful_arrivals_are_counted() -> None:
    setups = [
        a_setup(0, polar_altitude_arcmin=UNKNOWN, polar_azimuth_arcmin=UNKNOWN, separation_arcmin=UNKNOWN),
        a_setup(1, polar_azimuth_arcmin=UNKNOWN, rms_arcmin=None, suspects=[31, "abc", 7]),
    ]
    for shown in fit_shown(a_fit(setups=setups)):
        silent, half_known = shown.rows(*COLUMNS)
        assert [silent[name] for name in COLUMNS[2:]] == ["", "", "", "40", "0.2", ""]
        assert [half_known[name] for name in COLUMNS[2:]] == ["-13 ± 1", "", "22 ± 1", "41", "", "3"]


def test_doubtful_arrivals_of_the_listed_set_ups_are_told_with_their_likely_readings() -> None:
    suspects = [
        a_suspect(1, 5, 0.99, "a set-up that is not listed", "a wrong star"),
        a_suspect(3, 31, 0.38, "1 too many", "2 too many", "3 too many", "a wrong star"),
        a_suspect(9, "0123456789ab", 0.999, "another", "a wrong star"),
        a_suspect(10, 7, 0.5, "a wrong star"),
        a_suspect(10, 7, 0.4, "a wrong star", at_centring=True),
    ]
    for shown in fit_shown(a_fit(suspects=suspects)):
        assert shown.in_order(
            f"{night(13)}",
            f"{night(3)}, Star 3 (number 23 of set-up 1, line 31 of its sheet): 38 % likely wrong; it would fit "
            "1 too many, or 2 too many, or a wrong star",
            f"{night(9)}, Star 9 (number 29 of set-up 1): more than 99 % likely wrong; it would fit another, "
            "or a wrong star",
            f"{night(10)}, Star 10 (number 30 of set-up 2, line 7 of its sheet): 50 % likely wrong; it would fit "
            "a wrong star",
            f"{night(10)}, Star 10 (number 30 of set-up 2, line 7 of its sheet), what was centred: 40 % likely wrong; "
            "it would fit a wrong star",
        )
        assert "3 too many" not in shown.words
        assert "not listed" not in shown.words
        assert f"obslog setup show Heron --night {night(10)} --setup 2;" in shown.notes
        assert f"obslog edit NUMBER --mount Heron --night {night(10)} --setup 2" in shown.notes
        assert "So too in 2 other set-ups, each by its own night and number above." in shown.notes
    for shown in fit_shown(a_fit(suspects=suspects[3:])):
        assert f"obslog edit NUMBER --mount Heron --night {night(10)} --setup 2" in shown.notes
        assert "So too" not in shown.notes


def test_where_none_is_doubtful_nothing_is_said_of_correcting() -> None:
    for shown in fit_shown(a_fit()):
        assert "obslog edit" not in shown.notes


def test_what_is_left_out_is_named_with_its_count() -> None:
    for shown in fit_shown(a_fit(left_out={"Foo": 2, "Bar": 1})):
        assert "Left out, for their places are not known: Foo (2), Bar (1)" in shown.notes


def test_the_chart_is_drawn_where_it_is_asked_for() -> None:
    # 40 degrees up in the south, where the object stood 7' north and the arrow so points up.
    found = a_fit(residuals=[Residual(180.0, 40.0, 0.0, 7.0)])
    for shown in fit_shown(found, chart=True):
        if shown.width == 40:
            continue
        zenith = next(n for n, line in enumerate(shown.lines) if "+" in line and "±" not in line)
        arrow = next(n for n, line in enumerate(shown.lines) if "↑7" in line)
        # The horizon is nine lines below the zenith; 50 degrees of the 90 are five of them.
        assert arrow - zenith == 5
        assert abs(shown.lines[arrow].index("↑7") - shown.lines[zenith].index("+")) <= 1
        assert "up is north on the sky, left is east" in shown.notes
    for shown in fit_shown(found):
        assert "↑7" not in shown.out


def test_scripts_read_the_same_numbers() -> None:
    setups = [a_setup(0, suspects=[31]), a_setup(1, polar_azimuth_arcmin=UNKNOWN, rms_arcmin=None)]
    found = a_fit(setups=setups, left_out={"Foo": 2})
    document = fit_document(found)
    known = {"value_arcmin": -12.0, "sd_arcmin": 1.0, "determined": True}
    assert document["setups"] == [
        {
            "night": night(0), "setup": 1, "site": "Tarn", "polar_altitude": known,
            "polar_azimuth": {"value_arcmin": 30.0, "sd_arcmin": 2.0, "determined": True},
            "separation_arcmin": 21.0, "arrivals": 40, "rms_arcmin": 0.25, "suspects": [31],
        },
        {
            "night": night(1), "setup": 2, "site": "Tarn", "polar_altitude": known | {"value_arcmin": -13.0},
            "polar_azimuth": {"value_arcmin": 3.0, "sd_arcmin": 55.0, "determined": False},
            "separation_arcmin": 22.0, "arrivals": 41, "rms_arcmin": None, "suspects": [],
        },
    ]  # fmt: skip
    del document["setups"]
    assert document == {
        "mount": "Heron", "tube": "Long tube", "noise_arcmin": 2.0,
        "mechanical": [
            {"since": date(2026, 1, 5), "term": "cone", "value_arcmin": -11.0, "sd_arcmin": 0.5, "determined": True}
        ],
        "findings": [], "sentence": "It is so.", "words": found.words, "left_out": {"Foo": 2},
    }  # fmt: skip


@pytest.fixture(scope="module")
def exact(sqlite_template: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """The sheet without noise whose truth is in samples/truth.json: eight nights of Heron at the Tarn."""
    path = Path(shutil.copy(sqlite_template, tmp_path_factory.mktemp("exact") / "club.db"))
    database = Database(make_engine(str(path)), str(path))
    take_in(database, "german_exact")
    database.close()
    return {"OBSLOG_DB": str(path)}


def told(cell: str) -> tuple[float, float]:
    """A value and its uncertainty, from a cell such as `-12.1 ± 0.5`."""
    value, sd = cell.split(" ± ")
    return float(value), float(sd)


def test_the_truth_of_an_exact_sheet_stands_on_the_screen(exact: dict[str, str]) -> None:
    truth = TRUTH["german_exact"]
    for shown in screens(exact, MAY, "pointing", "fit", "Heron", "--ring-spacing-mm", "250"):
        rows: list[Row] = shown.rows(*COLUMNS)
        assert [row["night"] for row in rows] == [setup["night"] for setup in truth["setups"]]
        for row, setup in zip(rows, truth["setups"], strict=True):
            altitude, azimuth = setup["polar_altitude_arcmin"], setup["polar_azimuth_arcmin"]
            away = hypot(altitude, azimuth * cos(radians(truth["site"]["lat_deg"])))
            for name, true in (("altitude", altitude), ("azimuth", azimuth), ("from pole", away)):
                assert told(row[name])[0] == pytest.approx(true, abs=0.1), (row, name)
            assert row["altitude"][0] == ("+" if altitude > 0 else "-")
        cone, newest = truth["cone_arcmin"], truth["setups"][-1]
        first = re.match(
            r"Heron's cone error is about ([\d.]+)', and no change of it is to be seen since", shown.words
        )
        assert first is not None
        assert float(first[1]) == pytest.approx(abs(truth["cone_arcmin"]), abs=0.5)
        cone_words = re.search(r"cone error (\S+ ± \S+) \(since", shown.words)
        assert cone_words is not None
        assert told(cone_words[1].replace("'", ""))[0] == pytest.approx(cone, abs=0.05)
        # Plane geometry: a ring 250 mm from the other is lifted by 250 mm x tan(cone error).
        ring = "rear" if cone > 0 else "front"
        assert f"shim the {ring} ring by {250 * tan(radians(abs(cone) / 60)):.1f} mm" in shown.words
        ways = (
            "too high" if newest["polar_altitude_arcmin"] > 0 else "too low",
            "too far east" if newest["polar_azimuth_arcmin"] > 0 else "too far west",
        )
        sentence = re.search(
            r"polar axis ([\d.]+)' ± \S+ (too \w+) and ([\d.]+)' ± \S+ (too far \w+) on the", shown.words
        )
        assert sentence
        assert (sentence[2], sentence[4]) == ways
        assert float(sentence[1]) == pytest.approx(abs(newest["polar_altitude_arcmin"]), abs=0.1)
        assert float(sentence[3]) == pytest.approx(abs(newest["polar_azimuth_arcmin"]), abs=0.1)


@pytest.fixture(scope="module")
def one_night(sqlite_template: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """The first three arrivals of that sheet: too few to tell the mount's own errors from those of the night."""
    folder = tmp_path_factory.mktemp("one_night")
    path, sheet = Path(shutil.copy(sqlite_template, folder / "club.db")), folder / "sheet.csv"
    sheet.write_text("".join((SAMPLES / "german_exact.csv").read_text().splitlines(keepends=True)[:4]))
    database = Database(make_engine(str(path)), str(path))
    take_in(database, "german_exact", sheet=sheet)
    database.close()
    return {"OBSLOG_DB": str(path)}


def test_the_stars_that_would_settle_what_is_not_known_are_up_then_and_there(
    one_night: dict[str, str],
) -> None:
    """Places in the sky are held against published ones in tests/published and tests/sky."""
    site = TRUTH["german_exact"]["site"]
    view = ObservingSite("Tarn", Place(site["lat_deg"], site["lon_deg"]), ZoneInfo(site["tz"]))
    for at in ("2026-03-02T20:00:00Z", "2026-08-02T23:00:00Z"):
        words = ("pointing", "fit", "Heron", "--site", "Tarn", "--at", at)
        (shown,) = screens(one_night, MAY, *words, widths=[80])
        named = re.search(r"check ([\w ]+) and then ([\w ]+); that .* Sync on ([\w ]+)\.", shown.words)
        assert named, shown.words
        for star in named.groups():
            assert where_is(view, star, datetime.fromisoformat(at)).alt_deg > 19, (star, at)
    (shown,) = screens(one_night, MAY, "pointing", "fit", "Heron", widths=[None])
    assert "Sync on" not in shown.words


def test_what_is_not_determined_yet_has_no_number_and_the_rest_an_honest_one(
    one_night: dict[str, str],
) -> None:
    truth = TRUTH["german_exact"]["setups"][0]
    for shown in screens(one_night, MAY, "pointing", "fit", "Heron"):
        assert re.search(r"cone error: not determined yet \(±[\d.]+' from 2 arrivals\)", shown.words)
        (row,) = shown.rows(*COLUMNS)
        assert (row["night"], row["set-up"], row["arrivals"]) == ("2026-02-03", "1", "2")
        for name in ("altitude", "azimuth"):
            value, sd = told(row[name])
            assert abs(value - truth[f"polar_{name}_arcmin"]) < 3 * sd


def test_as_many_set_ups_are_listed_as_are_asked_for(exact: dict[str, str]) -> None:
    for most, count in (("1", 1), ("7", 7), ("8", 8)):
        for shown in screens(exact, MAY, "pointing", "fit", "Heron", "--most", most, widths=[80, None]):
            assert len(shown.rows(*COLUMNS)) == count
            assert ("The newest" in shown.notes) == (count < 8)


@pytest.fixture(scope="module")
def twice_a_night(sqlite_template: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """That sheet with each of its eight set-ups done over again the same night: sixteen."""
    folder = tmp_path_factory.mktemp("twice")
    path, sheet = Path(shutil.copy(sqlite_template, folder / "club.db")), folder / "sheet.csv"
    head, *rows = (SAMPLES / "german_exact.csv").read_text().splitlines()
    again = [row.replace(",1,Tarn,", ",2,Tarn,", 1) for row in rows]
    sheet.write_text("\n".join([head, *rows, *again]) + "\n")
    database = Database(make_engine(str(path)), str(path))
    take_in(database, "german_exact", sheet=sheet)
    database.close()
    return {"OBSLOG_DB": str(path)}


def test_without_a_number_twelve_set_ups_are_listed(twice_a_night: dict[str, str]) -> None:
    (shown,) = screens(twice_a_night, MAY, "pointing", "fit", "Heron", widths=[80])
    assert len(shown.rows(*COLUMNS)) == 12
    assert "The newest 12 of 16 set-ups; more with --most 16." in shown.notes
