"""An arrival that does not fit: what explains it, how to mend it, and when nothing fits."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import UUID

import numpy as np

from obslog.club.live.misfit_answers import hang_together, misfit_answers
from obslog.club.live.situation import Situation
from obslog.pointing.joint_fit.arrivals import Arrivals, Machine
from obslog.pointing.tonight.mount_record import nothing_known
from obslog.pointing.tonight.setup_fit import fit_setup
from obslog.records.tables.logbook_tables import Arrival
from obslog.sky.names.stars import find_star
from obslog.vocabulary.arrivals import Role
from obslog.vocabulary.mounts import MountType
from tests.club.live.fits import a_fit
from tests.pointing.joint_fit.pointing_clubs import simulate

GERMAN = Machine(MountType.GERMAN)
RECORD = replace(nothing_known(), mechanical_covariance=np.eye(3) * 0.25, setups=9)
BEGUN = datetime(2026, 3, 2, 20, tzinfo=UTC)


def a_situation(arrivals: Arrivals, target: str = "Nameless") -> Situation:
    """A set-up of these arrivals, whose stars have no place in the catalogue unless they are named."""
    count = arrivals.is_sync.size
    on_record = []
    for place in range(count):
        role = Role.SYNC if arrivals.is_sync[place] else Role.CHECK
        one = Arrival(
            setup_id=UUID(int=99), at_utc=BEGUN + timedelta(minutes=5 * place), role=role, target=target
        )
        one.id = UUID(int=place + 1)
        on_record.append(one)
    nowhere: Any = None
    return Situation(
        where=nowhere, now=BEGUN, view=None, zone=None, on_record=on_record, machine=GERMAN, record=RECORD,
        arrivals=arrivals, numbers=np.arange(1, count + 1),
    )  # fmt: skip


def good_arrivals(seed: int = 11) -> Arrivals:
    """A sync and five checks of a mount without errors of its own, its axis most of a degree off."""
    return simulate(
        np.random.default_rng(seed), GERMAN, setups=1, checks=5, polar_sd_arcmin=45.0,
        mechanical_sd_arcmin=(0.001, 0.001, 0.001),
    ).arrivals  # fmt: skip


def told(arrivals: Arrivals, target: str = "Nameless") -> list[Any]:
    at = a_situation(arrivals, target)
    assert at.record is not None
    return misfit_answers(at, fit_setup(GERMAN, arrivals, at.record))


def test_arrivals_that_fit_are_not_mentioned():
    assert told(good_arrivals()) == []


def test_east_typed_for_west_is_named_with_the_command_that_mends_it():
    good = good_arrivals()
    place = int(np.nanargmax(np.abs(good.offset_east_arcmin)))
    east, north = float(good.offset_east_arcmin[place]), float(good.offset_north_arcmin[place])
    assert abs(east) > 20
    turned = good.offset_east_arcmin.copy()
    turned[place] = -east
    (answer,) = told(replace(good, offset_east_arcmin=turned))
    assert answer.words.startswith(f"{place + 1}. Nameless does not fit (")
    assert "if east and west were exchanged" in answer.words
    sides = f"{abs(east):.1f}{'E' if east > 0 else 'W'} {abs(north):.1f}{'N' if north > 0 else 'S'}"
    assert answer.mend == (f'edit {place + 1} --where "{sides}"', f"edit {place + 1} --remove")


def test_what_nothing_explains_may_be_kept_or_removed():
    good = good_arrivals()
    spoilt = good.offset_north_arcmin.copy()
    spoilt[3] += 67.0
    (answer,) = told(replace(good, offset_north_arcmin=spoilt))
    assert answer.mend == ("edit 4 --remove",)
    assert "keep it, it hardly counts" in answer.words
    assert answer.probability is not None
    assert answer.probability > 0.9


def test_a_star_that_stands_where_the_wrong_one_was_seen_is_named():
    one, other = find_star("Alnitak"), find_star("σ Ori")
    east = (other.ra_hours - one.ra_hours) * 900 * np.cos(np.radians(other.dec_deg))
    north = (other.dec_deg - one.dec_deg) * 60
    assert 40 < np.hypot(east, north) < 60
    good = good_arrivals()
    wrong_east, wrong_north = good.offset_east_arcmin.copy(), good.offset_north_arcmin.copy()
    wrong_east[4] += east
    wrong_north[4] += north
    (answer,) = told(replace(good, offset_east_arcmin=wrong_east, offset_north_arcmin=wrong_north), "Alnitak")
    assert "σ Ori" in answer.words
    assert answer.mend[0].startswith("edit 5 --target ")


def test_where_hardly_anything_fits_the_arrivals_are_not_blamed_one_by_one():
    far = np.array([np.nan, 300.0, -200.0, 1.0, 1.0, 1.0])
    two_of_five = np.array([np.nan, 0.99, 0.99, 0.01, 0.01, 0.01])
    three = np.array([np.nan, 0.99, 0.99, 0.99, 0.01, 0.01])
    assert hang_together(a_fit(wrong_arrival=two_of_five, residual_east_arcmin=far))
    most = a_fit(wrong_arrival=three, residual_east_arcmin=np.array([np.nan, 300.0, -200.0, 99.0, 1.0, 1.0]))
    assert not hang_together(most)
    (answer,) = misfit_answers(a_situation(good_arrivals()), most)
    assert answer.about == "all"
    assert "the 5 arrivals do not fit one another: look at the time, date and place keyed in" in answer.words


def test_a_sync_that_the_arrivals_after_it_deny_is_to_be_taken_again():
    astray = a_fit(wrong_centring=np.array([0.97, *[np.nan] * 5]))
    (answer,) = misfit_answers(a_situation(good_arrivals()), astray)
    assert answer.words.startswith("1. the sync on Nameless does not fit what came after (97 %)")
    assert misfit_answers(a_situation(good_arrivals()), replace(astray, noise_arcmin=15.0)) == []


def test_the_other_side_of_the_pier_explains_only_where_the_side_that_is_written_counts():
    """The fourth stands 9 h from the meridian: there the tube has swung over the pier."""
    good = good_arrivals(0)
    hours = np.abs((good.stars.hour_angle_deg + 180) % 360 - 180) / 15
    explained = []
    for place in range(1, hours.size):
        west = good.stars.tube_west.copy()
        west[place] = not west[place]
        (answer,) = told(replace(good, stars=replace(good.stars, tube_west=west)))
        explained.append(any("--pier" in mend for mend in answer.mend))
    assert hours[3] > 9
    assert explained == (hours[1:] < 6).tolist()
