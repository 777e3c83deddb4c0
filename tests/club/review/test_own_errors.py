"""What the review says of a mount's own axes, against sheets of known truth: of which nights, and when nothing."""

import json
import re
from datetime import date, timedelta
from math import cos, hypot, radians
from statistics import median

import numpy as np
import pytest
from sqlalchemy import delete, select

from obslog.club.review.verdicts import OwnErrors
from obslog.club.upkeep.services import add_service
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Arrival, Mount, Night, Setup
from obslog.vocabulary.arrivals import Role
from obslog.vocabulary.mounts import MountType
from tests.club.over_time.knocked_clubs import NIGHTS, SAG, put_mounts, steady
from tests.club.performance.histories import NOW
from tests.club.performance.test_mount_fit import SAMPLES, take_in
from tests.club.review.evidence import mounts_of, told


@pytest.fixture
def exact(sqlite_database: Database) -> Database:
    """Heron with a long tube on eight nights, from a sheet of known truth without noise: a cone error of 17'."""
    take_in(sqlite_database, "german_exact")
    return sqlite_database


TRUTH = json.loads((SAMPLES / "truth.json").read_text())["german_exact"]
SET_UP = [date.fromisoformat(setup["night"]) for setup in TRUTH["setups"]]
OFF_POLE = [
    hypot(
        setup["polar_altitude_arcmin"],
        setup["polar_azimuth_arcmin"] * cos(radians(TRUTH["site"]["lat_deg"])),
    )
    for setup in TRUTH["setups"]
]
"""How far each set-up's axis stood from the pole: a degree of azimuth is cos(latitude) of one on the sky."""
AFTER = SET_UP[-1] + timedelta(days=10)


def own_of(database: Database) -> OwnErrors | None:
    return mounts_of(database, AFTER)["Heron"].own


def test_the_mounts_own_errors_are_those_of_the_truth(exact: Database) -> None:
    own = own_of(exact)
    assert own is not None
    assert own.cone_arcmin.value == pytest.approx(TRUTH["cone_arcmin"], abs=0.02)
    assert own.squareness_arcmin.value == pytest.approx(TRUTH["squareness_arcmin"], abs=0.05)
    assert own.sag_arcmin.value == pytest.approx(TRUTH["sag_arcmin"], abs=0.05)
    assert own.scatter_arcmin.value < 0.05  # the sheet has none
    assert own.polar_axis_off_arcmin == pytest.approx(median(OFF_POLE), abs=0.1)
    assert own.setups == 8
    (cone,) = (words for words in told(exact, "Heron", AFTER) if "cone" in words)
    number, rest = re.fullmatch(r"cone error (-\d+\.\d+)' ± 0\.00\d' over 48 readings: (.*)", cone).groups()  # type: ignore[union-attr]
    assert float(number) == pytest.approx(TRUTH["cone_arcmin"], abs=0.02)
    assert rest == "the tube is not square to its axis; shim or turn the rings"


def test_the_axes_since_a_mechanical_service_alone_are_its_own(exact: Database) -> None:
    """The service is on the day of the fourth night, which comes after it: five nights of six readings are left."""
    add_service(exact, "mount", "Heron", "new worm", NOW, on=SET_UP[3], mechanical=True)
    own = own_of(exact)
    assert own is not None
    assert (own.setups, own.scatter_arcmin.count) == (5, 30)
    assert own.polar_axis_off_arcmin == pytest.approx(median(OFF_POLE[3:]), abs=0.1)
    assert median(OFF_POLE[3:]) != pytest.approx(median(OFF_POLE), abs=1)


def test_of_a_tube_that_was_mended_after_the_last_night_nothing_is_known_yet(exact: Database) -> None:
    """Its cone error was shimmed away; the mount's own nights stand."""
    add_service(exact, "tube", "Long tube", "rings shimmed", NOW, on=SET_UP[-1], mechanical=True)
    assert own_of(exact) is not None  # the night of that day came after it
    add_service(
        exact, "tube", "Long tube", "shimmed again", NOW, on=SET_UP[-1] + timedelta(days=1), mechanical=True
    )
    assert own_of(exact) is None
    assert mounts_of(exact, AFTER)["Heron"].setups == 8
    assert not any("cone error" in words for words in told(exact, "Heron", AFTER))


def test_a_night_of_a_sync_alone_has_no_polar_axis_of_its_own(exact: Database) -> None:
    with exact.write(NOW) as session:
        last = session.scalars(select(Setup.id).join(Night).order_by(Night.night_of.desc())).first()
        session.execute(delete(Arrival).where(Arrival.setup_id == last, Arrival.role != Role.SYNC))
    own = own_of(exact)
    assert own is not None
    assert (own.setups, own.scatter_arcmin.count) == (7, 42)
    assert own.polar_axis_off_arcmin == pytest.approx(median(OFF_POLE[:-1]), abs=0.1)


def test_a_night_whose_reading_tells_nothing_of_its_polar_axis_is_not_counted_as_near_the_pole(
    exact: Database,
) -> None:
    """On five nights the star that was synced on is all that was looked at again: their axes may stand anywhere."""
    with exact.write(NOW) as session:
        for night in SET_UP[3:]:
            its = select(Arrival).join(Setup, Arrival.setup_id == Setup.id).join(Night)
            sync, again, *others = session.scalars(
                its.where(Night.night_of == night).order_by(Arrival.at_utc)
            ).all()
            again.ra_hours, again.dec_deg, again.pier_side = sync.ra_hours, sync.dec_deg, sync.pier_side
            again.at_utc = sync.at_utc + timedelta(seconds=1)
            again.offset_east_arcmin = again.offset_north_arcmin = 0.0
            for other in others:
                session.delete(other)
    own = own_of(exact)
    assert own is not None
    assert (own.setups, own.scatter_arcmin.count) == (3, 23)
    assert own.polar_axis_off_arcmin == pytest.approx(median(OFF_POLE[:3]), abs=0.3)


def test_what_leans_of_an_altaz_mount_is_known_to_be_its_base(exact: Database) -> None:
    with exact.write(NOW) as session:
        session.scalars(select(Mount)).one().mount_type = MountType.ALTAZ
    own = own_of(exact)
    assert own is not None
    assert own.mount_type is MountType.ALTAZ


def test_few_readings_tell_no_scatter_and_so_nothing_of_the_axes(exact: Database) -> None:
    """A sync and one reading, of two numbers, for a mount and a night of five unknown ones."""
    with exact.write(NOW) as session:
        first = select(Setup.id).join(Night).where(Night.night_of == SET_UP[0]).scalar_subquery()
        kept = session.scalars(
            select(Arrival.id).where(Arrival.setup_id == first).order_by(Arrival.at_utc).limit(2)
        ).all()
        session.execute(delete(Arrival).where(Arrival.id.not_in(kept)))
    assert mounts_of(exact, AFTER)["Heron"].setups == 1
    assert own_of(exact) is None


def test_a_mount_is_not_cleared_of_what_its_tube_or_its_course_tells(sqlite_database: Database) -> None:
    """Bittern's tube bends by 15'; Knot's axes are true, but it stands worse from night to night, whoever brings it."""
    mounts = {"Heron": steady(), "Bittern": steady(), "Knot": steady()}
    mounts["Bittern"][:, SAG] = 15.0
    polar_sd = {name: np.full(len(NIGHTS), 6.0) for name in mounts}
    polar_sd["Knot"] = np.geomspace(5.0, 60.0, len(NIGHTS))
    put_mounts(sqlite_database, np.random.default_rng(1), mounts, polar_sd_arcmin=polar_sd)
    of_bittern, of_knot = (told(sqlite_database, name, NOW.date()) for name in ("Bittern", "Knot"))
    (sag,) = (words for words in of_bittern if words.startswith("sag"))
    number = re.match(r"sag \+(\d+\.\d)' ± 0\.\d' over 168 readings: the tube bends under its weight", sag)
    assert number, sag
    assert float(number[1]) == pytest.approx(15.0, abs=1.0)
    assert any("its landing error grows by a factor of" in words for words in of_knot)
    assert not any("not at fault" in words for words in (*of_bittern, *of_knot))
