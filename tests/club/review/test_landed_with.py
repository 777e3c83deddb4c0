"""A mount that had several tubes, from clubs of known truth to the sentence: each is judged by its own set-ups."""

import numpy as np
from sqlalchemy import select

from obslog.club.register import named_records
from obslog.club.review.review import review_of
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Member, Setup, Tube
from tests.club.over_time.knocked_clubs import CONE, put_mounts, steady
from tests.club.performance.histories import NOW, Evening, put_on_record
from tests.club.review.evidence import NIGHTS, SOON, mounts_of, told, with_names

CROOKED_ARCMIN = 42.0


def test_tubes_in_turn_are_judged_each_by_itself(sqlite_database: Database) -> None:
    """The crooked one is on every third night; of both together the split said 1.5 times, and that it may be chance."""
    mounts = {"Heron": steady(), "Bittern": steady(), "Knot": steady()}
    mounts["Heron"][1::3, CONE] += CROOKED_ARCMIN
    tubes = ["Long tube", "Short tube", "Long tube"] * 8
    put_mounts(sqlite_database, np.random.default_rng(1), mounts, tubes=tubes)
    reviewed = review_of(sqlite_database, "Heron", NOW.date())
    (missed,) = [reason.words for reason in reviewed.reasons if "it misses by" in reason.words]
    assert missed.startswith("with Short tube it misses by ")
    assert missed.endswith(" over 8 set-ups by 2 observers")
    assert reviewed.effect is not None
    assert (reviewed.tube, reviewed.effect.count) == ("Long tube", 16)
    assert reviewed.effect.low is not None
    assert reviewed.effect.low < 1.0


def test_without_a_fit_it_is_the_tube_of_the_newest_night(sqlite_database: Database) -> None:
    """Heron lands 20' out with the short tube, as Bracken does, and 5' out with the long one."""
    database = with_names(sqlite_database, ("Heron", "Bracken"))
    for name in ("Long tube", "Short tube"):
        named_records.add(database, "tube", name, {}, NOW)
    tubes = ["Short tube"] * 3 + ["Long tube"] * 5
    people = ("Ines", "Bram Ostler")
    put_on_record(
        database,
        [
            *(
                Evening(night, [5.0 if tube == "Long tube" else 20.0], observer=people[place % 2], tube=tube)
                for place, (night, tube) in enumerate(zip(NIGHTS, tubes, strict=False))
            ),
            *(Evening(night, [20.0], mount="Bracken", observer=people[0]) for night in NIGHTS[:8]),
        ],
    )
    found = mounts_of(database, SOON)["Heron"]
    assert (found.tube, found.with_tube, found.setups, found.tube_observers) == (
        "Long tube",
        " with Long tube",
        8,
        2,
    )
    assert found.effect is not None
    assert found.effect.count == 5
    # Of 16 set-ups 11 land 20' out and 5 land 5' out: their geometric mean is 20' / 4^(5/16).
    assert found.raw_ratio is not None
    assert np.isclose(found.raw_ratio, 4.0 ** (5 / 16 - 1))


def test_a_tube_that_one_person_alone_set_up_is_not_judged(sqlite_database: Database) -> None:
    """The crooked one is Iris's on six nights; three of them by Jon, and it may be the tube."""
    mounts = {"Heron": steady(), "Bittern": steady(), "Knot": steady()}
    mounts["Heron"][::4, CONE] += CROOKED_ARCMIN
    put_mounts(
        sqlite_database, np.random.default_rng(1), mounts, tubes=["Short tube", *["Long tube"] * 3] * 6
    )
    assert not [words for words in told(sqlite_database, "Heron", NOW.date()) if "Short tube" in words]
    with sqlite_database.write(NOW) as session:
        jon = session.scalars(select(Member.id).where(Member.name == "Jon")).one()
        short = select(Tube.id).where(Tube.name == "Short tube").scalar_subquery()
        for setup in session.scalars(select(Setup).where(Setup.tube_id == short)).all()[:3]:
            setup.member_id = jon
    words = told(sqlite_database, "Heron", NOW.date())
    assert any(one.startswith("cone error") and "with Short tube" in one for one in words)
    assert any(one.startswith("with Short tube it misses by") and "by 2 observers" in one for one in words)
