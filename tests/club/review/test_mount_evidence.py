"""What the nights say of a mount, from histories on record to the sentence of its verdict: what counts, since when."""

from datetime import UTC, date, datetime, timedelta
from math import isnan

import pytest

from obslog.club.night.snags import add_snag, fix_snag
from obslog.club.register.named_records import add
from obslog.club.review.review import review_of
from obslog.club.review.verdicts import MountEvidence, OpenSnags
from obslog.club.upkeep.services import add_service
from obslog.club.upkeep.work_orders import work_orders
from obslog.records.database import Database
from obslog.vocabulary.steps import Step
from tests.club.performance.histories import NOW, Evening, put_on_record
from tests.club.review.evidence import NIGHTS, SOON, evidence_of, mounts_of, told, with_names


@pytest.fixture
def pair(sqlite_database: Database) -> Database:
    """Heron and Bracken, of which nothing is on record yet."""
    return with_names(sqlite_database, ("Heron", "Bracken"))


def test_of_an_empty_record_nothing_is_known(pair: Database) -> None:
    found = evidence_of(pair, SOON)
    assert list(found.mounts.values()) == [MountEvidence(snags=[])] * 2
    assert list(found.shares) == ["mount", "observer", "site", "rest"]
    assert all(
        isnan(share.value) and isnan(share.sd) and (share.count, share.determined) == (0, False)
        for share in found.shares.values()
    )
    assert told(pair, "Heron", SOON) == [
        "0 set-ups with landings: too few to judge; a pointing run tells most in one evening: "
        "obslog pointing run-plan Heron --site SITE"
    ]


@pytest.mark.parametrize(
    ("by", "observers", "words"),
    [
        (
            ["Ines", "", "Ines", "", "Ines", ""],
            1,
            "3 of its 6 set-ups with landings by one person, and of 3 it is not on record by whom: "
            "it may be the person; let somebody else set it up once",
        ),
        (
            ["Ines"] * 6,
            1,
            "all 6 set-ups with landings by one person: it may be the person; let somebody else set it up once",
        ),
        (
            [""] * 6,
            0,
            "who set it up is on record of none of its 6 set-ups with landings: all may be by one person; note it: "
            "obslog setup edit Heron --night DATE --observer NAME",
        ),
    ],
)
def test_enough_setups_by_one_person_or_by_nobody_known_want_another_or_a_name(
    pair: Database, by: list[str], observers: int, words: str
) -> None:
    """They were "too few" by "0 observers", and a pointing run was to tell, which by the same person does not."""
    put_on_record(pair, [Evening(night, [6.0], observer=who) for night, who in zip(NIGHTS, by, strict=False)])
    found = mounts_of(pair, SOON)["Heron"]
    assert (found.setups, found.observers) == (6, observers)
    assert told(pair, "Heron", SOON)[0] == words
    assert not review_of(pair, "Heron", SOON).judged


def test_few_setups_by_nobody_known_are_by_no_number_of_observers(pair: Database) -> None:
    put_on_record(pair, [Evening(night, [6.0], observer="") for night in NIGHTS[:2]])
    assert told(pair, "Heron", SOON)[0].startswith(
        "2 set-ups with landings: too few to judge; a pointing run"
    )


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
    not_yet = ("too few to judge", "let somebody else set it up once")
    assert any(words in reason.words for reason in one.reasons for words in not_yet) is not judged


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
        "5 set-ups with landings by 1 observer: too few to judge; a pointing run tells most in one evening: "
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
        f"3 set-ups with landings since the service of {NIGHTS[3]} by 1 observer: too few to judge; "
        'a pointing run tells most in one evening: obslog pointing run-plan Heron --site "Kestrel Ridge"'
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


def test_the_day_of_a_snag_is_that_of_its_site(pair: Database) -> None:
    """Ten in the evening of 3 May in California is five in the morning of the 4th by universal time."""
    at = datetime(2025, 5, 4, 5, tzinfo=UTC)
    add(pair, "site", "Far west", {"zone": "America/Los_Angeles"}, at)
    add_snag(pair, Step.CENTRE, "it slips", at, mount="Heron", member="Ines", site="Far west")
    evening = date(2025, 5, 3)
    assert mounts_of(pair, SOON)["Heron"].snags == [OpenSnags(Step.CENTRE, 1, 1, evening)]
    assert [order.newest for order in work_orders(pair, SOON)] == [evening]
    assert (
        mounts_of(pair, evening + timedelta(days=366))["Heron"].snags == []
    )  # by universal time it is the 365th day


def test_snags_are_counted_by_mount_and_step_while_they_are_open(pair: Database) -> None:
    at = midnight(NIGHTS[0])
    for member in ("Ines", "Ines", "Bram Ostler", None):
        add_snag(pair, Step.CENTRE, "it slips", at, mount="Heron", member=member)
    add_snag(pair, Step.LEVEL, "the bubble lies", at, mount="Heron", member="Cleo Marsh")
    add_snag(pair, Step.CENTRE, "it slips", at, mount="Bracken", member="Cleo Marsh")
    add_snag(pair, Step.CENTRE, "no feeling for it", at, member="Dov Perrin")  # about nobody's mount
    mended = add_snag(pair, Step.CENTRE, "it slips", at, mount="Heron", member="Cleo Marsh")
    fix_snag(pair, mended.reference, "tightened", at)
    found = mounts_of(pair, SOON)
    assert sorted(found["Heron"].snags, key=lambda snags: snags.count) == [
        OpenSnags(Step.LEVEL, 1, 1, NIGHTS[0]),
        OpenSnags(Step.CENTRE, 4, 2, NIGHTS[0]),
    ]
    assert found["Bracken"].snags == [OpenSnags(Step.CENTRE, 1, 1, NIGHTS[0])]
