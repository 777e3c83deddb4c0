"""What is kept changes no answer, whatever was written and in which order; it is computed ahead, and checked."""

from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from random import Random

import pytest
from sqlalchemy import func, select, text, update

from obslog.club.checklist.past_nights import read_past_nights
from obslog.club.keeping import check_kept, keep_results, mounts_to_keep
from obslog.club.over_time.landing_history import NoArrivals, mount_history
from obslog.club.performance.error_sources import whose_error
from obslog.club.performance.mount_fit import fit_mount
from obslog.club.performance.mount_fits import MountFits
from obslog.club.performance.placed_arrivals import NothingPlaced
from obslog.club.performance.snapshot import snapshot_of
from obslog.club.privacy.leaving_members import leave
from obslog.club.register import named_records
from obslog.club.register.undo import undo
from obslog.club.review.review import review
from obslog.club.upkeep.services import add_service
from obslog.errors import ObslogError
from obslog.packing import packed
from obslog.pointing.joint_fit.answer import NothingMeasured
from obslog.records.change_counting import stop_counting
from obslog.records.database import Database
from obslog.records.driver_errors import NotWritable
from obslog.records.engine import make_engine, writing
from obslog.records.kept_results import Result, forget_results, sealed
from obslog.records.tables.kept import kept_results
from obslog.records.tables.keys import new_key
from tests.club.conftest import MOUNTS
from tests.club.performance.histories import NOW, Evening, counted_reading, put_on_record
from tests.club.performance.test_mount_fit import take_in

TODAY = NOW.date()


def answers(database: Database) -> str:
    """All that is said of the mounts' nights."""
    with database.read() as session:
        past = read_past_nights(session, TODAY)
        said = [repr(past.polar), repr(past.occasions)]
        names = [mount["name"] for mount in named_records.listed(database, "mount")]
    said += [repr(review(database, TODAY)), repr(whose_error(database))]
    for name in names:
        for tell in (mount_history, fit_mount):
            try:
                said.append(repr(tell(database, name)))
            except (NoArrivals, NothingPlaced, NothingMeasured, ObslogError) as error:
                said.append(repr(error.message))
    return "\n".join(said)


def forget(database: Database) -> None:
    with writing(database.engine).begin() as connection:
        forget_results(connection)


def kept(database: Database) -> int:
    with database.engine.connect() as connection:
        return connection.scalar(select(func.count()).select_from(kept_results)) or 0


@pytest.fixture
def club_of_four(club_of_three: Database) -> Database:
    """The club of three, and Heron with the samples' nights, whose stars and places are known."""
    take_in(club_of_three, "german_one_sync")
    return club_of_three


def an_evening(database: Database, rng: Random, _: int) -> None:
    night = date(2026, 6, 1) + timedelta(days=rng.randrange(200))
    words = ["centred", "in", "in", "edge"] if rng.random() < 0.5 else []
    mount, observer = rng.choice(MOUNTS), rng.choice(["Ines", "Tomasz"])
    offsets = [rng.gauss(0, 8) for _ in range(4)]
    put_on_record(database, [Evening(night, offsets, words, mount, observer)])


def a_service(database: Database, rng: Random, _: int) -> None:
    day = date(2026, 1, 1) + timedelta(days=rng.randrange(300))
    add_service(database, "mount", rng.choice([*MOUNTS, "Heron"]), "new worm", NOW, on=day, mechanical=True)


def a_name(database: Database, rng: Random, step: int) -> None:
    kind, name = rng.choice([("site", "Mill Field"), ("member", "Ines"), ("mount", MOUNTS[0])])
    del step, rng
    try:
        named_records.edit(database, kind, name, {"note": "looked at"}, NOW)
    except ObslogError:
        return


def by_hand(database: Database, rng: Random, _: int) -> None:
    with writing(database.engine).begin() as connection:
        shift = f"UPDATE arrivals SET offset_east_arcmin = offset_east_arcmin + {rng.random()} WHERE rowid % 7 = 3"
        connection.execute(text(shift))


def taken_back(database: Database, *_: object) -> None:
    try:
        undo(database, NOW)
    except ObslogError:
        return


WRITERS: list[Callable[[Database, Random, int], None]] = [an_evening, a_service, a_name, by_hand, taken_back]


@pytest.mark.parametrize("seed", range(3))
def test_whatever_is_written_the_answers_are_those_of_nothing_kept(club_of_four: Database, seed: int) -> None:
    rng = Random(seed)
    answers(club_of_four)
    for step in range(6):
        rng.choice(WRITERS)(club_of_four, rng, step)
        with_kept = answers(club_of_four)
        assert answers(club_of_four) == with_kept
        forget(club_of_four)
        assert answers(club_of_four) == with_kept, step


def test_who_says_centred_on_one_mount_is_believed_on_another(club_of_three: Database) -> None:
    put_on_record(club_of_three, [Evening(date(2026, 7, 1), words=["in"] * 5, mount=MOUNTS[0])])
    before = answers(club_of_three)
    put_on_record(club_of_three, [Evening(date(2026, 7, 2), words=["centred"], mount=MOUNTS[1])])
    after = answers(club_of_three)
    forget(club_of_three)
    assert answers(club_of_three) == after != before


def test_what_is_computed_ahead_is_all_that_is_asked_for_later(club_of_four: Database) -> None:
    mounts = mounts_to_keep(club_of_four)
    assert len(list(keep_results(club_of_four, mounts))) == len(mounts) + 1
    with counted_reading(club_of_four) as count:
        answers(club_of_four)
    assert count["arrivals"] == 0


def test_computing_ahead_may_be_stopped_after_any_step(club_of_four: Database) -> None:
    steps = keep_results(club_of_four, mounts_to_keep(club_of_four))
    counts = []
    for _ in range(3):
        next(steps)
        counts.append(kept(club_of_four))
    steps.close()
    assert counts == sorted(set(counts))
    whole = answers(club_of_four)
    forget(club_of_four)
    assert answers(club_of_four) == whole


def test_a_second_time_nothing_is_read_or_written(club_of_four: Database) -> None:
    mounts = mounts_to_keep(club_of_four)
    list(keep_results(club_of_four, mounts))
    before = kept(club_of_four)
    with counted_reading(club_of_four) as count:
        list(keep_results(club_of_four, mounts))
    assert (count["arrivals"], kept(club_of_four)) == (0, before)


def test_after_one_evening_the_arrivals_of_that_mount_alone_are_read(club_of_four: Database) -> None:
    list(keep_results(club_of_four, mounts_to_keep(club_of_four)))
    put_on_record(club_of_four, [Evening(date(2026, 8, 1), [3.0, 4.0], mount=MOUNTS[1])])
    with counted_reading(club_of_four) as count:
        review(club_of_four, TODAY)
    assert count["arrivals"] == 1


def test_a_check_finds_what_differs_and_drops_it(club_of_four: Database) -> None:
    mounts = mounts_to_keep(club_of_four)
    list(keep_results(club_of_four, mounts))
    fine = check_kept(club_of_four, mounts)
    assert (fine.computed_again > 3 * len(mounts), fine.differ) == (True, [])
    told = answers(club_of_four)
    of_club = Result("error sources")
    with writing(club_of_four.engine).begin() as connection:
        this = kept_results.c.kind == of_club.kind
        (mark,) = connection.scalars(select(kept_results.c.fingerprint).where(this))
        wrong = sealed(of_club, mark, packed({"sources": None, "too_few": 3}))
        connection.execute(update(kept_results).where(this).values(payload=wrong))
    found = check_kept(club_of_four, mounts[:1])
    assert found.differ == ["error sources of club"]
    assert (kept(club_of_four), answers(club_of_four)) == (0, told)


def test_nothing_kept_names_a_member_who_left(club_of_three: Database) -> None:
    list(keep_results(club_of_three, mounts_to_keep(club_of_three)))
    with club_of_three.engine.connect() as connection:
        payloads = list(connection.scalars(select(kept_results.c.payload)))
    assert any(b"Tomasz" in payload for payload in payloads)
    leave(club_of_three, "Tomasz", NOW)
    list(keep_results(club_of_three, mounts_to_keep(club_of_three)))
    with club_of_three.engine.connect() as connection:
        payloads = list(connection.scalars(select(kept_results.c.payload)))
    assert payloads
    assert not any(b"Tomasz" in payload for payload in payloads)
    assert b"Tomasz" not in Path(club_of_three.where).read_bytes()


def test_a_result_that_names_a_member_who_leaves_meanwhile_is_not_kept(club_of_three: Database) -> None:
    """Another program computed with the old name, and comes to keep it when that has been taken out."""
    with snapshot_of(club_of_three) as snapshot:
        assert "Tomasz" in snapshot.all_landings().observers
        leave(club_of_three, "Tomasz", NOW)
    with club_of_three.engine.connect() as connection:
        payloads = list(connection.scalars(select(kept_results.c.payload)))
    assert not any(b"Tomasz" in payload for payload in payloads)


def test_a_mount_that_another_program_took_away_is_passed_by(club_of_three: Database) -> None:
    mounts = [new_key(), *mounts_to_keep(club_of_three)]
    assert len(list(keep_results(club_of_three, mounts))) == len(mounts) + 1


def test_why_nothing_was_placed_names_the_tube_as_it_is_called_now(club_of_four: Database) -> None:
    """The tube was never on the mount, so that its name is no change of the mount's nights."""
    named_records.add(club_of_four, "tube", "Spare", {}, NOW)
    with snapshot_of(club_of_four) as snapshot, pytest.raises(NothingPlaced, match="with Spare"):
        MountFits(snapshot).summary("Heron", "Spare")
    named_records.edit(club_of_four, "tube", "Spare", {"name": "Loft tube"}, NOW)
    with snapshot_of(club_of_four) as snapshot, pytest.raises(NothingPlaced, match="with Loft tube"):
        MountFits(snapshot).summary("Heron", "Loft tube")


def test_a_check_of_a_file_that_may_only_be_read_says_so(club_of_three: Database) -> None:
    mounts = mounts_to_keep(club_of_three)
    list(keep_results(club_of_three, mounts))
    with writing(club_of_three.engine).begin() as connection:
        connection.execute(update(kept_results).values(payload=b""))
    club_of_three.close()
    path = club_of_three.where
    only_read = Database(make_engine(f"sqlite:///file:{path}?mode=ro&uri=true"), path)
    with pytest.raises(NotWritable):
        check_kept(only_read, mounts)
    only_read.close()


def test_a_check_puts_back_what_counts_where_it_was_lost(club_of_three: Database) -> None:
    with writing(club_of_three.engine).begin() as connection:
        stop_counting(connection)
    mounts = mounts_to_keep(club_of_three)
    list(keep_results(club_of_three, mounts))
    assert kept(club_of_three) == 0
    assert check_kept(club_of_three, mounts).differ == []
    list(keep_results(club_of_three, mounts))
    assert kept(club_of_three) > 0
