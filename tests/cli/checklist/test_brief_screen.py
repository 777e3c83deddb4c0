"""The brief on one screen, read back at every width and held against briefs made by hand."""

from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any

import pytest

from obslog.cli.checklist.brief import Briefing, show_brief
from obslog.club.checklist.briefing import Brief
from obslog.club.landing.night_forecast import NightForecast
from obslog.club.targets.eyepiece_choice import EyepieceAdvice
from obslog.vocabulary.steps import Step
from tests.cli.checklist.briefings import (
    ZONE,
    a_brief,
    a_mount,
    at,
    due,
    loan,
    look_first,
    snag,
    star,
    sun_moon,
    target,
)
from tests.cli.screens import Shown, shown_by

SCREEN_LINES = 24
STEPS = list(Step)


def brief_shown(made: Brief, **options: Any) -> Iterator[Shown]:
    return shown_by(lambda screen: show_brief(screen, Briefing(made, ZONE), full=False), **options)


def test_the_evening_of_one_mount_in_its_order_with_its_numbers() -> None:
    mount = a_mount(
        look_first=[look_first(Step.POWER, 0.9)], notices=[loan("Finder 2 is out"), due("Heron is due")],
        open_snags=[snag("motor whines", at(22, 0, 1))],
    )  # fmt: skip
    for shown in brief_shown(a_brief(mount)):
        assert shown.in_order(
            "Mind the Sun.",
            "Mill Field, night of 2026-03-02, 21:00, Ines",
            "Fully dark 20:06 to 04:17; sunset 18:40, sunrise 05:43. "
            "Moon: waxing gibbous, 62 % lit, 34° up, sets 02:15 [sky sun-moon -s SITE]",
            "Polaris is 37' from the pole: by eye 27° clockwise of straight up, near 1 o'clock",
            "[sky pole -s SITE]",
            "Heron with Long tube: set the altitude scale to 51.4°",
            "Look first [checklist Heron -s SITE]:",
            "Check power: power wrong often",
            "Sync at 21:00: Capella 71° up, azimuth 280°, tube east; Regulus 36°, 122°, tube west "
            "[pointing stars Heron -s SITE]",
            "Then half of the go-tos land within 7', 95 % within 16'; "
            "use Wide 25 (field 73', 94 % land in it). Half after each star: 41', 7'.",
            "Showpieces: 21:30 M40 (cluster), 50° up; 21:35 M41 (cluster), 51° up [targets -s SITE]",
            "On loan: Finder 2 is out [loan list]",
            "Due: Heron is due [service due]",
            "1 open snag, the newest 2026-03-01, power: motor whines [snag list]",
            "all at once with --full.",
        )


def test_what_is_not_known_is_left_out() -> None:
    mount = a_mount(tube=None, scale=None, eyepiece=None, stars=[star(1, "Vega", 60.0, 90.0)], after_each=[])
    made = a_brief(mount, member=None, pole=None, targets=[], cautions=[])
    for shown in brief_shown(made):
        assert shown.in_order(
            "Mill Field, night of 2026-03-02, 21:00 Fully dark",
            "[sky sun-moon -s SITE] Heron Sync at 21:00: Vega 60° up, azimuth 90° [pointing stars",
            "95 % within 16'. In brackets",
        )
        for word in ("Polaris", "Look first", "Showpieces", "On loan", "Due", "snag", "tube", "None"):
            assert word not in shown.words
    for shown in brief_shown(a_brief(a_mount(expected_landing_arcmin=None))):
        assert "Where go-tos will then land is not known." in shown.words
        assert "half of the go-tos" not in shown.words


def test_no_go_to_is_called_certain_to_land_in_an_eyepiece() -> None:
    wide = EyepieceAdvice("Wide 40", 120.0, 0.9999)
    for shown in brief_shown(a_brief(a_mount(eyepiece=wide))):
        assert "use Wide 40 (field 120', more than 99 % land in it)" in shown.words


@pytest.mark.parametrize(
    ("alt_deg", "words"),
    [(33.6, "34° up"), (0.4, "0° up"), (-0.4, "below the horizon"), (-33.6, "below the horizon")],
)
def test_the_moon_is_up_where_it_is_up(alt_deg: float, words: str) -> None:
    for shown in brief_shown(a_brief(sun_moon=sun_moon(moon_alt_deg=alt_deg))):
        assert f"62 % lit, {words}, sets 02:15 [sky" in shown.words


def test_the_time_to_sync_says_whether_that_is_dusk() -> None:
    one, two = a_mount(), a_mount("Wren")
    for mounts in ((one,), (one, two)):
        for shown in brief_shown(a_brief(*mounts, sync_utc=at(19, 5))):
            assert "Sync at 19:05, civil dusk" in shown.words
        for shown in brief_shown(a_brief(*mounts)):
            assert "civil dusk" not in shown.words


def test_too_light_for_stars_is_said_in_their_place() -> None:
    for mounts in ((a_mount(),), (a_mount(), a_mount("Wren"))):
        for shown in brief_shown(a_brief(*mounts, too_light="It is too light for stars at 21:00.")):
            assert shown.words.count("It is too light for stars at 21:00.") == 1
            for word in ("Sync at", "Capella", "go-tos"):
                assert word not in shown.words


def test_what_could_not_be_planned_says_why() -> None:
    without = a_mount(stars=[], not_planned="No stars are high enough.", expected_landing_arcmin=None)
    for shown in brief_shown(a_brief(without)):
        assert "No stars are high enough. [pointing stars Heron -s SITE]" in shown.words
        assert "Sync at" not in shown.words
        assert "go-tos" not in shown.words
    for shown in brief_shown(a_brief(without, a_mount("Wren"))):
        assert shown.in_order(
            "Sync at", "Wren (7'): Capella, Regulus", "No stars could be planned for Heron."
        )
    other = a_mount("Wren", stars=[], not_planned="None.", expected_landing_arcmin=None)
    for shown in brief_shown(a_brief(without, other)):
        assert "No stars could be planned for Heron, Wren." in shown.words
        assert "Sync at" not in shown.words


def test_several_mounts_share_the_lines() -> None:
    mounts = [
        a_mount("Heron", look_first=[look_first(Step.POWER, 0.6)], open_snags=[snag("a", at(22, 0, 1))]),
        a_mount(
            "Wren",
            expected_landing_arcmin=None,
            open_snags=[snag("b", at(22, 0, 1)), snag("c", at(21, 0, 1))],
        ),
    ]
    for shown in brief_shown(a_brief(*mounts)):
        assert shown.in_order(
            "Look first [checklist MOUNT -s SITE]:",
            "Sync at 21:00 (half of the go-tos then land within the arcminutes shown): "
            "Heron (7'): Capella, Regulus; Wren: Capella, Regulus [pointing stars MOUNT -s SITE]",
            "Open snags: Wren 2, Heron 1 [snag list]",
        )
        assert "Heron with Long tube" not in shown.words
        assert "No stars could" not in shown.words


def test_the_likeliest_faults_come_first_each_once() -> None:
    heron = a_mount(look_first=[look_first(STEPS[n], 0.3 + n / 10) for n in range(5)])
    wren = a_mount(
        "Wren", look_first=[look_first(STEPS[2], 0.5), look_first(STEPS[0], 0.99, name="Wren")]
    )  # the first is Heron's own again
    for shown in brief_shown(a_brief(heron, wren)):
        assert "Look first [checklist MOUNT -s SITE, 2 more]:" in shown.words
        told = [f"Check {STEPS[n]}: {STEPS[n]} wrong often" for n in (0, 4, 3, 2)]
        assert shown.in_order(*told)
        assert shown.words.count("wrong often") == 4
    for shown in brief_shown(a_brief(a_mount(look_first=heron.look_first[:4]))):
        assert "Look first [checklist Heron -s SITE]:" in shown.words
        assert shown.words.count("wrong often") == 4


def test_evidence_that_takes_more_than_a_line_is_told_as_a_count() -> None:
    # The screen is 80 wide and the line set in by two; the title takes 9, and a colon and a blank.
    title = "Check it!"
    fits, too_long = "x" * (78 - len(title) - 2), "y" * (79 - len(title) - 2)
    made = a_mount(
        look_first=[
            look_first(Step.POWER, 0.9, title=title, evidence=fits),
            look_first(Step.LEVEL, 0.8, title=title, evidence=too_long),
            look_first(
                Step.CABLES, 0.7, title=title, evidence=too_long, about="site", name="Mill Field", wrong=2
            ),
        ]
    )
    for shown in brief_shown(a_brief(made), widths=[220, 80, None]):
        assert shown.in_order(
            f"Check it!: {fits}",
            "Check it!: wrong on 3 of the last 8 nights with Heron",
            "Check it!: wrong on 2 of the last 8 set-ups at Mill Field",
        )
        assert too_long not in shown.words


def test_each_loan_and_service_is_told_once_and_the_rest_counted() -> None:
    one = a_mount(notices=[loan("L1"), loan("L2"), due("D1"), loan("L3"), loan("L4")])
    two = a_mount("Wren", notices=[loan("L1"), due("D2"), loan("L5")])
    for shown in brief_shown(a_brief(one, two)):
        assert "On loan: L1; L2; L3 [loan list, 2 more]" in shown.words
        assert "Due: D1; D2 [service due]" in shown.words


def test_of_many_mounts_ten_are_told_and_five_of_those_with_snags() -> None:
    names = [f"M{n:02}" for n in range(12)]
    mounts = [
        a_mount(name, stars=[star(1, "Vega", 50, 60)], open_snags=[snag("x", at(22, 0, 1))] * (n + 1))
        for n, name in enumerate(names[:7])
    ] + [a_mount(name, stars=[star(1, "Vega", 50, 60)]) for name in names[7:]]
    for shown in brief_shown(a_brief(*mounts)):
        assert f"{names[9]} (7'): Vega; and 2 more mounts [pointing stars" in shown.words
        # Seven mounts have 1 to 7; the five with the most are named, and 1 + 2 are left.
        assert "Open snags: M06 7, M05 6, M04 5, M03 4, M02 3 [snag list, 3 more]" in shown.words
    for shown in brief_shown(a_brief(*mounts[1:])):
        assert "and 1 more mount [pointing" in shown.words
    for shown in brief_shown(a_brief(*mounts[2:])):
        assert "more mount" not in shown.words


def test_the_newest_snag_is_told_by_the_days_of_the_place() -> None:
    # 23:30 in London is half past one the day after where the clocks are two hours on.
    late = datetime(2026, 2, 27, 23, 30, tzinfo=UTC)
    made = a_mount(open_snags=[snag("newest", late, Step.LEVEL), snag("older", at(21, 0, 1))])
    for shown in brief_shown(a_brief(made)):
        assert "2 open snags, the newest 2026-02-28, level: newest [snag list]" in shown.words


def crowded(cautions: int) -> Brief:
    """Twelve mounts with long names, and more of everything than fits; a caution of 81 signs, and short ones."""
    mounts = [
        a_mount(
            f"Mount number {n:02} of the club in all", stars=[star(1, "Vega", 50, 60)],
            look_first=[look_first(step, 0.5) for step in STEPS[:6]], notices=[loan(f"lent {i}") for i in range(5)],
        )
        for n in range(12)
    ]  # fmt: skip
    return a_brief(
        *mounts,
        pole=None,
        targets=[target(n) for n in range(6)],
        cautions=["c" * 40 + " " + "d" * 40, *["Mind."] * cautions],
    )


def told_counts(shown: Shown) -> tuple[int, int, int, int]:
    """How many steps, targets, loans and mounts are told."""
    return tuple(
        shown.words.count(word) for word in ("wrong often", "(cluster)", "lent", " of the club in all")
    )  # type: ignore[return-value]


def test_with_more_to_say_fewer_of_each_are_told_and_a_screen_is_filled_but_never_passed() -> None:
    counts, heights = [], []
    for cautions in range(11):
        for shown in brief_shown(crowded(cautions), widths=[80]):
            counts.append(told_counts(shown))
            heights.append(len(shown.lines))
    assert max(heights) == SCREEN_LINES
    # In steps from everything to one of each: steps of the checklist, targets, loans, mounts.
    assert [*dict.fromkeys(counts)] == [
        (4, 6, 3, 10), (3, 4, 2, 10), (3, 3, 1, 8), (3, 3, 1, 6), (2, 2, 1, 5), (1, 1, 1, 3),
    ]  # fmt: skip


def test_where_nothing_fits_the_least_is_told() -> None:
    for shown in brief_shown(crowded(15), widths=[80]):
        assert told_counts(shown) == (1, 1, 1, 3)


def test_what_past_nights_say_follows_what_the_stars_promise() -> None:
    ahead = NightForecast(
        half_arcmin=14.0, half_of_nights_arcmin=(9.6, 20.4), nine_of_ten_arcmin=(5.2, 36.0), setups=12
    )
    for shown in brief_shown(a_brief(a_mount(forecast=ahead))):
        assert shown.in_order(
            "Then half of the go-tos land within 7'", "By past nights half of the go-tos land within 14'"
        )
