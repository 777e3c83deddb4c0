"""The brief in full, mount by mount, read back at every width and held against briefs made by hand."""

from collections.abc import Iterator
from datetime import UTC, date, datetime

from obslog.cli.checklist.brief import Briefing, show_brief
from obslog.club.checklist.briefing import Brief
from obslog.vocabulary.steps import Step
from tests.cli.checklist.briefings import (
    ZONE,
    a_brief,
    a_mount,
    at,
    due,
    look_first,
    serviced,
    snag,
    star,
    sun_moon,
)
from tests.cli.screens import Shown, shown_by


def brief_shown(made: Brief) -> Iterator[Shown]:
    return shown_by(lambda screen: show_brief(screen, Briefing(made, ZONE), full=True))


def test_the_evening_stands_in_its_order_with_its_numbers() -> None:
    mount = a_mount(
        look_first=[look_first(Step.POWER, 0.9, last_remedy="tighten")], notices=[due("Heron is due")],
        open_snags=[snag("motor whines", at(22, 0, 1))], last_service=serviced(date(2026, 1, 9), "greased"),
    )  # fmt: skip
    for shown in brief_shown(a_brief(mount)):
        assert shown.in_order(
            "Mind the Sun.",
            "Mill Field, night of 2026-03-02, 21:00, Ines",
            "Fully dark 20:06 to 04:17; sunset 18:40, sunrise 05:43.",
            "Moon: waxing gibbous, 62 % lit, 34° up, sets 02:15.",
            "Polaris is 37' from the pole: by eye 27° clockwise of straight up",
            "Heron with Long tube",
            "set the altitude scale to 51.4°",
            "Look first:",
            "!! Check power: power wrong often (last on 2026-02-20; remedy: tighten)",
            "Sync at 21:00, in this order:",
            "1. Capella: 71° up, azimuth 280°, tube east",
            "2. Regulus: 36° up, azimuth 122°, tube west",
            "Then half of the go-tos land within 7', 95 % within 16'; use Wide 25 (field 73', 94 % land in it). "
            "Half after each star: 41', 7'.",
            "! open, 2026-03-01, power: motor whines",
            "last service 2026-01-09: greased",
            "! Heron is due",
            "Showpieces: 21:30 M40 (cluster), 50° up; 21:35 M41 (cluster), 51° up.",
        )


def test_what_is_not_known_is_left_out() -> None:
    mount = a_mount(tube=None, scale=None, stars=[star(1, "Vega", 60.0, 90.0)])
    for shown in brief_shown(a_brief(mount, member=None, pole=None, targets=[], cautions=[])):
        assert shown.lines[0] == "Mill Field, night of 2026-03-02, 21:00"
        assert shown.in_order("sets 02:15. Heron Sync at", "1. Vega: 60° up, azimuth 90° Then half")
        for word in ("Polaris", "Look first", "Showpieces", "open", "service", "tube", "None", "!"):
            assert word not in shown.words


def test_a_mount_without_stars_says_why_and_the_next_has_its_own() -> None:
    without = a_mount(stars=[], not_planned="No stars are high enough.")
    for shown in brief_shown(a_brief(without, a_mount("Wren"))):
        assert shown.in_order(
            "Heron with Long tube", "No stars are high enough.", "Wren with Long tube", "1. Capella"
        )
        assert shown.words.count("Sync at") == shown.words.count("half of the go-tos") == 1


def test_the_moon_below_the_horizon_is_said_to_be_there_and_the_stars_are_for_dusk() -> None:
    made = a_brief(sun_moon=sun_moon(moon_alt_deg=-3.0), sync_utc=at(19, 5))
    for shown in brief_shown(made):
        assert "62 % lit, below the horizon, sets 02:15." in shown.words
        assert "Sync at 19:05, in this order:" in shown.words


def test_three_snags_are_told_the_newest_first_each_once_with_how_often_and_the_last_day() -> None:
    # 23:30 in London is half past one the day after where the clocks are two hours on.
    late = datetime(2026, 2, 27, 23, 30, tzinfo=UTC)
    texts = [
        snag("whines", late),
        snag("slips", at(21, 0, 1), Step.LEVEL),
        snag("whines", datetime(2026, 1, 5, 20, tzinfo=UTC)),
        snag("loose", datetime(2026, 1, 4, 20, tzinfo=UTC)),
        snag("whines", datetime(2026, 1, 3, 20, tzinfo=UTC), Step.CABLES),
    ]
    for shown in brief_shown(a_brief(a_mount(open_snags=texts))):
        assert shown.in_order(
            "! open, 2026-02-28, power: whines (2 times)",
            "! open, 2026-03-01, level: slips",
            "! open, 2026-01-04, power: loose",
            "! and 1 more: obslog snag list",
        )
        assert "cables" not in shown.words
        assert "(1 times)" not in shown.words
    for shown in brief_shown(a_brief(a_mount(open_snags=texts[:4]))):
        assert "more: obslog" not in shown.words
    for shown in brief_shown(a_brief(a_mount(open_snags=[*texts, snag("e", at(20, 0, 1))]))):
        assert "! and 2 more: obslog snag list" in shown.words


def test_each_part_is_set_in_under_its_mount() -> None:
    mount = a_mount(
        look_first=[look_first(Step.POWER, 0.9)], last_service=serviced(date(2026, 1, 9), "greased")
    )
    for shown in brief_shown(a_brief(mount)):
        begin = {
            "Mill Field": 0, "Heron with": 0, "set the altitude": 2, "Look first": 2, "!! Check": 4, "Sync at": 2,
            "1. Capella": 4, "Then half": 2, "last service": 2, "Showpieces": 0,
        }  # fmt: skip
        for text, indent in begin.items():
            (line,) = [line for line in shown.lines if line.strip().startswith(text)]
            assert len(line) - len(line.lstrip()) == indent, text


def test_what_is_wrapped_stands_further_in_than_it_began() -> None:
    long = "word " * 12
    mount = a_mount(
        scale=f"scale {long}", look_first=[look_first(Step.POWER, 0.9, evidence=long)], notices=[due(f"due {long}")],
        open_snags=[snag(long, at(20, 0, 1))], last_service=serviced(date(2026, 1, 9), long),
        stars=[star(1, f"Capella {long}", 60.0, 90.0)],
    )  # fmt: skip
    without = a_mount("Wren", stars=[], not_planned=f"No stars {long}")
    begin = {
        "scale": 4, "!! Check": 7, "1. Capella": 7, "Then half": 4, "last service": 4, "! due": 4, "! open": 4,
        "Showpieces": 2, "No stars": 4,
    }  # fmt: skip
    for shown in brief_shown(a_brief(mount, without)):
        if shown.width != 40:
            continue
        for text, indent in begin.items():
            place = next(n for n, line in enumerate(shown.lines) if line.strip().startswith(text))
            assert len(shown.lines[place + 1]) - len(shown.lines[place + 1].lstrip()) == indent, text


def test_too_light_for_stars_is_said_in_their_place() -> None:
    for shown in brief_shown(a_brief(a_mount(), too_light="It is too light for stars at 21:00.")):
        assert "It is too light for stars at 21:00." in shown.words
        for word in ("Sync at", "Capella", "go-tos"):
            assert word not in shown.words
