"""How a mount is judged: never from few nights or one observer, and by its own errors rather than by its name."""

from dataclasses import replace
from datetime import date
from math import log

import pytest

from obslog.club.register.rule_book import Rules
from obslog.club.review.verdict_rules import mount_reasons
from obslog.club.review.verdicts import (
    Growth,
    MisfitInWords,
    MountEvidence,
    OpenSnags,
    OwnErrors,
    Status,
    ranked,
    status_of,
)
from obslog.trends.series.growth import Grown
from obslog.values import Estimate, Interval
from obslog.vocabulary.mistakes import MisfitKind
from obslog.vocabulary.mounts import MountType
from obslog.vocabulary.steps import Step

BOOK = Rules({})
TODAY = date(2026, 3, 2)
TRUE_AXES = OwnErrors(
    scatter_arcmin=Estimate(1.2, 0.1, 160, True),
    cone_arcmin=Estimate(3, 0.4, 160, True),
    squareness_arcmin=Estimate(1.6, 0.6, 160, True),
    sag_arcmin=Estimate(1.4, 0.3, 160, True),
    polar_axis_off_arcmin=25,
    setups=42,
    mount_type=MountType.GERMAN,
)
LOOSE = replace(TRUE_AXES, scatter_arcmin=Estimate(4.2, 0.2, 290, True), polar_axis_off_arcmin=9.0)
WORSE = Interval(1.8, 1.1, 2.9, 17)
MOUNT = MountEvidence(setups=20, nights=20, observers=5, usual_site="Mill Field", setups_last_year=12)


def judged(mount: MountEvidence, rules: Rules = BOOK) -> tuple[Status, str]:
    reasons = ranked(list(mount_reasons("Heron", mount, rules)))
    return status_of(reasons), "; ".join(reason.words for reason in reasons)


def test_a_mount_of_which_nothing_is_said_is_ready() -> None:
    assert judged(MOUNT) == (Status.READY, "")


@pytest.mark.parametrize(
    ("setups", "observers", "words"),
    [
        (0, 0, "0 set-ups with landings: too few to judge; a pointing run"),
        (1, 1, "1 set-up with landings by 1 observer: too few to judge; a pointing run"),
        (5, 5, "5 set-ups with landings by 5 observers: too few to judge; a pointing run"),
        (200, 1, "all 200 set-ups with landings by one person: it may be the person; let somebody else"),
    ],
)
def test_never_a_verdict_from_few_setups_or_one_observer(setups: int, observers: int, words: str) -> None:
    """Whatever the numbers say: then only what would tell."""
    damning = replace(
        MOUNT,
        setups=setups,
        observers=observers,
        effect=Interval(9, 8, 10, 20),
        own=replace(LOOSE, scatter_arcmin=Estimate(50, 0.1, 900, True)),
        growth=Growth("worsening", Interval(9.0, 8.0, 10.0, setups), [TODAY] * 9),
    )
    status, told = judged(damning)
    assert status is Status.WATCH
    assert told.startswith(words)


@pytest.mark.parametrize(
    ("tube_observers", "status"), [(None, Status.SERVICE), (2, Status.SERVICE), (1, Status.READY)]
)
def test_a_tube_is_judged_only_by_as_many_people_as_the_mount(
    tube_observers: int | None, status: Status
) -> None:
    """With the tube of today one person alone: whatever is found may be theirs."""
    assert judged(replace(MOUNT, effect=WORSE, own=LOOSE, tube_observers=tube_observers))[0] is status


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
    assert "its own scatter says the same" in words


@pytest.mark.parametrize(
    ("as_set_up", "words"),
    [
        ({"setups": 3}, "its axes are true; median polar-axis error 25' over 3 set-ups: help the borrowers"),
        (
            {"mount_type": MountType.ALTAZ},
            "its axes are true; median lean of the base 25' over 42 set-ups: help",
        ),
        ({"polar_axis_off_arcmin": None, "setups": 0}, "its axes are true: help the borrowers"),
    ],
)
def test_how_a_sound_mount_was_set_up_is_told_of_the_set_ups_that_tell_it(
    as_set_up: dict[str, object], words: str
) -> None:
    own = replace(TRUE_AXES, **as_set_up)  # type: ignore[arg-type]
    assert words in judged(replace(MOUNT, effect=WORSE, own=own))[1]


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
    assert words.startswith(
        "as used it misses by 1.40 times the club's average, but allowing for who set it up and where, it misses by "
        "1.20 times the club's average (95 % interval 0.80 to 1.80) over 20 set-ups by 5 observers: the mount is not "
        "at fault"
    )
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


def test_a_tube_that_bends_is_named_where_it_is_sure() -> None:
    status, words = judged(replace(MOUNT, own=fitted(sag=(15.0, 0.5))))
    assert status is Status.WATCH
    assert words.startswith("sag +15.0' ± 0.5' over 160 readings: the tube bends under its weight")
    assert judged(replace(MOUNT, own=fitted(sag=(15.0, 6.0))))[1] == ""


UNEXPLAINED = MisfitInWords(
    kind=MisfitKind.DIRECTION, words="it points 4' off eastward", size_arcmin=4.0, since=None
)
ALARMS = [date(2026, 1, 1), date(2026, 2, 1)]


@pytest.mark.parametrize(
    ("against", "cleared"),
    [
        ({"growth": Growth("worsening", Interval(1.8, 1.2, 2.7, 20), [])}, False),
        ({"growth": Growth("steady", None, ALARMS)}, False),
        ({"left_out": [UNEXPLAINED]}, False),
        ({"growth": Growth("steady", Interval(1.0, 0.8, 1.2, 20), ALARMS[:1])}, True),
        ({"left_out": [replace(UNEXPLAINED, kind=MisfitKind.OBSERVER)]}, True),
    ],
)
def test_a_mount_is_not_cleared_beside_a_reason_that_speaks_against_it(
    against: dict[str, object], cleared: bool
) -> None:
    """True axes, and yet it gets worse: it was "not at fault", and its borrowers wanted help, in the same review."""
    sound = replace(MOUNT, effect=WORSE, own=TRUE_AXES, raw_ratio=2.4)
    _, words = judged(replace(sound, **against))  # type: ignore[arg-type]
    assert ("the mount is not at fault" in words) is cleared
    assert "it misses by 1.80 times" in words


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


def fitted(*, scatter: tuple[float, float] = (1.2, 0.1), **axes: tuple[float, float]) -> OwnErrors:
    """True axes but for what is named, as a value and its standard deviation."""
    found = {f"{name}_arcmin": Estimate(*value, 160, True) for name, value in axes.items()}
    return replace(TRUE_AXES, scatter_arcmin=Estimate(*scatter, 290, True), **found)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("scatter", "status"),
    [
        ((3.2, 0.1), Status.WATCH),  # 3.2 - 1.96 x 0.1 = 3.004, above 3
        ((3.19, 0.1), Status.READY),  # 2.994
        ((6.0, 0.5), Status.SERVICE),  # 5.02, above 5
        ((6.0, 0.6), Status.WATCH),  # 4.824
    ],
)
def test_scatter_counts_where_even_the_low_end_of_its_interval_is_over(
    scatter: tuple[float, float], status: Status
) -> None:
    assert judged(replace(MOUNT, own=fitted(scatter=scatter)))[0] is status


@pytest.mark.parametrize(
    ("own", "cleared"),
    [
        (fitted(), True),
        (fitted(scatter=(2.7, 0.1)), True),  # 2.7 + 0.196 is below 3
        (fitted(scatter=(2.9, 0.1)), False),  # 3.096 is not
        (fitted(cone=(-9.0, 0.5)), True),  # 9.98 is below 10
        (fitted(cone=(-9.0, 0.6)), False),  # 10.176 is not
        (fitted(squareness=(9.0, 0.6)), False),
        (fitted(sag=(9.0, 0.5)), True),
        (fitted(sag=(9.0, 0.6)), False),
        (replace(TRUE_AXES, sag_arcmin=Estimate(1.0, 2.5, 160, False)), False),
    ],
)
def test_a_mount_is_cleared_where_even_the_high_ends_are_within(own: OwnErrors, cleared: bool) -> None:
    status, words = judged(replace(MOUNT, effect=WORSE, own=own, raw_ratio=2.4))
    assert ("the mount is not at fault" in words) is cleared
    assert status is (Status.READY if cleared else Status.WATCH)


LANDS = (
    "it misses by 1.80 times the club's average (95 % interval 1.10 to 2.90) over 17 set-ups by 5 observers"
)


@pytest.mark.parametrize(
    ("own", "raw_ratio", "status", "words"),
    [
        (None, 1.4, Status.WATCH, f"{LANDS}; the fit cannot tell why"),
        (fitted(scatter=(2.9, 0.2)), 1.4, Status.WATCH, LANDS),  # neither surely sound nor surely loose
        (LOOSE, None, Status.SERVICE, f"{LANDS}, and its own scatter says the same"),
        (LOOSE, 1.1, Status.SERVICE, f"{LANDS}, and its own scatter says the same"),
        (
            LOOSE,
            1.09,  # below the low end of its interval
            Status.SERVICE,
            f"{LANDS}, and its own scatter says the same; as used, with these people and sites, it is 1.09 times",
        ),
    ],
)
def test_a_bad_landing_error_is_told_with_its_reason(
    own: OwnErrors | None, raw_ratio: float | None, status: Status, words: str
) -> None:
    reasons = [
        reason
        for reason in mount_reasons("Heron", replace(MOUNT, effect=WORSE, own=own, raw_ratio=raw_ratio), BOOK)
        if "misses" in reason.words
    ]
    assert [(reason.status, reason.words) for reason in reasons] == [(status, words)]
    numbers = reasons[0].numbers
    assert (numbers["ratio"], numbers["low"], numbers["high"], numbers["setups"]) == (1.8, 1.1, 2.9, 17)
    assert (numbers["observers"], numbers["raw_ratio"]) == (5, raw_ratio)
    told = (numbers["scatter_arcmin"], numbers["polar_axis_off_arcmin"])
    assert told == ((own.scatter_arcmin.value, own.polar_axis_off_arcmin) if own else (None, None))


def test_since_when_is_said_of_a_mended_mount() -> None:
    mended = replace(MOUNT, effect=WORSE, serviced_on=date(2025, 10, 10))
    assert "over 17 set-ups since the service of 2025-10-10 by 5 observers" in judged(mended)[1]


@pytest.mark.parametrize(("raw_ratio", "cleared"), [(1.25, True), (1.24, False), (None, False)])
def test_a_bad_name_begins_at_the_clubs_ratio(raw_ratio: float | None, cleared: bool) -> None:
    unsure = replace(MOUNT, effect=Interval(1.2, 0.8, 1.8, 20), own=TRUE_AXES, raw_ratio=raw_ratio)
    assert ("the mount is not at fault" in judged(unsure)[1]) is cleared
    as_bad = replace(unsure, effect=Interval(1.25, 0.8, 1.8, 20), raw_ratio=None)
    assert "the mount is not at fault" in judged(as_bad)[1]


@pytest.mark.parametrize(("low", "status"), [(1.0, Status.READY), (1.01, Status.WATCH), (None, Status.READY)])
def test_the_effect_counts_where_even_its_low_end_is_above_the_clubs_limit(
    low: float | None, status: Status
) -> None:
    assert judged(replace(MOUNT, effect=Interval(1.5, low, 3, 20)))[0] is status
    assert judged(replace(MOUNT, effect=Interval(1.5, low, 3, 20)), Rules({"effect-watch": 0.9}))[0] is (
        Status.READY if low is None else Status.WATCH
    )


def test_the_alarms_are_told_with_their_number_and_the_newest() -> None:
    nights = [date(2026, 1, 1), date(2026, 2, 1)]
    (reason,) = mount_reasons("Heron", replace(MOUNT, growth=Growth("steady", None, nights)), BOOK)
    assert reason.words == (
        "its landing error exceeded the control limit on 2 nights, most recently on 2026-02-01"
    )
    assert reason.numbers == {"nights": nights}
    assert judged(replace(MOUNT, growth=Growth("steady", None, nights)), Rules({"alarms-watch": 3}))[1] == ""


def test_growth_is_told_with_its_factor_and_its_number() -> None:
    grown = replace(MOUNT, growth=Growth("worsening", Interval(1.5, 1.1, 2.0, 20), []))
    (reason,) = mount_reasons("Heron", grown, BOOK)
    assert reason.words == (
        "its landing error grows by a factor of 1.50 (95 % interval 1.10 to 2.00) a year over 20 set-ups"
    )
    assert reason.numbers == {"per_year": 1.5, "low": 1.1, "high": 2.0, "setups": 20}


def test_growth_of_less_than_half_a_year_is_judged_by_what_was_seen() -> None:
    """In 73 days, a fifth of a year, by 1.4: the fifth power of that would be 5.4 a year."""
    seen = Interval(log(1.4), log(1.2), log(1.6), 9)
    (reason,) = mount_reasons("Heron", replace(MOUNT, growth=Growth("worsening", Grown(seen, 73), [])), BOOK)
    assert reason.status is Status.WATCH
    assert reason.words == (
        "its landing error grew by a factor of 1.40 (95 % interval 1.20 to 1.60) in 73 days over 9 set-ups"
    )
    assert reason.numbers == {
        "per_year": None, "factor": pytest.approx(1.4), "low": pytest.approx(1.2), "high": pytest.approx(1.6),
        "setups": 9, "days": 73,
    }  # fmt: skip
    more = Grown(Interval(log(1.6), log(1.2), log(2.0), 9), 73)
    assert judged(replace(MOUNT, growth=Growth("worsening", more, [])))[0] is Status.SERVICE


def test_worsening_without_a_number_is_no_reason() -> None:
    assert judged(replace(MOUNT, growth=Growth("worsening", None, [])))[1] == ""


def test_snags_are_told_with_what_they_depend_on_and_most_members_first() -> None:
    snags = [
        OpenSnags(Step.CENTRE, 4, 3, date(2026, 2, 1)),
        OpenSnags(Step.BALANCE, 1, 1, date(2026, 2, 2)),
        OpenSnags(Step.ASSEMBLE, 7, 5, date(2026, 2, 3)),
        OpenSnags(Step.POLAR_AXIS, 9, 6, date(2026, 2, 4)),
    ]
    reasons = ranked(list(mount_reasons("Heron", replace(MOUNT, snags=snags), BOOK)))
    assert [reason.words for reason in reasons] == [
        "7 open snags at the step assemble from 5 members, most recently on 2026-02-03",
        "4 open snags at the step centre from 3 members, most recently on 2026-02-01",
        "9 open snags at the step polar-axis from 6 members, most recently on 2026-02-04; "
        "this step depends on people, not on the mount",
    ]
    assert reasons[1].numbers == {"step": Step.CENTRE, "count": 4, "members": 3}


def test_the_gravest_reason_comes_first_and_of_like_gravity_the_weightiest() -> None:
    """A loose, worsening mount with alarms and a crooked tube: growth, then alarms, then the tube."""
    ill = replace(
        MOUNT,
        effect=WORSE,
        raw_ratio=2.0,
        own=replace(LOOSE, cone_arcmin=Estimate(20, 1, 99, True)),
        growth=Growth("worsening", Interval(1.2, 1.1, 2.0, 20), [date(2026, 1, 1), date(2026, 2, 1)]),
    )
    reasons = ranked(list(mount_reasons("Heron", ill, BOOK)))
    assert [(reason.status, reason.words.split(" ", 4)[:4]) for reason in reasons] == [
        (Status.SERVICE, ["it", "misses", "by", "1.80"]),
        (Status.WATCH, ["its", "landing", "error", "grows"]),
        (Status.WATCH, ["its", "own", "scatter", "is"]),
        (Status.WATCH, ["its", "landing", "error", "exceeded"]),
        (Status.WATCH, ["cone", "error", "+20'", "±"]),
    ]


def test_of_a_mount_that_goes_to_nothing_no_pointing_is_asked_for() -> None:
    by_hand = MountEvidence(goes_to=False, snags=[OpenSnags(Step.CABLES, 3, 3, TODAY)])
    status, words = judged(by_hand)
    assert (status, words) == (
        Status.WATCH, "3 open snags at the step cables from 3 members, most recently on 2026-03-02",
    )  # fmt: skip
    assert judged(replace(by_hand, snags=())) == (Status.READY, "")
