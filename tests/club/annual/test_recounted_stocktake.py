"""A stocktake of a random club, counted by hand: what should be there, what was not, and what became of that since."""

import shutil
from collections import Counter
from collections.abc import Sequence
from datetime import timedelta
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from obslog.club.shelves.counting import saw, start
from obslog.club.shelves.finishing import finish
from obslog.club.shelves.losses import losses
from obslog.club.shelves.standing import standing
from obslog.vocabulary.storeroom import Found
from tests.club.annual.pencil import Pencil
from tests.club.annual.random_clubs import FIRST, THINGS, Act, RandomClub, club_after, filled, years_of_acts

few = settings(
    max_examples=3, deadline=None, phases=[Phase.generate], suppress_health_check=[HealthCheck.too_slow]
)  # to make an example smaller takes minutes
ticked = st.sets(st.sampled_from(THINGS))


@pytest.fixture(scope="module")
def template(sqlite_template: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return filled(Path(shutil.copy(sqlite_template, tmp_path_factory.mktemp("stocktake") / "club.db")))


@few
@given(acts=years_of_acts, seen=ticked, later=years_of_acts)
def test_a_pencil_finds_the_same_missing(
    template: Path, acts: Sequence[Act], seen: set[str], later: Sequence[Act]
) -> None:
    with club_after(template, acts) as club:
        before = stands(club)
        start(club.database, club.now)
        for name in sorted(seen):
            saw(club.database, name, club.now)
        hold_open(club, seen, before)
        finish(club.database, club.now)
        day, lost = club.today, {name for name, where in before.items() if where == "store"} - seen
        assert stands(club) == before | dict.fromkeys(lost, "missing") | {
            name: "store" for name in seen if before[name] == "missing"
        }
        club.done = 0  # so that no undo takes the stocktake back
        for days, hours, act, what, how in later[:12]:
            club.now += timedelta(days=days, hours=hours)
            club.try_to(act, what, how)
        hold_finished(club, {name for name, where in before.items() if where == "store"}, lost)
        assert standing(club.database, day).finished_on == day


def stands(club: RandomClub) -> dict[str, str]:
    """Of each item: gone, with a member, missing, or in the store."""
    pencil = Pencil(club, FIRST.date(), FIRST.date(), club.today)
    used = {item["name"] for item in pencil.in_use()}
    where = {item["name"]: pencil.where_now(item) for item in pencil.items}
    return {
        name: "gone" if name not in used else place if place in ("store", "missing") else "member"
        for name, place in where.items()
    }


def hold_open(club: RandomClub, seen: set[str], before: dict[str, str]) -> None:
    now = standing(club.database)
    told = Counter(item.found for item in now.items)
    there = {name for name, where in before.items() if where == "store"}
    absent = {name for name, where in before.items() if where == "missing"}
    assert (now.expected, now.not_seen) == (len(there), len(there - seen))
    assert told[Found.SEEN] == len(there & seen)  # no place was told, so nothing was seen elsewhere
    assert told[Found.BACK] == len(absent & seen)
    assert told[Found.STILL_MISSING] == len(absent - seen)
    against = {name for name in seen if before[name] == "member"} - lent_today(
        club
    )  # that was seen, then lent
    assert told[Found.ON_LOAN] == sum(where == "member" for where in before.values()) - len(against)
    assert told[Found.AGAINST_RECORD] == sum(before[name] == "gone" for name in seen) + len(against)


def lent_today(club: RandomClub) -> set[str]:
    names, loans = club.names(), {loan["id"]: loan for loan in club.rows("loans")}
    open_parts = [part for part in club.rows("loan_parts") if part["equipment_id"] and not part["back_on"]]
    return {
        names[part["equipment_id"]] for part in open_parts if loans[part["loan_id"]]["out_on"] == club.today
    }


def hold_finished(club: RandomClub, there: set[str], lost: set[str]) -> None:
    """What it found stands whatever came after; of what was not found it is told what became of it."""
    (count,) = losses(club.database).counts
    assert (count.expected, count.not_found) == (len(there), len(lost))
    assert {item.name for item in count.items} == lost
    assert count.percent == (pytest.approx(100 * len(lost) / len(there)) if there else None)
    names = {row["id"]: row["name"] for row in club.rows("equipment")}
    found = {(names[row["equipment_id"]], row["since"]): row["found_on"] for row in club.rows("absences")}
    gone = {names[row["equipment_id"]]: row["written_off_on"] for row in club.rows("papers")}
    for item in count.items:
        assert item.found_on == found[item.name, count.finished_on]
        assert item.written_off_on == gone.get(item.name)
