"""The plan of an evening's targets, read back at every width and held against plans made by hand."""

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from obslog.cli.targets.targets import show_targets, targets
from obslog.club.performance.landing_chance import LandingChance
from obslog.club.register.observing_site import observing_site
from obslog.club.sky.where import where_is
from obslog.club.targets.how_sure import Sure
from obslog.club.targets.means_to_see import JudgedIn, SkyOnRecord
from obslog.club.targets.planned_targets import MoonTonight, PlannedTarget, TargetPlan
from obslog.club.targets.target_filters import LeftOut
from obslog.records.database import Database
from obslog.records.engine import make_engine
from obslog.sky.evening.dark_windows import Dark
from obslog.values import Interval
from obslog.vocabulary.mounts import PierSide
from tests.cli.checklist.briefings import ZONE, at
from tests.cli.conftest import EVENING
from tests.cli.screens import Shown, shown_by
from tests.cli.states import state_at

COLUMNS = ("at", "target", "mag", "alt °", "until", "Moon °", "size '", "seen")


def a_target(n: int, **changed: Any) -> PlannedTarget:
    values: dict[str, Any] = {
        "order": n, "name": f"M {n}", "title": f"M {n}, cluster", "type": "cluster", "constellation": "Leo",
        "magnitude": 6.25 + n, "band": "V", "at_utc": at(21, 30 + n), "alt_deg": 50.4 + n, "az_deg": 100.0,
        "pier_side": None, "transit_utc": at(23, 0), "from_utc": at(20, 0), "until_utc": at(2, 10 + n, 3),
        "best_utc": at(22, 0), "best_alt_deg": 80.0, "moon_deg": 44.6 + n, "moon_up": True, "size_arcmin": (12.0, 8.5),
        "fills_field": None, "surface_brightness": 21.34, "contrast_mag": None, "sun_deg": None, "pair": None,
        "rank": n, "kind": "open clusters", "sure": Sure.EASILY, "why": "its stars are bright enough",
        "margin_mag": 3.0, "moonlight_mag": 0.0, "beside": (),
    }  # fmt: skip
    return PlannedTarget(**(values | changed))


def a_plan(*targets: PlannedTarget, **changed: Any) -> TargetPlan:
    values: dict[str, Any] = {
        "site": "Mill Field", "night": date(2026, 3, 2), "dark_from_utc": at(20, 6), "dark_until_utc": at(4, 17, 3),
        "dark": Dark.NIGHT, "mount": None, "field_arcmin": None, "faintest_star_mag": None, "sky_meter": None,
        "sky_mag": 21.3, "moon": MoonTonight("waning crescent", 0.153, ()),
        "judged_in": JudgedIn("Long tube", 212.0, "the club's largest", None),
        "chance_in_field": None, "targets": list(targets), "flips": 3, "considered": 13226,
        "left_out": [LeftOut("too low", 12345), LeftOut("too faint", 7)],
    }  # fmt: skip
    return TargetPlan(**(values | changed))


def plan_shown(*targets: PlannedTarget, **changed: Any) -> Iterator[Shown]:
    return shown_by(lambda screen: show_targets(screen, (a_plan(*targets, **changed), ZONE)))


def test_the_targets_stand_in_their_order_with_times_of_the_place() -> None:
    for shown in plan_shown(a_target(1), a_target(2)):
        assert shown.in_order(
            "Targets at Mill Field, night of 2026-03-02",
            "planned 20:06 to 04:17 (the Sun more than 18° down)",
        )
        assert [list(row.values()) for row in shown.rows(*COLUMNS)][:2] == [
            ["21:31", "M 1, cluster", "7.2 V", "51", "02:11", "46", "12x8.5", "easily"],
            ["21:32", "M 2, cluster", "8.2 V", "52", "02:12", "47", "12x8.5", "easily"],
        ]
        assert "Looked through 13,226 objects; left out: 12,345 too low 7 too faint" in shown.words
        for word in ("sky meter", "faintest star", "field", "lands in it", "changes of side"):
            assert word not in shown.words
        assert "Easily seen, its stars are bright enough: M 1, M 2." in shown.words
        assert shown.notes == ""


def test_what_is_not_known_is_an_empty_cell() -> None:
    bare = {"magnitude": None, "surface_brightness": None, "size_arcmin": (None, None)}
    targets = [
        a_target(1, **bare, moon_up=False), a_target(2, **bare | {"size_arcmin": (7.0, None)}, type="Moon"),
        a_target(3, **bare | {"size_arcmin": (7.0, 7.0)}),
    ]  # fmt: skip
    for shown in plan_shown(*targets):
        one, two, three = shown.rows(*COLUMNS)[:3]
        assert [one[name] for name in COLUMNS[2:]] == ["", "51", "02:11", "down", "", "easily"]
        assert [two[name] for name in COLUMNS[5:]] == ["", "7", "easily"]
        assert [three[name] for name in COLUMNS[5:]] == ["48", "7", "easily"]


def test_the_sky_meter_is_told_with_its_spread_and_number() -> None:
    for shown in plan_shown(a_target(1), sky_meter=SkyOnRecord(21.046, 0.12, 3)):
        assert (
            "sky meter 21.05 ± 0.12 magnitudes per square arcsecond, median of 3 readings here" in shown.words
        )
    for shown in plan_shown(a_target(1), sky_meter=SkyOnRecord(21.046, None, 1)):
        assert "sky meter 21.05 magnitudes per square arcsecond, median of 1 reading here" in shown.words


def test_on_a_usual_terminal_the_targets_stand_in_a_table() -> None:
    """Of 80 columns; a row is a line, unless its title is long."""
    (shown,) = (
        shown for shown in plan_shown(a_target(1), a_target(2, sure=Sure.WITH_CARE)) if shown.width == 80
    )
    header = next(n for n, line in enumerate(shown.lines) if line.startswith("at "))
    assert [line.split()[0] for line in shown.lines[header : header + 3]] == ["at", "21:31", "21:32"]
    assert shown.lines[header + 2].rstrip().endswith("with care")


def test_what_the_equipment_is_good_for_stands_above() -> None:
    chance = LandingChance(Interval(0.774, 0.66, 0.88, 4), 30)
    gear: dict[str, Any] = {
        "mount": "Heron",
        "field_arcmin": 73.4,
        "faintest_star_mag": 13.63,
        "chance_in_field": chance,
    }
    targets = [a_target(1, pier_side=PierSide.EAST), a_target(2, pier_side=PierSide.WEST)]
    for shown in plan_shown(*targets, **gear):
        assert shown.in_order(
            "faintest star magnitude 13.6, by rule of thumb", "field 73'",
            "Heron lands in it 77 % (95 % interval 66 % to 88 %), from 30 arrivals in 4 set-ups", "changes of side 3",
        )  # fmt: skip
        assert [row["tube"] for row in shown.rows(*COLUMNS, "tube")[:2]] == ["east", "west"]
    once = LandingChance(Interval(0.9999, 0.998, 1.0, 1), 6)
    for shown in plan_shown(a_target(1), **gear | {"chance_in_field": once}):
        assert (
            "lands in it more than 99 %, from 6 arrivals in 1 set-up; other nights may differ" in shown.words
        )
    for shown in plan_shown(a_target(1), **gear | {"chance_in_field": None}):
        assert "Heron lands in it unknown: no landings on record" in shown.words
    for shown in plan_shown(a_target(1), **gear | {"field_arcmin": None}):
        assert "lands in it" not in shown.words
        assert "changes of side 3" in shown.words
    for shown in plan_shown(a_target(1), **gear | {"mount": None}):
        assert "lands in it" not in shown.words
        assert "changes of side" not in shown.words
        assert "field 73'" in shown.words


def test_notes_tell_what_is_larger_than_the_field_and_what_is_near_the_sun() -> None:
    targets = [
        a_target(1, fills_field=1.26), a_target(2, fills_field=1.0), a_target(3, type="planet", sun_deg=17.6),
        a_target(4, type="Moon", sun_deg=120.0), a_target(5, type="planet"),
        a_target(6, type="planet", sun_deg=90.0), a_target(7, fills_field=15.44),
    ]  # fmt: skip
    for shown in plan_shown(*targets):
        assert shown.notes == (
            "Larger than the field: M 1 1.3 times its width, M 7 15.4 times its width."
            " Away from the Sun: M 3 18°, M 6 90°."
        )


def test_where_nothing_is_left_it_says_what_to_ask_for() -> None:
    for shown in plan_shown():
        assert "until" not in shown.words
        assert shown.notes.startswith("Nothing is left. Ask for less")
        assert not any(a == b == "" for a, b in pairwise(shown.lines))
    for shown in plan_shown(a_target(1)):
        assert "Nothing is left" not in shown.notes


def test_the_counts_of_what_is_left_out_stand_under_one_another() -> None:
    left = [LeftOut("too low " * 9, 12345), LeftOut("too faint", 7)]
    for shown in plan_shown(a_target(1), left_out=left):
        lines = shown.lines[next(n for n, line in enumerate(shown.lines) if line.startswith("Looked")) + 1 :]
        assert lines[0].startswith("12,345  too low")
        assert lines[-1] == "     7  too faint"
        if shown.width == 40:
            assert lines[1][:9] == " " * 8 + "t"


@pytest.fixture(scope="module")
def records(club_file: Path) -> Iterator[Database]:
    """The club; nothing here writes."""
    database = Database(make_engine(str(club_file)), str(club_file))
    yield database
    database.close()


def test_the_targets_of_a_real_evening_stand_where_the_sky_has_them_ten_minutes_apart(
    records: Database,
) -> None:
    """Places in the sky are held against published ones in tests/published and tests/sky."""
    view, evening = observing_site(records, "Kestrel Ridge"), "2026-03-02T18:00:00Z"
    planned = targets(records, EVENING, state_at(EVENING), "Kestrel Ridge", evening, listed="Messier", most=4)
    same = targets(
        records, EVENING, state_at(EVENING), "Kestrel Ridge", evening, listed="messier", most=4, minutes=10.0
    )
    assert planned[0].targets == same[0].targets
    assert planned[0].considered == 110
    for shown in shown_by(lambda screen: show_targets(screen, planned)):
        rows = shown.rows(*COLUMNS)[:4]
        times = [
            datetime.strptime(f"2026-03-02 {row['at']}", "%Y-%m-%d %H:%M").replace(tzinfo=view.zone)
            for row in rows
        ]
        assert all(after - before >= timedelta(minutes=9) for before, after in pairwise(times))
        for row, when in zip(rows, times, strict=True):
            there = where_is(view, row["target"].split(",")[0], when.astimezone(UTC))
            assert float(row["alt °"]) == pytest.approx(there.alt_deg, abs=0.8), row
            moon = where_is(view, "Moon", when.astimezone(UTC))
            assert (row["Moon °"] == "down") == (moon.alt_deg < 0)
