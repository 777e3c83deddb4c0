"""What a verdict begins with is true: held against made clubs whose truth is known, and worked by hand."""

import re
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from math import nan
from uuid import UUID

import numpy as np
import pytest

from obslog.club.performance.first_sentences import (
    ComparedMount,
    _middle,
    beside_sentence,
    fit_sentence,
    sources_sentence,
)
from obslog.club.performance.mount_fits import Fitted, examined
from obslog.club.performance.placed_arrivals import PlacedArrivals
from obslog.pointing.joint_fit.arrivals import Machine
from obslog.pointing.misfit.circumstances import Circumstances
from obslog.pointing.model.frames import FloatArray
from obslog.trends.attribution.attribution import attribute
from obslog.trends.series.theil_sen import Verdict
from obslog.values import Estimate, Interval, SetupId
from obslog.vocabulary.mounts import MountType
from tests.pointing.joint_fit.pointing_clubs import Club, cut_short, simulate
from tests.pointing.misfit.disturbed_clubs import GERMAN, changed, drifting, in_turn, jumping, misread, slack

CLUBS = 30
LATITUDE_DEG = 52.0
NUMBER = r"(\d+(?:\.\d)?)'"


def placed(club: Club, machine: Machine = GERMAN, setups: int = 10) -> PlacedArrivals:
    nights = [date(2025, 1, 1) + timedelta(days=30 * number) for number in range(setups)]
    count = club.arrivals.setup.size
    return PlacedArrivals(
        mount="Heron",
        tube="Long tube",
        machine=machine,
        setups=[
            SetupId(key=UUID(int=number), night=night, setup=1, site="Tarn", mount="Heron")
            for number, night in enumerate(nights)
        ],
        arrivals=club.arrivals,
        circumstances=Circumstances(
            observers=in_turn().observers[:setups], temperature_c=np.full(setups, np.nan)
        ),
        numbers=np.arange(1, count + 1),
        labels=list(range(count)),
        targets=["star"] * count,
        era_of_setup=np.zeros(setups, dtype=np.int64),
        era_since=[nights[0]],
        serviced_since=None,
        az_deg=np.zeros(count),
        alt_deg=np.zeros(count),
        left_out=Counter(),
    )


def fitted(club: Club) -> Fitted:
    return examined(placed(club))


def true_separations(club: Club) -> FloatArray:
    """How far each axis was from the pole: its azimuth error is shortened by the cosine of the latitude."""
    return np.asarray(np.hypot(club.polar[:, 0], club.polar[:, 1] * np.cos(np.radians(LATITUDE_DEG))))


def told(pattern: str, sentence: str) -> float | None:
    found = re.search(pattern, sentence)
    return float(found[1]) if found else None


CLUBS_OF_ALL_KINDS: dict[str, Callable[[int], Club]] = {
    "careful people": lambda seed: simulate(
        np.random.default_rng(seed), GERMAN, setups=10, checks=5, polar_sd_arcmin=5.0
    ),
    "careless people": lambda seed: simulate(
        np.random.default_rng(seed), GERMAN, setups=10, checks=5, polar_sd_arcmin=40.0
    ),
    "few arrivals": lambda seed: cut_short(
        simulate(np.random.default_rng(seed), GERMAN, setups=10, checks=5), range(10), 2
    ),
    "one arrival in ten wrong": lambda seed: simulate(
        np.random.default_rng(seed), GERMAN, setups=10, checks=5, wrong_share=0.1
    ),
}


@pytest.mark.parametrize("name", CLUBS_OF_ALL_KINDS)
def test_what_it_says_of_a_steady_mount_is_true(name: str) -> None:
    """Of each kind of claim at most one in twenty is false: of 30 more than 3 would come once in 16."""
    false: Counter[str] = Counter()
    made: Counter[str] = Counter()
    for seed in range(CLUBS):
        club = CLUBS_OF_ALL_KINDS[name](seed)
        found = fitted(club)
        sentence = fit_sentence(found)
        cone, own = abs(club.mechanical[-1][0]), np.abs(club.mechanical[-1]).max()
        away = true_separations(club)
        half = float(np.median(away))
        if number := told(rf"cone error is about {NUMBER}", sentence):
            made["about"] += 1
            false["about"] += abs(cone - number) > 3.0
        if number := told(rf"cone error is under {NUMBER}", sentence):
            made["under"] += 1
            false["under"] += cone > number
        if number := told(rf"off by {NUMBER} or more", sentence):
            made["or more"] += 1
            false["or more"] += half < number
        if number := told(rf"less, {NUMBER} at most", sentence):
            made["at most"] += 1
            false["at most"] += half > min(number, cone)
        if "more than any error of its own" in sentence:
            made["own"] += 1
            false["own"] += own > np.median(away)
        made["no change"] += "no change of it is to be seen since 2025-01-01" in sentence
    assert all(false[claim] <= max(1, made[claim] // 10) for claim in false), (false, made)
    assert made["about"] + made["under"] >= 0.6 * CLUBS
    assert made["no change"] >= 0.6 * CLUBS


def test_careless_people_are_told_from_a_crooked_mount() -> None:
    rng = np.random.default_rng(5)
    straight = simulate(
        rng, GERMAN, mechanical_arcmin=np.array([[4.0, 2.0, 1.0]]), setups=10, polar_sd_arcmin=40.0
    )
    assert fit_sentence(fitted(straight)).endswith("or more, more than any error of its own.")
    crooked = simulate(
        rng, GERMAN, mechanical_arcmin=np.array([[30.0, 2.0, 1.0]]), setups=10, polar_sd_arcmin=5.0
    )
    assert re.search(
        rf"its set-ups the polar axis was off by less, {NUMBER} at most\.$", fit_sentence(fitted(crooked))
    )


def test_a_knock_is_said_with_its_nights_and_the_error_is_that_of_today() -> None:
    right = 0
    for seed in range(CLUBS):
        disturbed = changed(seed, 0, 15.0)
        sentence = fit_sentence(fitted(disturbed.club))
        assert "no change" not in sentence
        number = told(rf"cone error is (?:about|under) {NUMBER}", sentence)
        assert number is not None
        now = abs(disturbed.club.mechanical[-1][0])
        near = abs(number - now) < 3.5 if "is about" in sentence else now < number
        right += near and "since it changed between the nights of 2025-05-01 and 2025-05-31" in sentence
    assert right >= 0.9 * CLUBS


def test_of_a_mount_that_wears_out_it_is_not_said_that_nothing_changed() -> None:
    sentences = [fit_sentence(fitted(drifting(seed, 0, 15.0).club)) for seed in range(CLUBS)]
    assert not any("no change" in sentence for sentence in sentences)
    assert sum("it was another before" in sentence for sentence in sentences) >= 0.9 * CLUBS


def test_what_else_is_at_work_is_named_with_its_size() -> None:
    sizes = [
        told(
            rf"stars stand {NUMBER} elsewhere after a flip",
            fit_sentence(fitted(jumping(seed, (0.0, 6.0)).club)),
        )
        for seed in range(CLUBS)
    ]
    seen = [size for size in sizes if size is not None]
    assert len(seen) >= 0.8 * CLUBS
    assert abs(np.median(seen) - 6.0) < 1.5
    read = [fit_sentence(fitted(misread(seed, 4.0).club)) for seed in range(CLUBS)]
    assert sum("one person reads" in sentence for sentence in read) >= 0.7 * CLUBS


def test_slack_is_that_to_either_side_of_the_middle() -> None:
    """3' to the one side or to the other, after the side from which the mount came."""
    size = told(rf"it has slack of {NUMBER} to either side\.$", fit_sentence(fitted(slack(1, 3.0).club)))
    assert size == pytest.approx(3.0, abs=0.9)


def test_what_cannot_be_told_is_said_to_be_so() -> None:
    short = cut_short(simulate(np.random.default_rng(1), GERMAN, setups=2, checks=5), range(2), 1)
    assert fit_sentence(examined(placed(short, setups=2))).startswith(
        "What Heron's own errors are cannot be told yet from "
    )
    few = placed(simulate(np.random.default_rng(2), GERMAN, setups=3, checks=8), setups=3)
    assert ", from 3 set-ups since 2025-01-01" in fit_sentence(examined(few))
    serviced = replace(few, serviced_since=date(2025, 6, 1))
    assert fit_sentence(examined(serviced)) == (
        "What Heron's own errors are since the service of 2025-06-01 is not known: all of its set-ups were before it."
    )


def test_the_base_of_an_altaz_mount_leans() -> None:
    altaz = Machine(MountType.ALTAZ)
    club = simulate(np.random.default_rng(3), altaz, setups=10, checks=8, polar_sd_arcmin=40.0)
    sentence = fit_sentence(examined(placed(club, altaz)))
    assert re.search(rf"its base leaned by {NUMBER} or more", sentence)
    assert "polar axis" not in sentence


def share(value: float, sd: float = 0.1, *, determined: bool = True) -> Estimate:
    return Estimate(value, sd, 100, determined)


def test_whose_errors_are_most_stands_first() -> None:
    shares = {
        "mount": share(0.3),
        "observer": share(0.1),
        "site": share(0.0, nan, determined=False),
        "rest": share(0.6),
    }
    assert sources_sentence(shares) == (
        "What makes one set-up land farther off than another is mostly the night itself (60 %), then the mount (30 %) "
        "and who set it up (10 %); of the site it cannot be told."
    )
    alike = {
        "mount": share(0.45),
        "observer": share(0.15),
        "rest": share(0.4),
    }  # 0.4 + 0.1 is above 0.45 - 0.1
    assert sources_sentence(alike) == (
        "What makes one set-up land farther off than another is above all the mount (45 %) and the night itself "
        "(40 %), then who set it up (15 %)."
    )
    unsure = {"mount": share(0.55, 0.06), "observer": share(0.15, 0.06), "rest": share(0.3, 0.06)}
    assert "is above all the mount (55 %), then the night itself (30 %)" in sources_sentence(unsure)


@pytest.mark.parametrize(
    "silent", [share(0.0, nan, determined=False), share(0.0, nan), share(0.0, determined=False)]
)
def test_what_the_data_say_nothing_of_is_not_called_nothing(silent: Estimate) -> None:
    assert sources_sentence({"mount": share(1.0), "observer": silent, "rest": silent}) == (
        "What makes one set-up land farther off than another is mostly the mount (100 %); of who set it up and the "
        "night itself it cannot be told."
    )


def test_where_no_source_is_determined_none_is_named() -> None:
    silent = share(0.0, nan, determined=False)
    for shares in ({}, {"rest": share(1.0, nan)}, {"mount": silent, "observer": silent, "rest": share(0.0)}):
        assert (
            sources_sentence(shares)
            == "What makes one set-up land farther off than another cannot be told yet."
        )


@pytest.mark.parametrize(
    ("mounts", "people", "first"), [(0.8, 0.1, "the mount"), (0.1, 0.8, "who set it up")]
)
def test_of_a_made_club_the_true_source_is_named(mounts: float, people: float, first: str) -> None:
    rng = np.random.default_rng(4)
    mount, person = rng.integers(0, 12, 300), rng.integers(0, 12, 300)
    of_mount, of_person = mounts * rng.normal(size=12), people * rng.normal(size=12)
    log = 2 + of_mount[mount] + of_person[person] + 0.2 * rng.normal(size=300)
    found = attribute(log, np.full(300, 0.1), {"mount": mount.tolist(), "observer": person.tolist()})
    shares = {source: part.share for source, part in found.components.items()}
    assert f"is mostly {first} (" in sources_sentence(shares)


def beside(
    mount: str, low: float | None, value: float | None, high: float | None, verdict: Verdict = Verdict.STEADY
) -> ComparedMount:
    ratio = None if value is None else Interval(value, low, high, 20)
    return ComparedMount(mount=mount, verdict=verdict, ratio=ratio)


FIRST = beside("Heron", None, None, None)


def test_two_mounts_beside_each_other() -> None:
    assert beside_sentence([FIRST, beside("Bittern", 1.2, 1.6, 2.1, Verdict.WORSENING)]) == (
        "Bittern lands 1.60 times as far off as Heron, and that is hardly chance; Bittern is worsening."
    )
    assert beside_sentence([FIRST, beside("Bittern", 0.9, 1.3, 2.1)]) == (
        "Bittern lands 1.30 times as far off as Heron, which may be chance; none of them is seen to change."
    )
    assert beside_sentence([FIRST, beside("Bittern", None, None, None)]) == (
        "How Bittern lands beside Heron cannot be told; none of them is seen to change."
    )
    unbounded = replace(FIRST, mount="Bittern", ratio=Interval(0.05, None, None, 2))
    assert beside_sentence([FIRST, unbounded]).startswith("How Bittern lands beside Heron cannot be told;")


def test_many_mounts_beside_the_first() -> None:
    many = [
        FIRST, beside("Bittern", 1.2, 1.6, 2.1, Verdict.WORSENING), beside("Rail", 1.1, 1.5, 2.0, Verdict.WORSENING),
        beside("Coot", 0.8, 1.1, 1.3, Verdict.IMPROVING), beside("Smew", None, None, None),
    ]  # fmt: skip
    assert beside_sentence(many) == (
        "Taken one by one, Bittern and Rail land surely farther off than Heron, and none lands surely closer; Bittern "
        "and Rail are worsening and Coot is improving."
    )


@pytest.mark.parametrize("away", [(10.0, 40.0, 100.0), (10.0, 30.0, 50.0, 100.0)])
def test_the_middle_of_axes_lies_between_what_is_said_of_it(away: tuple[float, ...]) -> None:
    """Known to 3' each, in both directions: of three the middle one is 40' away, of four the mean of two. By hand, two
    standard deviations hold 95.4 % (of 1000 give or take 0.7 %); those of a mean of two would hold 84 % of one."""
    rng, held = np.random.default_rng(6), 0
    for _ in range(1000):
        noise = rng.normal(0.0, 3.0, (len(away), 2))
        axes = [
            Estimate(float(np.hypot(far + east, north)), 3.0, 5, True)
            for far, (east, north) in zip(away, noise, strict=True)
        ]
        least, most = _middle(axes)
        held += least <= 40.0 <= most
    assert held / 1000 == pytest.approx(0.954, abs=0.02)
