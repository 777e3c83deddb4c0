"""Stars to sync on and pointing runs, read back at every width and held against records by hand."""

from functools import partial
from typing import Any

from obslog.cli.aligning.sync_stars import show_run_plan, show_stars
from obslog.club.aligning.plan_heading import PlanHeading
from obslog.club.aligning.sync_star_plan import Expected, RunPage, StarPlan
from obslog.vocabulary.mounts import PierSide
from tests.cli.checklist.briefings import star
from tests.cli.program import Program
from tests.cli.screens import shown_by

STEPS = ("", "star", "mag", "altitude °", "azimuth °", "tube")
LANDINGS = ("then half within '", "95 % within '", "in the field")
STARS = [star(1, "Capella", 71.4, 280.3, PierSide.EAST), star(2, "Regulus", 35.6, 121.7, PierSide.WEST)]


def a_plan(**changed: Any) -> StarPlan:
    landings = [Expected(31.26, 70.04, 0.404), Expected(7.44, 15.66, None)]
    values: dict[str, Any] = {
        "mount": "Heron", "tube": "Long tube", "stars": STARS, "expected_landing_arcmin": landings[-1],
        "after_each": landings, "flips": 1, "basis": ["from 8 set-ups"], "caution": None,
    }  # fmt: skip
    return StarPlan(**(values | changed))


def test_the_stars_stand_in_their_order_with_what_each_sync_brings() -> None:
    for shown in shown_by(
        lambda screen: show_stars(screen, (a_plan(), PlanHeading("Heron at Mill Field", None)))
    ):
        assert shown.lines[:2] == ["Heron at Mill Field", "  from 8 set-ups"]
        assert [list(row.values()) for row in shown.rows(*STEPS, *LANDINGS)] == [
            ["1", "Capella", "1.0", "71", "280", "east", "31.3", "70.0", "40 %"],
            ["2", "Regulus", "1.0", "36", "122", "west", "7.4", "15.7", ""],
        ]
    for shown in shown_by(
        lambda screen: show_stars(screen, (a_plan(caution="The Sun."), PlanHeading("Heron", "It is light.")))
    ):
        assert shown.lines[:3] == ["CAUTION. The Sun.", "Heron", "  It is light."]


def test_no_go_to_is_called_certain_to_land_in_the_field() -> None:
    landings = [Expected(2.0, 4.1, 0.9999), Expected(900.0, 1900.0, 0.001)]
    for shown in shown_by(
        lambda screen: show_stars(screen, (a_plan(after_each=landings), PlanHeading("Heron", None)))
    ):
        assert [row["in the field"] for row in shown.rows(*STEPS, *LANDINGS)] == ["> 99 %", "< 1 %"]


def test_a_long_basis_stays_indented_where_it_is_wrapped() -> None:
    plan = a_plan(basis=["only the last sync counts, " * 5])
    for shown in shown_by(lambda screen: show_stars(screen, (plan, PlanHeading("Heron", None)))):
        assert all(line.startswith("  ") for line in shown.lines[1 : shown.lines.index("")])


def test_a_run_says_how_well_it_would_tell_what() -> None:
    run: dict[str, Any] = {
        "mount": "Heron", "stars": STARS, "minutes": 41.6, "caution": None,
        "sd_arcmin": {"cone": 1.26, "squareness": 2.5, "sag": 4.04},
    }  # fmt: skip
    told = "It would tell cone error to ±1.3', squareness to ±2.5', sag to ±4.0'. Well enough to judge the mount by: "
    for determines, words in ((["cone", "sag"], "cone error, sag."), ([], "none of them.")):
        page = RunPage(**run, determines=determines)
        for shown in shown_by(
            partial(show_run_plan, planned=(page, PlanHeading("Pointing run of Heron", None)))
        ):
            assert shown.in_order(
                "Pointing run of Heron",
                "sync on the first star, check the others, about 42 min",
                told + words,
            )
            assert [list(row.values()) for row in shown.rows(*STEPS)][:2] == [
                ["1", "Capella", "1.0", "71", "280", "east"], ["2", "Regulus", "1.0", "36", "122", "west"],
            ]  # fmt: skip


def test_by_day_the_plan_says_when_stars_can_be_seen(in_club: Program) -> None:
    for name in ("stars", "run-plan"):
        words = ("pointing", name, "Heron", "--site", "Mill Field", "--at")
        by_day = in_club.must(*words, "2026-03-02T13:00Z").out
        assert "Mill Field, 2026-03-02 13:00" in by_day
        hint = by_day[by_day.index('--at "') + len('--at "') :].split('"')[0]
        by_night = in_club.must(*words, hint).out
        assert f"Mill Field, {hint}" in by_night
        assert "too light" not in by_night


def test_at_dusk_a_run_says_when_all_of_its_stars_can_be_found(in_club: Program) -> None:
    words = ("pointing", "run-plan", "Heron", "--site", "Mill Field", "--at")
    at_dusk = in_club.must(*words, "2026-03-02T18:16Z").out
    assert "may be too faint to be found when the turn comes. All can be found from " in at_dusk
    hint = at_dusk[at_dusk.index('--at "') + len('--at "') :].split('"')[0]
    assert "too faint" not in in_club.must(*words, hint).out
