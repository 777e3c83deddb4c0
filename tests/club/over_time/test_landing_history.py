"""A mount's history: which arrivals count, what they amount to, and what may be said of them."""

from datetime import date, datetime, timedelta
from math import log, sqrt

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy import stats
from scipy.optimize import brentq
from sqlalchemy import update

from obslog.club.over_time.landing_history import NoArrivals, SetupHistory, mount_history
from obslog.club.upkeep.services import add_service
from obslog.errors import UnknownName
from obslog.records.database import Database
from obslog.records.name_lookup import by_name
from obslog.records.tables.logbook_tables import Arrival, Mount, Night, Setup, Site
from obslog.trends.series.theil_sen import Verdict
from obslog.vocabulary.arrivals import Landing, Role
from tests.known import known

FIRST = date(2025, 1, 6)
Drawn = tuple[str, float | None, float | None]


def put(
    database: Database, now: datetime, arrivals: list[Drawn], night: date = FIRST, *, ordinal: int = 1,
    site: str = "Mill Field", minutes: list[int] | None = None,
) -> None:  # fmt: skip
    """Put a set-up of Heron on record with its arrivals (role, east, north), a minute apart or at `minutes`."""
    with database.write(now) as session:
        site_id = by_name(session, Site, site).id
        record = session.query(Night).filter_by(site_id=site_id, night_of=night).one_or_none()
        if record is None:
            record = Night(site_id=site_id, night_of=night)
            session.add(record)
            session.flush()
        setup = Setup(night_id=record.id, mount_id=by_name(session, Mount, "Heron").id, ordinal=ordinal)
        session.add(setup)
        session.flush()
        start = datetime(night.year, night.month, night.day, 20, tzinfo=now.tzinfo)
        for place, (role, east, north) in enumerate(arrivals):
            at = start + timedelta(minutes=minutes[place] if minutes else place)
            session.add(
                Arrival(
                    setup_id=setup.id, at_utc=at, role=Role(role), target=f"star {place}",
                    offset_east_arcmin=east, offset_north_arcmin=north,
                    landing=None if east is not None else Landing.EDGE,
                )
            )  # fmt: skip
            session.flush()


def only(database: Database) -> SetupHistory:
    (setup,) = mount_history(database, "heron").setups
    return setup


def test_a_setup_worked_by_hand(club: Database, now: datetime) -> None:
    # Only the three checks after the second sync count: radii 5, 13 and 25 (3-4-5, 5-12-13, 7-24-25).
    put(
        club, now,
        [("sync", 60, 0), ("check", 99, 99), ("sync", 30, 30), ("check", 3, -4), ("goto", 5, 12), ("check", -7, 24)],
    )  # fmt: skip
    setup = only(club)
    # Sum of squares 25 + 169 + 625 = 819; RMS sqrt(819 / 3) = sqrt(273); median 13.
    assert (setup.arrivals, setup.told_in_words, setup.median_arcmin) == (3, 0, 13)
    assert_allclose(known(setup.rms_arcmin), sqrt(273))
    # Rayleigh's scale: s^2 = 819 / (2 x 3) = 136.5; half land within s sqrt(2 ln 2).
    assert setup.half_arcmin is not None
    assert_allclose(setup.half_arcmin.value, sqrt(136.5) * sqrt(2 * log(2)))
    # Squared distances are exponential, and for n of these twice the log likelihood falls by 2n (x - 1 - ln x) where
    # the scale's square is s^2 / x: the ends are where that is 3.841, the 95 % point of chi-squared (J. F. Lawless,
    # Statistical Models and Methods for Lifetime Data, 2nd ed. 2003, section 4.1; 3.841 stands in any table of it).
    ends = [brentq(lambda x: 6 * (x - 1 - log(x)) - 3.841459, *span) for span in ((1, 20), (1e-9, 1))]
    half = sqrt(136.5) * sqrt(2 * log(2))
    told = [known(setup.half_arcmin.low), known(setup.half_arcmin.high)]
    assert_allclose(told, [half / sqrt(x) for x in ends], rtol=1e-4)


def test_half_of_the_landings_of_rayleighs_law_are_within_the_radius(club: Database, now: datetime) -> None:
    offsets = np.random.default_rng(7).normal(0, 10, (60, 2))
    put(club, now, [("sync", None, None), *(("check", east, north) for east, north in offsets.tolist())])
    setup = only(club)
    scale = float(stats.rayleigh.fit(np.hypot(*offsets.T), floc=0)[1])
    assert setup.half_arcmin is not None
    assert_allclose(setup.half_arcmin.value, stats.rayleigh.median(scale=scale), rtol=1e-6)


def test_without_a_sync_nothing_counts(club: Database, now: datetime) -> None:
    put(club, now, [("check", 3, 4), ("goto", 1, 1)])
    setup = only(club)
    assert (setup.arrivals, setup.told_in_words, setup.half_arcmin) == (0, 0, None)


def test_after_the_last_sync_there_may_be_nothing(club: Database, now: datetime) -> None:
    put(club, now, [("check", 3, 4), ("sync", 1, 1)])
    assert (only(club).arrivals, only(club).rms_arcmin) == (0, None)


def test_landings_told_in_a_word_count_too_where_the_field_is_known(club: Database, now: datetime) -> None:
    drawn: list[Drawn] = [("sync", None, None), ("check", 3, 4), ("goto", None, None), ("goto", None, None)]
    put(club, now, drawn)
    assert (only(club).arrivals, only(club).told_in_words) == (1, 0)
    with club.write(now) as session:
        session.execute(update(Arrival).values(field_arcmin=40.0))
    setup = only(club)
    assert (setup.arrivals, setup.told_in_words) == (3, 2)
    assert_allclose(known(setup.rms_arcmin), 5)  # of what was measured
    assert setup.half_arcmin is not None
    assert setup.half_arcmin.value > 5  # two at the field's edge, about 20' out


def test_landings_exactly_in_the_centre_are_measured(club: Database, now: datetime) -> None:
    put(club, now, [("sync", None, None), ("check", 0, 0), ("check", 0, 0)])
    setup = only(club)
    assert (setup.arrivals, setup.told_in_words, setup.rms_arcmin) == (2, 0, 0)
    # What the eye calls the centre is near it, not in it: the radius is small, and its logarithm is a number.
    assert setup.half_arcmin is not None
    assert 0 < setup.half_arcmin.value < 1


def test_of_arrivals_at_one_time_the_one_written_first_came_first(club: Database, now: datetime) -> None:
    put(club, now, [("check", 90, 0), ("sync", 1, 1), ("check", 3, 4)], minutes=[5, 5, 5])
    assert (only(club).arrivals, only(club).rms_arcmin) == (1, 5)


def test_an_arrival_typed_late_counts_by_its_time(club: Database, now: datetime) -> None:
    put(club, now, [("sync", 1, 1), ("check", 3, 4), ("check", 90, 0)], minutes=[5, 6, 4])
    assert only(club).arrivals == 1


def test_setups_come_in_order_of_night_site_and_ordinal(club: Database, now: datetime) -> None:
    some: list[Drawn] = [("sync", None, None), ("check", 3, 4)]
    later = FIRST + timedelta(days=7)
    put(club, now, some, later)
    put(club, now, some, FIRST, ordinal=2)
    put(club, now, some, FIRST, site="Kestrel Ridge")
    put(club, now, some, FIRST)
    listed = [(s.setup.night, s.setup.site, s.setup.setup) for s in mount_history(club, "Heron").setups]
    assert listed == [
        (FIRST, "Kestrel Ridge", 1), (FIRST, "Mill Field", 1), (FIRST, "Mill Field", 2),
        (later, "Mill Field", 1),
    ]  # fmt: skip


def put_months(database: Database, now: datetime, radii: list[float]) -> None:
    """One set-up each 30 days, its one check so far from the centre."""
    for place, radius in enumerate(radii):
        put(database, now, [("sync", None, None), ("check", radius, 0)], FIRST + timedelta(days=30 * place))


@pytest.mark.parametrize(
    ("radii", "verdict"),
    [
        ([2.0**n for n in range(5)], Verdict.TOO_FEW),
        ([2.0**n for n in range(6)], Verdict.WORSENING),
        ([64 * 2.0**-n for n in range(6)], Verdict.IMPROVING),
        ([5, 7] * 7, Verdict.STEADY),
        ([5.0] * 14, Verdict.STEADY),
        ([5, 7] * 4, Verdict.TOO_FEW),
    ],
)
def test_the_verdict_needs_six_setups_and_an_interval_on_one_side_or_a_narrow_one(
    club: Database, now: datetime, radii: list[float], verdict: Verdict
) -> None:
    put_months(club, now, radii)
    assert mount_history(club, "Heron").verdict is verdict


def test_a_landing_error_that_doubles_each_thirty_days_has_that_slope(club: Database, now: datetime) -> None:
    put_months(club, now, [2.0**n for n in range(8)])
    history = mount_history(club, "Heron")
    assert history.slope is not None
    # Doubling in 30 days is ln 2 in 30 / 365.25 of a year, whatever pair of set-ups is taken; so are both ends.
    assert_allclose(history.slope.per_year.value, log(2) * 365.25 / 30, rtol=1e-3)
    used = known(history.as_used.slope)
    for value in (used.per_year.value, known(used.per_year.low), known(used.per_year.high)):
        assert_allclose(value, log(2) * 365.25 / 30)
    # All 28 pairs agree: of the 8! orders two are as extreme (Kendall's exact distribution).
    assert_allclose(used.p, 2 / 40320)


def test_mechanical_services_are_told_in_order(club: Database, now: datetime) -> None:
    put(club, now, [("sync", None, None), ("check", 3, 4)])
    for day, mechanical in ((20, True), (10, True), (15, False)):
        add_service(club, "mount", "Heron", "worked on", now, on=date(2025, 2, day), mechanical=mechanical)
    services = mount_history(club, "Heron").services
    assert [service.day for service in services] == [date(2025, 2, 10), date(2025, 2, 20)]


def test_a_mount_without_arrivals_or_of_no_such_name_is_refused(club: Database) -> None:
    with pytest.raises(NoArrivals):
        mount_history(club, "Heron")
    with pytest.raises(UnknownName):
        mount_history(club, "Heren")
