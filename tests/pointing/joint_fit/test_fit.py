"""The joint fit: sheets of known truth, many invented clubs, and what it must refuse to claim."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from numpy.testing import assert_allclose

from obslog.pointing.joint_fit.answer import NothingMeasured
from obslog.pointing.joint_fit.arrivals import Arrivals, Machine, Priors
from obslog.pointing.joint_fit.fit import fit_pointing
from obslog.pointing.joint_fit.rows import fit_rows, syncs_before
from obslog.pointing.model.geometry import StarPlaces
from obslog.vocabulary.mounts import Controller, MountType
from tests.pointing.joint_fit.pointing_clubs import cut_short, simulate
from tests.pointing.joint_fit.pointing_sheets import NAMES, read_sheet

GERMAN = Machine(MountType.GERMAN)


def arrivals_of_sheet(name):
    sheet = read_sheet(name)
    return Arrivals(
        stars=sheet.stars,
        setup=sheet.setup,
        is_sync=sheet.is_sync,
        offset_east_arcmin=sheet.east_arcmin,
        offset_north_arcmin=sheet.north_arcmin,
        centring_arcmin=sheet.centring_arcmin,
    )


def fitted(machine, club, eras=1):
    setups = club.polar.shape[0]
    return fit_pointing(machine, club.arrivals, np.arange(setups) * eras // setups)


def scores(fit, club):
    """Estimate minus truth over standard deviation, polar errors and mechanical errors apart."""
    polar = [
        (e.value - t) / e.sd
        for s, truth in zip(fit.setups, club.polar, strict=True)
        for e, t in zip((s.polar_altitude, s.polar_azimuth), truth, strict=True)
    ]
    mechanical = [
        (e.value - t) / e.sd
        for m, truth in zip(fit.mechanical, club.mechanical, strict=True)
        for e, t in zip((m.cone, m.squareness, m.sag), truth, strict=True)
    ]
    return polar, mechanical


@pytest.mark.parametrize("name", NAMES)
def test_the_truth_of_the_sheets_is_recovered(name):
    truth = read_sheet(name).truth
    fit = fit_pointing(GERMAN, arrivals_of_sheet(name), np.zeros(8, dtype=int))
    found = fit.mechanical[0]
    z = [
        (estimate.value - truth[f"{term}_arcmin"]) / estimate.sd
        for term, estimate in (("cone", found.cone), ("squareness", found.squareness), ("sag", found.sag))
    ]
    for setup, true_setup in zip(fit.setups, truth["setups"], strict=True):
        z.append((setup.polar_altitude.value - true_setup["polar_altitude_arcmin"]) / setup.polar_altitude.sd)
        z.append((setup.polar_azimuth.value - true_setup["polar_azimuth_arcmin"]) / setup.polar_azimuth.sd)
    # 19 values: the root mean square of standard normal scores lies in 0.6 to 1.45 with probability 0.999
    assert 0.6 < np.sqrt(np.mean(np.square(z))) < 1.45
    assert fit.noise_arcmin.value == pytest.approx(truth["noise_arcmin"], abs=3.5 * fit.noise_arcmin.sd)
    assert [len(setup.suspects) for setup in fit.setups] == [s["wrong_stars"] for s in truth["setups"]]
    assert found.cone.determined
    assert found.cone.count == 48


def test_eight_nights_of_five_stars_tell_cone_error_and_polar_axis():
    # Five stars a night at 2' over eight nights: cone error to about 0.5', each night's polar axis to about 1.5' in
    # altitude (eight nights of five offsets each: 2' / sqrt(40) = 0.3' at best, 2' / sqrt(5) = 0.9' at best).
    fit = fitted(GERMAN, simulate(np.random.default_rng(8), GERMAN, checks=4))
    assert 0.3 < fit.mechanical[0].cone.sd < 0.8
    assert 0.7 < np.median([s.polar_altitude.sd for s in fit.setups]) < 2.0


@pytest.mark.parametrize(("wrong_share", "low", "high"), [(0.0, 0.93, 0.97), (0.05, 0.90, 0.98)])
def test_two_hundred_clubs_are_recovered_within_their_stated_uncertainty(wrong_share, low, high):
    polar: list[float] = []
    mechanical: list[float] = []
    found, wrong, false = 0, 0, 0
    for seed in range(200):
        club = simulate(np.random.default_rng(seed), GERMAN, wrong_share=wrong_share)
        fit = fitted(GERMAN, club)
        for scored, new in zip((polar, mechanical), scores(fit, club), strict=True):
            scored.extend(new)
        suspects = {suspect.arrival for setup in fit.setups for suspect in setup.suspects}
        found += len(suspects & set(np.flatnonzero(club.wrong)))
        wrong += int(np.count_nonzero(club.wrong))
        false += len(suspects - set(np.flatnonzero(club.wrong)))
    for z in (np.array(polar), np.array(mechanical)):
        assert abs(z.mean()) < 0.1
        assert 0.9 < np.sqrt(np.mean(z**2)) < 1.1
        assert low <= np.mean(np.abs(z) < 1.96) <= high
    assert found >= 0.9 * wrong
    assert false <= 0.001 * 200 * 48


@pytest.mark.parametrize(
    ("machine", "lat_deg"),
    [
        (GERMAN, -35.0),
        (Machine(MountType.FORK), 40.0),
        (Machine(MountType.FORK), -33.0),
        (Machine(MountType.ALTAZ), 52.0),
        (Machine(MountType.ALTAZ, corrects_refraction=True), -20.0),
    ],
)
def test_clubs_of_every_mount_under_either_sky_are_recovered_within_their_stated_uncertainty(
    machine, lat_deg
):
    polar: list[Any] = []
    mechanical: list[Any] = []
    for seed in range(60):
        club = simulate(np.random.default_rng(seed), machine, lat_deg=lat_deg, wrong_share=0.05)
        for scored, new in zip((polar, mechanical), scores(fitted(machine, club), club), strict=True):
            scored.extend(new)
    # 960 and 180 values: 68.3 % of standard normal ones lie within 1, 95 % within 1.96
    # (sd 0.033 and 0.072 of the first). Cone and squareness of an alt-azimuth mount are hard to tell apart, and the
    # prior, twice as wide as these clubs' truth, then makes the stated sd a tenth too large.
    for z, low, high in ((np.abs(polar), 0.9, 1.1), (np.abs(mechanical), 0.75, 1.2)):
        assert low < np.quantile(z, 0.683) < high
        assert 0.91 < np.mean(z < 1.96) < 0.99
    # Two wrong arrivals among six can make a set-up that fits as well: one such among these 480 set-ups is possible.
    assert np.count_nonzero(np.abs(np.reshape(polar, (-1, 2))).max(axis=1) > 5.0) <= 1


def test_four_stars_of_which_one_is_wrong_keep_their_stated_uncertainty():
    # With so few, another reading is often possible; the stated sd must allow for it.
    polar, suspected = [], 0
    for seed in range(60):
        club = simulate(np.random.default_rng(seed), GERMAN, setups=20, checks=4, wrong_share=0.05)
        fit = fitted(GERMAN, club)
        polar.extend(scores(fit, club)[0])
        suspects = {suspect.arrival for setup in fit.setups for suspect in setup.suspects}
        suspected += len(suspects - set(np.flatnonzero(club.wrong)))
    assert abs(np.mean(polar)) < 0.1
    assert 0.9 < np.sqrt(np.mean(np.square(polar))) < 1.15
    assert 0.93 < np.mean(np.abs(polar) < np.float64(1.96)) < 0.97
    assert suspected < 0.002 * 60 * 100


@pytest.mark.parametrize("arrivals", [1, 2, 3])
def test_set_ups_of_a_few_arrivals_are_no_surer_than_a_wrong_one_among_them_allows(arrivals):
    # Nothing speaks against a lone wrong arrival: only the share of wrong ones elsewhere tells of it.
    short = range(10, 30)
    polar = []
    for seed in range(60):
        club = simulate(np.random.default_rng(seed), GERMAN, setups=30, wrong_share=0.06)
        fit = fitted(GERMAN, cut_short(club, short, arrivals))
        polar.extend(scores(fit, club)[0][2 * short.start :])
    assert 0.85 < np.sqrt(np.mean(np.square(polar))) < 1.15
    assert 0.93 < np.mean(np.abs(polar) < np.float64(1.96)) < 0.98


@pytest.mark.parametrize(
    ("machine", "options"),
    [
        (GERMAN, {"polar_sd_arcmin": 120.0, "syncs": 2}),
        (GERMAN, {"syncs": 3, "checks": 5}),
        (Machine(MountType.GERMAN, corrects_refraction=True), {"lat_deg": -33.0}),
        (Machine(MountType.FORK), {"lat_deg": -33.0}),
        (Machine(MountType.FORK, corrects_refraction=True), {}),
        (Machine(MountType.ALTAZ), {"polar_sd_arcmin": 40.0}),
        (Machine(MountType.ALTAZ, corrects_refraction=True), {"lat_deg": -20.0}),
    ],
)
def test_nearly_exact_arrivals_give_nearly_exact_answers(machine, options):
    # A wrong sign, frame or refraction anywhere leaves arcminutes; these arrivals are good to a hundredth.
    club = simulate(np.random.default_rng(4), machine, noise_arcmin=0.01, centring_arcmin=0.003, **options)
    fit = fit_pointing(machine, club.arrivals, np.zeros(8, dtype=int), Priors(polar_arcmin=120.0))
    polar, mechanical = scores(fit, club)
    assert np.sqrt(np.mean(np.square(polar + mechanical))) < 1.6
    assert max(s.polar_altitude.sd for s in fit.setups) < 0.1
    assert max(abs(s.polar_altitude.value - t[0]) for s, t in zip(fit.setups, club.polar, strict=True)) < 0.1


def test_a_service_starts_the_mechanical_errors_anew():
    club = simulate(np.random.default_rng(5), GERMAN, setups=16, eras=2)
    fit = fitted(GERMAN, club, eras=2)
    _, mechanical = scores(fit, club)
    assert np.abs(mechanical).max() < 3.5
    before, after = fit.mechanical
    assert abs(before.cone.value - after.cone.value) > 3 * before.cone.sd  # the invented service changed it


def test_an_era_that_scatters_more_has_its_own_noise():
    options: dict[str, Any] = {"setups": 24, "eras": 2, "noise_arcmin": 1.0, "noise_of_last_era_arcmin": 6.0}
    club = simulate(np.random.default_rng(14), GERMAN, **options)
    fit = fitted(GERMAN, club, eras=2)
    before, after = (era.noise for era in fit.mechanical)
    assert before.value == pytest.approx(1.0, abs=3.5 * before.sd)
    assert after.value == pytest.approx(6.0, abs=3.5 * after.sd)
    assert np.abs(scores(fit, club)[1]).max() < 3.5
    assert not any(setup.suspects for setup in fit.setups)


def test_the_eye_s_share_of_the_way_is_told_from_the_mount_s_noise():
    polar, noise, share = [], [], []
    for seed in range(25):
        club = simulate(np.random.default_rng(seed), GERMAN, setups=25, noise_arcmin=1.0, reading_share=0.08)
        fit = fitted(GERMAN, club)
        polar.extend(scores(fit, club)[0])
        noise.append(fit.noise_arcmin)
        share.append(fit.reading_share)
    assert np.mean(share) == pytest.approx(0.08, abs=0.008)
    values, sds = np.array([(one.value, one.sd) for one in noise]).T
    assert np.mean(values) == pytest.approx(1.0, abs=0.08)
    assert np.std(values) == pytest.approx(np.mean(sds), rel=0.4)
    assert 0.9 < np.sqrt(np.mean(np.square(polar))) < 1.1


def test_one_set_up_of_two_stars_determines_nothing_mechanical():
    club = simulate(np.random.default_rng(6), GERMAN, setups=1, checks=1)
    fit = fitted(GERMAN, club)
    found = fit.mechanical[0]
    assert not any(term.determined for term in (found.cone, found.squareness, found.sag))
    assert found.cone.sd > 10.0
    assert fit.noise_arcmin.value == pytest.approx(2.0, abs=0.3)  # leans mostly on the typical noise
    assert not fit.noise_arcmin.determined


def test_an_era_without_arrivals_stays_at_its_prior():
    club = simulate(np.random.default_rng(7), GERMAN, setups=4)
    fit = fit_pointing(GERMAN, club.arrivals, np.array([0, 0, 0, 0, 1]))
    unseen = fit.mechanical[1].cone
    assert (unseen.value, unseen.count, unseen.determined) == (0.0, 0, False)
    assert unseen.sd == pytest.approx(20.0)
    assert (fit.setups[4].arrivals, fit.setups[4].polar_altitude.determined) == (0, False)
    assert np.isnan(fit.setups[4].rms_arcmin)


def test_no_measured_arrival_is_refused():
    club = simulate(np.random.default_rng(7), GERMAN, setups=2)
    nothing = replace(club.arrivals, offset_east_arcmin=np.full(14, np.nan))
    with pytest.raises(NothingMeasured, match="No arrival"):
        fit_pointing(GERMAN, nothing, np.zeros(2, dtype=int))


def test_a_model_controller_gives_only_what_came_before_its_second_sync():
    machine = Machine(MountType.GERMAN, Controller.MODEL)
    club = simulate(np.random.default_rng(9), machine, setups=3, syncs=3, checks=4)
    rows = fit_rows(machine, club.arrivals, np.zeros(3, dtype=int))
    # per set-up: the first sync's centring, and where the second sync's star arrived before it was accepted
    used = sorted(zip(rows.arrival.tolist(), rows.is_centring.tolist(), strict=True))
    assert used == [(0, True), (1, False), (7, True), (8, False), (14, True), (15, False)]


def test_arrivals_after_a_model_s_second_sync_change_nothing():
    machine = Machine(MountType.GERMAN, Controller.MODEL)
    club = simulate(np.random.default_rng(9), machine, setups=3, syncs=2, checks=4)
    east = club.arrivals.offset_east_arcmin + np.where(syncs_before(club.arrivals) >= 2, 55.0, 0.0)
    changed = replace(club.arrivals, offset_east_arcmin=east)
    era = np.zeros(3, dtype=int)
    one, other = fit_pointing(machine, club.arrivals, era), fit_pointing(machine, changed, era)
    assert one.mechanical[0].cone == other.mechanical[0].cone


def test_a_wrongly_centred_sync_is_named_and_does_not_spoil_the_night():
    club = simulate(np.random.default_rng(10), GERMAN, setups=8, checks=7)
    # the observer centred a star 50' east and 30' south of the one meant at the sync of set-up 3
    third = (club.arrivals.setup == 3) & ~club.arrivals.is_sync
    cos_dec = np.cos(np.radians(club.arrivals.stars.dec_deg))
    synced = np.flatnonzero((club.arrivals.setup == 3) & club.arrivals.is_sync)[0]
    flipped = club.arrivals.stars.tube_west != club.arrivals.stars.tube_west[synced]
    east = club.arrivals.offset_east_arcmin - np.where(third, 50.0 * cos_dec / cos_dec[synced], 0.0)
    north = club.arrivals.offset_north_arcmin + np.where(third, 30.0 * np.where(flipped, -1.0, 1.0), 0.0)
    spoilt = replace(club.arrivals, offset_east_arcmin=east, offset_north_arcmin=north)
    fit = fit_pointing(GERMAN, spoilt, np.zeros(8, dtype=int))
    (suspect,) = fit.setups[3].suspects
    assert (suspect.arrival, suspect.at_centring) == (synced, True)
    assert_allclose([suspect.east_arcmin, suspect.north_arcmin], [50.0, -30.0], atol=6.0)


def test_a_sync_beside_the_pole_does_not_upset_the_rest():
    # This club synced 0.2 degrees from the pole: its hour zero came out 78 degrees off, its next stars up to
    # 280.
    club = simulate(np.random.default_rng(12), GERMAN, syncs=2, checks=4, lat_deg=-35.0, wrong_share=0.05)
    assert club.arrivals.stars.dec_deg.min() < -89.7
    assert np.nanmax(np.abs(club.arrivals.offset_north_arcmin)) > 10_000
    fit = fitted(GERMAN, club)
    assert fit.noise_arcmin.value == pytest.approx(2.0, abs=3.5 * fit.noise_arcmin.sd)
    polar, mechanical = scores(fit, club)
    assert np.abs([*polar[:4], *polar[6:], *mechanical]).max() < 3.5  # all but the set-up of that sync


def test_the_order_of_set_ups_does_not_matter():
    club = simulate(np.random.default_rng(12), GERMAN, setups=5, wrong_share=0.1)
    arrivals = club.arrivals
    order = np.argsort((arrivals.setup + 2) % 5, kind="stable")
    stars = StarPlaces(*(getattr(arrivals.stars, name)[order] for name in StarPlaces.__slots__))
    shuffled = Arrivals(
        stars=stars,
        **{name: getattr(arrivals, name)[order] for name in Arrivals.__slots__ if name != "stars"},
    )
    era = np.zeros(5, dtype=int)
    one, other = fit_pointing(GERMAN, arrivals, era), fit_pointing(GERMAN, shuffled, era)
    assert one.mechanical[0].cone.value == pytest.approx(other.mechanical[0].cone.value, abs=1e-6)
    assert [s.polar_azimuth.value for s in one.setups] == pytest.approx(
        [s.polar_azimuth.value for s in other.setups], abs=1e-6
    )
    assert_allclose(other.residual_east_arcmin, one.residual_east_arcmin[order], atol=1e-6)


def test_separation_is_the_angle_between_axis_and_pole():
    club = simulate(np.random.default_rng(13), GERMAN, setups=3)
    for setup in fitted(GERMAN, club).setups:
        on_sky = setup.polar_azimuth.value * np.cos(np.radians(52.0))
        assert setup.separation.value == pytest.approx(np.hypot(setup.polar_altitude.value, on_sky))
        assert 0 < setup.separation.sd < 5.0


@pytest.mark.parametrize("away", [60.0, 300.0, 3000.0])
def test_set_ups_all_of_one_star_equally_far_out_are_fitted_and_tell_nothing(away: float) -> None:
    """Nothing scatters and nothing is learned: the covariance is all but singular."""
    sync = np.tile([True] + [False] * 8, 2)
    star = StarPlaces(
        np.full(18, 30.0), np.full(18, 20.0), np.full(18, 52.0), np.full(18, 1.0), np.zeros(18, bool)
    )
    offset = np.where(sync, np.nan, away)
    arrivals = Arrivals(
        stars=star,
        setup=np.repeat([0, 1], 9),
        is_sync=sync,
        offset_east_arcmin=offset,
        offset_north_arcmin=offset,
        centring_arcmin=np.full(18, 0.5),
    )
    fit = fit_pointing(Machine(MountType.GERMAN), arrivals, np.zeros(2, int))
    assert not fit.mechanical[0].cone.determined


def test_a_sync_beside_the_pole_carries_no_other_set_up_away() -> None:
    """In one of 30 set-ups the star of the sync stands half a degree from the pole, about as far as the axis does: the
    hour axis is set tens of degrees astray, and what arrives afterwards stands on the far side of the sky."""
    club = simulate(np.random.default_rng(68), GERMAN, setups=30, checks=5)
    from_pole = 90.0 - np.abs(club.arrivals.stars.dec_deg[club.arrivals.is_sync])
    assert 0.5 < from_pole.min() < 0.6
    assert np.nanmax(np.abs(club.arrivals.offset_east_arcmin)) > 100_000
    fit = fitted(GERMAN, club)
    mechanical = fit.mechanical[0]
    for one, truth in zip(
        (mechanical.cone, mechanical.squareness, mechanical.sag), club.mechanical[0], strict=True
    ):
        assert one.sd < 1.0
        assert abs(one.value - truth) < 3.5 * one.sd
