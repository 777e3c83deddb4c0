"""Landing errors of set-ups on record against arithmetic by hand.

By Rayleigh's law half of all landings are within sqrt(ln 2 * mean of the squared distances).
"""

from datetime import date, datetime
from math import log, log2, sqrt

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal

from obslog.club.performance.landing_errors import Landings, load_landings
from obslog.records.database import Database
from obslog.records.name_lookup import by_name
from obslog.records.tables.logbook_tables import Mount, Night, SkyReading
from obslog.vocabulary.sky_scales import SkyScale
from tests.club.performance.histories import Evening, put_on_record
from tests.known import known

FIRST, SECOND, THIRD = date(2026, 1, 5), date(2026, 1, 12), date(2026, 1, 19)


def landings(
    database: Database, mount: str | None = None, nights: tuple[date, date] | None = None
) -> Landings:
    with database.read() as session:
        return load_landings(session, by_name(session, Mount, mount).id if mount else None, nights)


def test_each_setup_has_the_count_root_mean_square_median_and_half_radius_of_its_own(club: Database) -> None:
    put_on_record(club, [Evening(FIRST, [3, 4, 12]), Evening(SECOND, [10, 10], observer="Bram Ostler")])
    found = landings(club, "Heron")
    assert [(s.night, s.setup, s.site, s.mount) for s in found.setups] == [
        (FIRST, 1, "Mill Field", "Heron"),
        (SECOND, 1, "Mill Field", "Heron"),
    ]
    assert found.observers == ["Ines", "Bram Ostler"]
    mean_squares = np.array([(9 + 16 + 144) / 3, 100])
    assert_array_equal(found.measured, [3, 2])
    assert_array_equal(found.told, [0, 0])
    assert_allclose(found.rms_arcmin, np.sqrt(mean_squares))
    assert_allclose(found.median_arcmin, [4, 10])
    assert_allclose(found.errors.half_arcmin, np.sqrt(log(2) * mean_squares), rtol=1e-6)
    assert_allclose(found.log_error, np.log(np.sqrt(log(2) * mean_squares)), rtol=1e-6)


def test_the_mean_of_setups_that_agree_is_no_surer_than_they_are(club: Database) -> None:
    """Two set-ups with four landings 10' out each: the logarithm of either scale is known to 1 / (2 sqrt 4)."""
    put_on_record(club, [Evening(FIRST, [10] * 4), Evening(SECOND, [10] * 4), Evening(THIRD)])
    mean = landings(club, "Heron").mean_half_arcmin([0, 1])
    assert mean is not None
    assert_allclose(mean.value, 10 * sqrt(log(2)), rtol=1e-6)
    reach = 12.7062 * 0.25 / sqrt(2)  # Student's t of one degree of freedom: printed tables
    assert_allclose(
        np.log([known(mean.low), known(mean.high)]), log(mean.value) + reach * np.array([-1, 1]), rtol=1e-4
    )


def test_a_setup_with_words_alone_has_an_error_and_nothing_measured(club: Database) -> None:
    put_on_record(club, [Evening(FIRST, words=["in", "edge", "finder"])])
    found = landings(club)
    assert (found.measured.tolist(), found.told.tolist()) == ([0], [3])
    assert np.isnan(found.rms_arcmin[0])
    assert np.isnan(found.median_arcmin[0])
    assert 0 < found.errors.half_arcmin[0] < 150


def test_a_setup_without_a_landing_after_its_sync_is_there_and_unknown(club: Database) -> None:
    put_on_record(club, [Evening(FIRST)])
    found = landings(club)
    assert len(found.setups) == 1
    for unknown in (found.rms_arcmin, found.median_arcmin, found.errors.half_arcmin, found.log_error):
        assert np.isnan(unknown).tolist() == [True]


def test_who_says_centred_means_by_in_that_it_was_not(club: Database) -> None:
    """The field is 60' across: "in" is 0 to 30', and 7.5' to 30' for who on another night says centred.

    By hand, with squares exponential of rate q: six within 30' have a chance of a half where (1 - e^-900q)^6 = 1/2;
    six from 7.5' to 30' are likeliest at q = ln(900 / 56.25) / (900 - 56.25). The radius is sqrt(ln 2 / q).
    """
    put_on_record(
        club,
        [
            Evening(FIRST, words=["in"] * 6),
            Evening(SECOND, words=["in"] * 6, observer="Bram Ostler"),
            Evening(THIRD, words=["centred"], observer="Bram Ostler"),
        ],
    )
    rates = np.array([-log(1 - 0.5 ** (1 / 6)) / 900, log(16) / 843.75])
    assert_allclose(landings(club, "Heron").errors.half_arcmin[:2], np.sqrt(log(2) / rates), rtol=1e-6)


def test_of_all_mounts_each_is_kept_together_in_order_of_its_nights(club: Database) -> None:
    put_on_record(
        club,
        [
            Evening(SECOND, [1]),
            Evening(SECOND, [2], mount="Bracken"),
            Evening(FIRST, [3], site="Kestrel Ridge"),
            Evening(FIRST, [4]),
        ],
    )
    assert [(s.mount, s.night, s.site) for s in landings(club).setups] == [
        ("Bracken", SECOND, "Mill Field"),
        ("Heron", FIRST, "Kestrel Ridge"),
        ("Heron", FIRST, "Mill Field"),
        ("Heron", SECOND, "Mill Field"),
    ]
    assert_allclose(landings(club).rms_arcmin, [2, 3, 4, 1])
    assert_allclose(landings(club, "Bracken").rms_arcmin, [2])
    assert landings(club, "Thistle").setups == []


def test_nights_are_those_from_the_first_to_the_last_both_included(club: Database) -> None:
    put_on_record(club, [Evening(night, [1]) for night in (FIRST, SECOND, THIRD)])
    assert [s.night for s in landings(club, nights=(FIRST, SECOND)).setups] == [FIRST, SECOND]
    assert [s.night for s in landings(club, nights=(SECOND, SECOND)).setups] == [SECOND]
    assert landings(club, nights=(date(2025, 1, 1), date(2025, 12, 31))).setups == []


def test_the_temperature_is_the_mean_of_the_nights_readings_and_unknown_without(
    club: Database, now: datetime
) -> None:
    put_on_record(club, [Evening(FIRST, [1]), Evening(SECOND, [1])])
    with club.write(now) as session:
        night = session.query(Night).filter_by(night_of=FIRST).one()
        for minutes, value in enumerate((4.0, 1.0, -2.0)):
            session.add(
                SkyReading(
                    night_id=night.id,
                    at_utc=now.replace(minute=minutes),
                    scale=SkyScale.TEMPERATURE_C,
                    value=value,
                )
            )
    assert_allclose(landings(club).temperature_c, [1.0, np.nan])


def test_a_landing_closer_than_half_an_arcminute_is_no_better_than_that(club: Database) -> None:
    """Nobody reads an eyepiece finer: a set-up that says 0 three times is not infinitely good.

    The radius is where three landings within 0.5' have a chance of a half: (1 - 2^-(0.5 / h)^2)^3 = 1/2.
    """
    put_on_record(club, [Evening(FIRST, [0, 0.3, 0])])
    within_each = 0.5 ** (1 / 3)
    assert landings(club).errors.half_arcmin[0] == pytest.approx(0.5 / sqrt(-log2(1 - within_each)), rel=1e-6)
    assert landings(club).rms_arcmin[0] == pytest.approx(0.3 / sqrt(3))
