"""What a mount's history says of words, services, alarms and pace."""

from datetime import date, timedelta
from math import log, sqrt

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy import stats

from obslog.club.over_time.landing_history import compare_mounts, mount_history
from obslog.club.upkeep.services import add_service
from obslog.records.database import Database
from obslog.trends.series.theil_sen import Verdict
from tests.club.performance.histories import NOW, Evening, drawn, fortnightly, put_on_record
from tests.known import known


def serviced(database: Database, day: date, mount: str = "Heron") -> None:
    add_service(database, "mount", mount, "worm cleaned", NOW, on=day, mechanical=True)


def test_words_alone_give_a_landing_error(club: Database) -> None:
    # Three landings in a field of 60' by an observer who never says "centred": each within 30'. Rayleigh's law with
    # an ever smaller scale explains that ever better, so the error has no lower end; the upper one is where that has a
    # chance of 2.5 %: (1 - exp(-450 / s^2))^3 = 0.025, and half land within 1.177 s.
    put_on_record(club, [Evening(date(2025, 1, 6), words=["in", "in", "in"])])
    (setup,) = mount_history(club, "Heron").setups
    assert (setup.arrivals, setup.told_in_words, setup.rms_arcmin) == (3, 3, None)
    scale = sqrt(-450 / log(1 - 0.025 ** (1 / 3)))
    assert setup.half_arcmin is not None
    assert setup.half_arcmin.low is None
    assert_allclose(known(setup.half_arcmin.high), scale * sqrt(2 * log(2)), rtol=1e-2)


def test_worse_words_mean_a_larger_error(club: Database) -> None:
    nights = fortnightly(4)
    told = (["centred", "in"], ["in", "edge"], ["edge", "finder"], ["finder", "lost"])
    put_on_record(club, [Evening(night, words=words) for night, words in zip(nights, told, strict=True)])
    half = [
        setup.half_arcmin.value if setup.half_arcmin else None
        for setup in mount_history(club, "Heron").setups
    ]
    assert None not in half
    assert half == sorted(half)  # type: ignore[type-var]


def test_a_service_makes_the_verdict_start_again(club: Database) -> None:
    worse = [Evening(night, [4 * 1.3**place]) for place, night in enumerate(fortnightly(10))]
    after = [
        Evening(night, [5.0 + place % 2] * 3) for place, night in enumerate(fortnightly(24, date(2025, 7, 7)))
    ]
    put_on_record(club, worse)
    assert mount_history(club, "Heron").verdict is Verdict.WORSENING
    put_on_record(club, after)
    serviced(club, date(2025, 7, 1))
    history = mount_history(club, "Heron")
    assert history.verdict is Verdict.STEADY
    assert any("24 set-ups since the last service" in reason for reason in history.reasons)


def test_a_service_after_the_last_setup_leaves_no_verdict(club: Database) -> None:
    put_on_record(club, [Evening(night, [4 * 1.3**place]) for place, night in enumerate(fortnightly(10))])
    serviced(club, date(2025, 12, 1))
    history = mount_history(club, "Heron")
    assert (history.verdict, history.slope) == (Verdict.TOO_FEW, None)
    assert history.reasons[0] == "no set-up since the service of 2025-12-01; a verdict needs 6 nights"
    assert [service.factor for service in history.services] == [None]
    (compared,) = compare_mounts(club, ["Heron"])
    assert compared == history


def test_what_a_service_did_is_welchs_interval(club: Database) -> None:
    before, after = [8.0, 10.0, 13.0, 9.0], [4.0, 5.0, 3.5]
    nights = fortnightly(7)
    put_on_record(club, [Evening(night, [r]) for night, r in zip(nights, before + after, strict=True)])
    serviced(club, nights[4])  # the night that begins on the day of the work comes after it
    (service,) = mount_history(club, "Heron").services
    # One measured arrival each: log half-landing radius is log radius plus a constant, so the change is in log radii.
    theirs = stats.ttest_ind(np.log(after), np.log(before), equal_var=False)
    low, high = theirs.confidence_interval(0.95)
    mean = np.mean(np.log(after)) - np.mean(np.log(before))
    assert service.factor is not None
    assert service.factor.low is not None
    assert service.factor.high is not None
    assert_allclose(
        [service.factor.value, service.factor.low, service.factor.high], np.exp([mean, low, high]), rtol=1e-6
    )
    one_sided = stats.ttest_ind(np.log(after), np.log(before), equal_var=False, alternative="less")
    assert service.helped is not None
    assert_allclose(service.helped, 1 - one_sided.pvalue, rtol=1e-6)


@pytest.mark.parametrize("between", [True, False])
def test_of_two_services_without_a_set_up_between_them_one_claims_the_change(
    club: Database, between: bool
) -> None:
    """Four set-ups at 8', four at 4': by half. Where two at 8' are between them, the first changed nothing."""
    nights = fortnightly(10 if between else 8)
    radii = [8.0, 8.2] * (3 if between else 2) + [4.0, 4.1] * 2
    put_on_record(club, [Evening(night, [radius]) for night, radius in zip(nights, radii, strict=True)])
    first, second = nights[3] + timedelta(days=1), nights[-4] - timedelta(days=1)
    serviced(club, first)
    serviced(club, second)
    earlier, later = mount_history(club, "Heron").services
    assert (earlier.day, later.day) == (first, second)
    assert known(later.factor).value == pytest.approx(0.5, rel=1e-3)
    assert later.with_earlier == (() if between else (first,))
    if between:
        assert known(earlier.factor).value == pytest.approx(1.0, rel=1e-3)
    else:
        assert (earlier.factor, earlier.helped) == (None, None)


def test_a_knocked_mount_is_alarmed_with_the_night_since_when(club: Database) -> None:
    rng = np.random.default_rng(4)
    nights = fortnightly(24)
    put_on_record(
        club, [Evening(night, drawn(rng, 6.0 if place < 14 else 18.0)) for place, night in enumerate(nights)]
    )
    history = mount_history(club, "Heron")
    worse = [alarm for alarm in history.alarms if alarm.worse]
    assert len(worse) == 1
    assert nights[14] <= worse[0].night <= nights[17]  # a threefold error is many sd: seen within four nights
    assert worse[0].likely_since is not None
    assert abs((worse[0].likely_since - nights[14]).days) <= 14
    assert any(str(worse[0].night) in reason and "worse" in reason for reason in history.reasons)


def test_a_steady_mount_is_not_alarmed_from_its_first_nights(club: Database) -> None:
    put_on_record(club, [Evening(night, [5.0 + place % 3]) for place, night in enumerate(fortnightly(20))])
    history = mount_history(club, "Heron")
    assert (history.alarms, history.verdict) == ([], Verdict.STEADY)


@pytest.mark.parametrize("days", [0, 1, 400])
def test_the_chart_bears_every_pace(club: Database, days: int) -> None:
    # All set-ups in one night, one a night, one in a year and more: a pace beyond 4 to 100 a year is not believed.
    rng = np.random.default_rng(1)
    nights = [date(2020, 1, 6) + timedelta(days=min(days * place, 2800)) for place in range(12)]
    put_on_record(club, [Evening(night, drawn(rng, 6.0)) for night in nights])
    history = mount_history(club, "Heron")
    assert len(history.setups) == 12
    assert history.verdict in (Verdict.STEADY, Verdict.TOO_FEW)


def test_setups_that_tell_nothing_are_counted_and_left_out(club: Database) -> None:
    nights = fortnightly(9)
    put_on_record(
        club, [Evening(night, [4 * 1.3**place] * 3 if place else []) for place, night in enumerate(nights)]
    )
    history = mount_history(club, "Heron")
    assert len(history.setups) == 9
    assert history.setups[0].half_arcmin is None
    assert history.verdict is Verdict.WORSENING
    assert any(
        reason == "1 set-up without a landing after the last sync is left out" for reason in history.reasons
    )


def test_many_mounts_looked_at_together_need_stronger_evidence(club: Database) -> None:
    # Seven set-ups in rising order but for three exchanged pairs: of the 7! orders 1 + 6 + 20 + 49 have at most so many
    # (Kendall's exact distribution), p = 2 x 76 / 5040 = 0.030 as used. The least of three p's is worth three times as
    # much: the mount's own is to be between 0.05 / 3 and 0.04, which a verdict on it alone asks for.
    nights = fortnightly(7)
    rising = [4.0, 5.4, 4.7, 6.8, 6.1, 9.0, 8.0]
    steady = [5.0, 6.0, 5.5, 6.5, 5.2, 6.1, 5.4]
    for mount, radii in (("Heron", rising), ("Bracken", steady), ("Thistle", steady)):
        put_on_record(club, [Evening(n, [r] * 2, mount=mount) for n, r in zip(nights, radii, strict=True)])
    alone = mount_history(club, "Heron")
    assert_allclose(known(alone.as_used.slope).p, 2 * 76 / 5040)
    assert 0.05 / 3 < known(alone.slope).p < 0.04
    assert alone.verdict is Verdict.WORSENING
    together = compare_mounts(club, ["Heron", "bracken", "THISTLE"])
    # In a year the ends would be more than 30 times apart: of three months none of them is called steady.
    assert [history.verdict for history in together] == [Verdict.TOO_FEW] * 3
    assert any("among 3 mounts looked at together" in reason for reason in together[0].reasons)
