"""What the nights say of a mount, from histories on record to the sentence of its verdict: what counts, since when."""

import json
import re
from collections.abc import Iterable, Iterator
from datetime import UTC, date, datetime, timedelta
from math import cos, hypot, isnan, radians
from pathlib import Path
from shutil import copy
from statistics import median

import pytest
from sqlalchemy import delete, select

from obslog.club.night.snags import add_snag, fix_snag
from obslog.club.register import named_records
from obslog.club.register.rule_book import Rules
from obslog.club.review.mount_evidence import Evidence, gather, read_nights
from obslog.club.review.review import review_of
from obslog.club.review.verdicts import MountEvidence, OpenSnags, OwnErrors
from obslog.club.upkeep.services import add_service
from obslog.records.engine import make_engine
from obslog.records.opening import Database
from obslog.records.tables.logbook_tables import Arrival, Night, Setup
from obslog.vocabulary import Role, Step
from tests.club.performance.histories import NOW, Evening, fortnightly, put_on_record
from tests.club.performance.test_mount_fit import SAMPLES, take_in

BOOK = Rules({})
NIGHTS = fortnightly(31, days=5)
FIRST_ALARM, SECOND_ALARM = NIGHTS[8], NIGHTS[19]
SERVICED = NIGHTS[12]
SOON = NIGHTS[-1] + timedelta(days=2)


def evidence_of(database: Database, today: date) -> Evidence:
    with database.read() as session:
        nights = read_nights(session, BOOK, today)
    return gather(nights)


def mounts_of(database: Database, today: date) -> dict[str, MountEvidence]:
    with database.read() as session:
        nights = read_nights(session, BOOK, today)
    found = gather(nights)
    return {mount.name: found.mounts[key] for key, mount in nights.snapshot.mounts.items()}


def told(database: Database, mount: str, today: date) -> list[str]:
    """The reasons of the review of one mount."""
    return [reason.words for reason in review_of(database, mount, today).reasons]


def with_names(database: Database, mounts: Iterable[str]) -> Database:
    """Two sites, four members, and these mounts, of no type: their landings are known, their axes are not."""
    for kind, names in (
        ("site", ("Mill Field", "Kestrel Ridge")),
        ("member", ("Ines", "Bram Ostler", "Cleo Marsh", "Dov Perrin")),
        ("mount", mounts),
    ):
        for name in names:
            named_records.add(database, kind, name, {"zone": "Europe/London"} if kind == "site" else {}, NOW)
    return database


def steady(mount: str, far: dict[int, list[float]], count: int = 25) -> Iterator[Evening]:
    """Set-ups that land 5' and 7' out in turn, by two members in turn, but for those nights told apart.

    Each distance is a set-up of its own. Eight quiet nights set the chart: the logarithms scatter by 0.18 about their
    mean, ln 5.9. One landing 100' out raises the moving average by 0.2 ln(100 / 5.9) = 0.57, far over a limit of
    0.2 x 0.18 times about 4; ten quiet nights bring it down to 0.57 x 0.8^10 = 0.06, well within the limit's
    0.06 times about 4.
    """
    for place, night in enumerate(NIGHTS[:count]):
        for arcmin in far.get(place, [5.0 + 2 * (place % 2)]):
            yield Evening(night, [arcmin], mount=mount, observer=("Ines", "Bram Ostler")[place % 2])


ALARMED = {8: [100.0], 19: [100.0]}
CHARTED = ("Alder", "Birch", "Cedar", "Dogwood", "Elder")


@pytest.fixture(scope="module")
def charted(sqlite_template: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Database]:
    """Five mounts: over the limit twice; under it twice; over, mended and over again; over twice with a cleaning
    between; over twice in one night. Nothing is written by the tests."""
    path = Path(copy(sqlite_template, tmp_path_factory.mktemp("charted") / "club.db"))
    database = with_names(Database(make_engine(str(path)), str(path)), CHARTED)
    put_on_record(
        database,
        [
            *steady("Alder", ALARMED),
            *steady("Birch", {8: [0.01], 19: [0.01]}),
            *steady("Cedar", {8: [100.0], 20: [100.0]}),
            *steady("Dogwood", ALARMED),
            *steady("Elder", {8: [100.0, 0.1, 100.0]}),
        ],
    )
    add_service(database, "mount", "Cedar", "new worm", NOW, on=SERVICED, mechanical=True)
    add_service(database, "mount", "Dogwood", "wiped", NOW, on=SERVICED, mechanical=False)
    yield database
    database.close()


def alarms(database: Database, mount: str, today: date) -> list[date]:
    growth = mounts_of(database, today)[mount].growth
    assert growth is not None
    return growth.alarm_nights


def test_an_alarm_counts_through_the_last_of_its_days(charted: Database) -> None:
    last = FIRST_ALARM + timedelta(days=180)  # the rule alarm-days
    assert alarms(charted, "Alder", last) == [FIRST_ALARM, SECOND_ALARM]
    assert told(charted, "Alder", last) == [
        f"its landing error exceeded the control limit on 2 nights, most recently on {SECOND_ALARM}"
    ]
    assert alarms(charted, "Alder", last + timedelta(days=1)) == [SECOND_ALARM]
    assert told(charted, "Alder", last + timedelta(days=1)) == []  # one alarm is no verdict
    assert alarms(charted, "Alder", SECOND_ALARM + timedelta(days=181)) == []


def test_a_landing_better_than_the_limit_is_no_alarm_against_the_mount(charted: Database) -> None:
    assert alarms(charted, "Birch", SOON) == []
    assert told(charted, "Birch", SOON) == []


def test_alarms_before_a_mechanical_service_are_forgotten_and_after_it_they_count(charted: Database) -> None:
    """Cedar alarmed on the ninth night and, with eight quiet nights since its service, on the ninth after that."""
    assert alarms(charted, "Cedar", SOON) == [NIGHTS[20]]
    assert told(charted, "Cedar", SOON) == []


def test_a_service_that_is_not_mechanical_leaves_the_alarms_standing(charted: Database) -> None:
    found = mounts_of(charted, SOON)["Dogwood"]
    assert alarms(charted, "Dogwood", SOON) == [FIRST_ALARM, SECOND_ALARM]
    assert (found.serviced_on, found.setups) == (None, 25)


def test_a_night_counts_once_however_often_the_limit_was_left_in_it(charted: Database) -> None:
    assert alarms(charted, "Elder", SOON) == [FIRST_ALARM]
    assert mounts_of(charted, SOON)["Elder"].setups == 25 + 2


def test_of_a_mended_mount_the_nights_since_then_are_counted_that_of_the_day_among_them(
    charted: Database,
) -> None:
    found = mounts_of(charted, SOON)["Cedar"]
    assert (found.serviced_on, found.setups) == (SERVICED, 25 - 12)
    assert mounts_of(charted, SOON)["Alder"].setups == 25


def test_the_setups_of_the_last_year_are_counted_from_the_day_a_year_ago(charted: Database) -> None:
    a_year_on = NIGHTS[3] + timedelta(days=365)
    assert mounts_of(charted, a_year_on)["Alder"].setups_last_year == 25 - 3
    assert mounts_of(charted, a_year_on + timedelta(days=1))["Alder"].setups_last_year == 25 - 4
    assert mounts_of(charted, a_year_on)["Cedar"].setups_last_year == 25 - 3  # before its service too


def test_what_the_axes_do_is_not_told_of_a_mount_without_a_type(charted: Database) -> None:
    assert mounts_of(charted, SOON)["Alder"].own is None


@pytest.fixture
def pair(sqlite_database: Database) -> Database:
    """Heron and Bracken, of which nothing is on record yet."""
    return with_names(sqlite_database, ("Heron", "Bracken"))


def test_of_an_empty_record_nothing_is_known(pair: Database) -> None:
    found = evidence_of(pair, SOON)
    assert list(found.mounts.values()) == [MountEvidence(snags=[])] * 2
    assert list(found.shares) == ["mount", "observer", "site", "rest"]
    assert all(isnan(share.sd) and not share.determined for share in found.shares.values())
    assert told(pair, "Heron", SOON) == [
        "0 set-ups by 0 observers: too few to judge; a pointing run would settle it: "
        "obslog pointing run-plan Heron --site SITE"
    ]


def test_setups_by_nobody_on_record_are_by_no_further_observer(pair: Database) -> None:
    by = ("Ines", "", "Ines", "", "Ines", "")
    put_on_record(pair, [Evening(night, [6.0], observer=who) for night, who in zip(NIGHTS, by, strict=False)])
    found = mounts_of(pair, SOON)["Heron"]
    assert (found.setups, found.observers) == (6, 1)
    assert told(pair, "Heron", SOON)[0].startswith("6 set-ups by 1 observer: too few to judge")


@pytest.mark.parametrize(
    ("count", "observers", "judged"),
    [
        (6, ("Ines", "Bram Ostler"), True),
        (5, ("Ines", "Bram Ostler"), False),
        (6, ("Ines",), False),
        (7, ("Ines", "Bram Ostler", "Cleo Marsh"), True),
    ],
)
def test_enough_is_six_setups_by_two_observers(
    pair: Database, count: int, observers: tuple[str, ...], judged: bool
) -> None:
    put_on_record(
        pair,
        [
            Evening(night, [6.0], observer=observers[place % len(observers)])
            for place, night in enumerate(NIGHTS[:count])
        ],
    )
    found = mounts_of(pair, SOON)["Heron"]
    assert (found.setups, found.observers) == (count, len(observers))
    one = review_of(pair, "Heron", SOON)
    assert (one.judged, one.setups_last_year) == (judged, count)
    assert any("too few to judge" in reason.words for reason in one.reasons) is not judged


def test_a_setup_that_left_no_landing_is_no_evidence_but_it_is_use(pair: Database) -> None:
    """Left out: a sync alone, and a landing told in no word and by no number."""
    put_on_record(
        pair,
        [
            *(Evening(night, [6.0], observer="Ines") for night in NIGHTS[:5]),
            Evening(NIGHTS[5], [], observer="Bram Ostler", site="Kestrel Ridge"),
        ],
    )
    found = mounts_of(pair, SOON)["Heron"]
    assert (found.setups, found.observers, found.setups_last_year) == (5, 1, 6)
    assert told(pair, "Heron", SOON) == [
        "5 set-ups by 1 observer: too few to judge; a pointing run would settle it: "
        'obslog pointing run-plan Heron --site "Mill Field"'
    ]


def test_only_observers_and_sites_since_the_service_count(pair: Database) -> None:
    """Three members before the service; one since then, mostly at the Ridge."""
    before = ("Ines", "Bram Ostler", "Cleo Marsh")
    put_on_record(
        pair,
        [
            *(Evening(night, [6.0], observer=who) for night, who in zip(NIGHTS, before, strict=False)),
            *(
                Evening(night, [6.0], observer="Dov Perrin", site=site)
                for night, site in zip(
                    NIGHTS[3:], ("Mill Field", "Kestrel Ridge", "Kestrel Ridge"), strict=False
                )
            ),
        ],
    )
    assert mounts_of(pair, SOON)["Heron"].observers == 4
    assert mounts_of(pair, SOON)["Heron"].usual_site == "Mill Field"
    add_service(pair, "mount", "Heron", "new belts", NOW, on=NIGHTS[1], mechanical=True)
    add_service(pair, "mount", "Heron", "new worm", NOW, on=NIGHTS[3], mechanical=True)
    add_service(pair, "mount", "Heron", "wiped", NOW, on=NIGHTS[5], mechanical=False)
    found = mounts_of(pair, SOON)["Heron"]
    assert (found.setups, found.observers, found.usual_site) == (3, 1, "Kestrel Ridge")
    assert told(pair, "Heron", SOON) == [
        f"3 set-ups since the service of {NIGHTS[3]} by 1 observer: too few to judge; a pointing run would settle "
        'it: obslog pointing run-plan Heron --site "Kestrel Ridge"'
    ]


def test_a_mount_not_set_up_since_its_service_says_nothing_of_its_landings(pair: Database) -> None:
    put_on_record(pair, [Evening(night, [6.0 + place]) for place, night in enumerate(NIGHTS[:8])])
    add_service(pair, "mount", "Heron", "new worm", NOW, on=NIGHTS[8], mechanical=True)
    found = mounts_of(pair, SOON)["Heron"]
    nothing = (found.setups, found.observers, found.usual_site, found.effect, found.raw_ratio, found.own)
    assert nothing == (0, 0, None, None, None, None)
    assert found.setups_last_year == 8


def test_the_raw_ratio_is_of_geometric_means_of_the_setups_with_a_landing(pair: Database) -> None:
    """Heron lands 20' out four times and Bracken 5' out four times; the club's geometric mean is 10': 2, and 1/2.

    A third of each, with a sync alone, changes nothing."""
    put_on_record(
        pair,
        [
            Evening(night, arcmin, mount=mount, observer=("Ines", "Bram Ostler")[place % 2])
            for mount, out in (("Heron", 20.0), ("Bracken", 5.0))
            for place, (night, arcmin) in enumerate(zip(NIGHTS, [[out]] * 4 + [[]] * 2, strict=False))
        ],
    )
    found = mounts_of(pair, SOON)
    assert found["Heron"].raw_ratio == pytest.approx(2, rel=1e-6)
    assert found["Bracken"].raw_ratio == pytest.approx(0.5, rel=1e-6)


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
    assert own.scatter_arcmin.value < 0.05  # the sheet has none
    assert (own.polar_axis_off_arcmin, own.setups) == (pytest.approx(median(OFF_POLE), abs=0.1), 8)
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


def midnight(day: date) -> datetime:
    return datetime(day.year, day.month, day.day, tzinfo=UTC)


def test_a_snag_counts_for_a_year_from_its_day_on(pair: Database) -> None:
    since = midnight(date(2025, 3, 2))
    today = date(2026, 3, 2)  # 365 days later: the rule snag-days
    for member, at in (
        ("Ines", since),
        ("Bram Ostler", since + timedelta(days=100, hours=23)),
        ("Cleo Marsh", since + timedelta(days=40)),
        ("Dov Perrin", since - timedelta(seconds=1)),
    ):
        add_snag(pair, Step.CENTRE, "it slips", at, mount="Heron", member=member)
    newest = date(2025, 3, 2) + timedelta(days=100)
    assert mounts_of(pair, today)["Heron"].snags == [OpenSnags(Step.CENTRE, 3, 3, newest)]
    assert f"3 open snags at the step centre from 3 members, most recently on {newest}" in told(
        pair, "Heron", today
    )
    assert mounts_of(pair, today - timedelta(days=1))["Heron"].snags == [OpenSnags(Step.CENTRE, 4, 4, newest)]
    assert mounts_of(pair, today + timedelta(days=1))["Heron"].snags == [OpenSnags(Step.CENTRE, 2, 2, newest)]
    assert not any("snag" in words for words in told(pair, "Heron", today + timedelta(days=1)))


def test_snags_are_counted_by_mount_and_step_while_they_are_open(pair: Database) -> None:
    at = midnight(NIGHTS[0])
    for member in ("Ines", "Ines", "Bram Ostler", None):
        add_snag(pair, Step.CENTRE, "it slips", at, mount="Heron", member=member)
    add_snag(pair, Step.LEVEL, "the bubble lies", at, mount="Heron", member="Cleo Marsh")
    add_snag(pair, Step.CENTRE, "it slips", at, mount="Bracken", member="Cleo Marsh")
    add_snag(pair, Step.CENTRE, "no feeling for it", at, member="Dov Perrin")  # about nobody's mount
    mended = add_snag(pair, Step.CENTRE, "it slips", at, mount="Heron", member="Cleo Marsh")
    fix_snag(pair, mended.mark, "tightened", at)
    found = mounts_of(pair, SOON)
    assert sorted(found["Heron"].snags, key=lambda snags: snags.count) == [
        OpenSnags(Step.LEVEL, 1, 1, NIGHTS[0]),
        OpenSnags(Step.CENTRE, 4, 2, NIGHTS[0]),
    ]
    assert found["Bracken"].snags == [OpenSnags(Step.CENTRE, 1, 1, NIGHTS[0])]
