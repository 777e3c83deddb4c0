"""How a mount is judged: never from few nights or one observer, and by its own errors rather than by its name."""

from dataclasses import replace
from datetime import date

import pytest

from obslog.club.register.rule_book import RULES, Rules
from obslog.club.review.verdict_rules import mount_reasons, standing_reasons
from obslog.club.review.verdicts import (
    Growth,
    MountEvidence,
    OpenSnags,
    OwnErrors,
    Standing,
    Status,
    ranked,
    status_of,
)
from obslog.values import Estimate, Interval
from obslog.vocabulary import Step

BOOK = Rules({})
TODAY = date(2026, 3, 2)
TRUE_AXES = OwnErrors(
    scatter_arcmin=Estimate(1.2, 0.1, 160, True),
    cone_arcmin=Estimate(3, 0.4, 160, True),
    squareness_arcmin=Estimate(1.6, 0.6, 160, True),
    polar_axis_off_arcmin=25,
    setups=42,
)
LOOSE = replace(TRUE_AXES, scatter_arcmin=Estimate(4.2, 0.2, 290, True), polar_axis_off_arcmin=9.0)
WORSE = Interval(1.8, 1.1, 2.9, 17)
MOUNT = MountEvidence(setups=20, observers=5, usual_site="Mill Field", setups_last_year=12)


def judged(mount: MountEvidence, rules: Rules = BOOK) -> tuple[Status, str]:
    reasons = ranked(list(mount_reasons("Heron", mount, rules)))
    return status_of(reasons), "; ".join(reason.words for reason in reasons)


def test_a_mount_of_which_nothing_is_said_is_ready() -> None:
    assert judged(MOUNT) == (Status.READY, "")


@pytest.mark.parametrize(("setups", "observers"), [(0, 0), (1, 1), (5, 5), (200, 1)])
def test_never_a_verdict_from_few_setups_or_one_observer(setups: int, observers: int) -> None:
    """Whatever the numbers say: then only the pointing run that would settle it."""
    damning = replace(
        MOUNT,
        setups=setups,
        observers=observers,
        effect=Interval(9, 8, 10, 20),
        own=replace(LOOSE, scatter_arcmin=Estimate(50, 0.1, 900, True)),
        growth=Growth("worsening", Interval(9.0, 8.0, 10.0, setups), [TODAY] * 9),
    )
    status, words = judged(damning)
    assert status is Status.WATCH
    assert "too few to judge" in words
    assert 'obslog pointing run-plan Heron --site "Mill Field"' in words


def test_one_landing_error_with_two_stories() -> None:
    """The same effect: laid to the borrowers where the fit finds the mount sound, to the mount where it is loose."""
    status, words = judged(replace(MOUNT, effect=WORSE, own=TRUE_AXES, raw_ratio=2.4))
    assert status is Status.READY
    assert "the mount is not at fault" in words
    assert "median polar-axis error 25'" in words
    assert (
        "1.80 times the club's average (95 % interval 1.10 to 2.90) over 17 set-ups by 5 observers" in words
    )
    status, words = judged(replace(MOUNT, effect=WORSE, own=LOOSE, raw_ratio=1.4))
    assert status is Status.SERVICE
    assert "careful users mask part of the fault" in words


def test_a_mount_is_not_cleared_by_what_the_fit_cannot_tell() -> None:
    unsure = replace(TRUE_AXES, cone_arcmin=Estimate(0.0, 20.0, 3, False))
    assert judged(replace(MOUNT, effect=WORSE, own=unsure))[0] is Status.WATCH
    assert judged(replace(MOUNT, effect=WORSE))[0] is Status.WATCH


@pytest.mark.parametrize("low", [0.2, 0.99, 1.0])
def test_an_effect_whose_interval_holds_one_says_nothing(low: float) -> None:
    assert judged(replace(MOUNT, effect=Interval(1.1, low, 3, 20), own=TRUE_AXES)) == (Status.READY, "")
    assert judged(replace(MOUNT, effect=Interval(1.5, low, 3, 20))) == (Status.READY, "")


def test_a_bad_name_is_answered_even_where_the_split_is_not_sure() -> None:
    """The club asks why it lands badly, whether or not that is significant; only a sound mount is cleared."""
    unsure = replace(MOUNT, effect=Interval(1.2, 0.8, 1.8, 20), raw_ratio=1.4)
    status, words = judged(replace(unsure, own=TRUE_AXES))
    assert status is Status.READY
    assert "the mount is not at fault" in words
    assert judged(replace(unsure, own=TRUE_AXES, raw_ratio=1.1)) == (Status.READY, "")
    assert "the mount is not at fault" not in judged(replace(unsure, own=LOOSE))[1]


@pytest.mark.parametrize(("per_year", "status"), [(1.2, Status.WATCH), (1.5, Status.SERVICE)])
def test_growth_is_watched_or_serviced_by_its_size(per_year: float, status: Status) -> None:
    grown = replace(MOUNT, growth=Growth("worsening", Interval(per_year, 1.1, 2.0, 20), []))
    assert judged(grown)[0] is status
    assert (
        judged(replace(MOUNT, growth=Growth("steady", Interval(per_year, 0.9, 2.0, 20), [])))[0]
        is Status.READY
    )


def test_one_alarm_is_no_verdict() -> None:
    alarms = [date(2026, 1, 1), date(2026, 2, 1)]
    assert judged(replace(MOUNT, growth=Growth("steady", None, alarms[:1])))[0] is Status.READY
    assert judged(replace(MOUNT, growth=Growth("steady", None, alarms)))[0] is Status.WATCH


def test_a_crooked_tube_is_named_only_where_it_is_sure() -> None:
    for value, sd, status in ((15, 1, Status.WATCH), (-15, 1, Status.WATCH), (15, 6, Status.READY)):
        crooked = replace(TRUE_AXES, cone_arcmin=Estimate(value, sd, 99, True))
        assert judged(replace(MOUNT, own=crooked))[0] is status


def test_snags_count_by_members_and_by_whose_step_it_is() -> None:
    for step, members, status in (
        (Step.CENTRE, 3, Status.WATCH),
        (Step.CENTRE, 2, Status.READY),
        (Step.POLAR_AXIS, 9, Status.READY),
    ):
        assert judged(replace(MOUNT, snags=[OpenSnags(step, 9, members, TODAY)]))[0] is status


def test_a_club_can_set_its_own_thresholds() -> None:
    loose = replace(MOUNT, own=LOOSE)
    assert judged(loose)[0] is Status.WATCH
    assert judged(loose, Rules({"scatter-watch": 10}))[0] is Status.READY
    assert judged(loose, Rules({"scatter-service": 3}))[0] is Status.SERVICE
    assert judged(MOUNT, Rules({"fewest-setups": 21}))[0] is Status.WATCH


@pytest.mark.parametrize(
    ("standing", "status", "words"),
    [
        (Standing(), Status.READY, ""),
        (
            Standing(retired_on=date(2026, 1, 1), retired_why="worn out"),
            Status.RETIRED,
            "retired on 2026-01-01: worn out",
        ),
        (Standing(holder="Ines", due_on=date(2026, 3, 2)), Status.OUT, "out with Ines, due 2026-03-02"),
        (
            Standing(holder="Ines", due_on=date(2026, 2, 27)),
            Status.OUT,
            "out with Ines, due 2026-02-27; overdue by 3 days",
        ),
        (Standing(missing={"": date(2026, 1, 5)}), Status.OUT, "missing since 2026-01-05"),
        (Standing(missing={"Wide 25": None}), Status.WATCH, "Wide 25 is missing"),
        (Standing(service_due=["service was due"]), Status.SERVICE, "service was due"),
        (Standing(idle_days=365), Status.WATCH, "neither used nor lent for 365 days"),
        (Standing(idle_days=364), Status.READY, ""),
        (Standing(battery_percent=40), Status.SERVICE, "at its last test it had 40 % of its capacity"),
    ],
)
def test_a_standing_has_its_reason(standing: Standing, status: Status, words: str) -> None:
    reasons = list(standing_reasons(standing, BOOK, TODAY))
    assert status_of(reasons) is status
    assert "; ".join(reason.words for reason in reasons) == words


def test_every_default_lies_within_its_own_ends() -> None:
    for name, rule in RULES.items():
        assert rule.default is None or rule.low <= rule.default <= rule.high, name
