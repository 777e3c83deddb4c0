"""Finishing: what it says is what it does, whole, and undo takes it back; against a model on paper."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from obslog.club.register.undo import undo
from obslog.club.shelves.counting import NoStocktake, saw, start
from obslog.club.shelves.finishing import ChangedMeanwhile, finish, what_would_change
from obslog.club.shelves.standing import past_counts, standing
from obslog.club.storeroom.inventory_details import write_paper
from obslog.club.storeroom.kits import add_kit, show_kit
from obslog.club.storeroom.loans import lend, take_back
from obslog.club.storeroom.missing import be_found, go_missing, part_goes_missing
from obslog.club.storeroom.retirement import retire
from obslog.club.storeroom.store_list import StoreLine, store_list
from obslog.records.database import Database

TOMORROW = timedelta(days=1)


def lines(database: Database) -> dict[str, StoreLine]:
    return {line.name: line for line in store_list(database, with_retired=True)}


def test_it_changes_what_it_said_and_one_undo_takes_it_back(club: Database, now: datetime) -> None:
    for name in ("Heron", "Wide 25"):
        write_paper(club, name, {"place": "shelf 2"}, now)
    go_missing(club, "Long tube", now)
    names = [name for name, line in lines(club).items() if line.kind != "kit"]
    start(club, now)
    saw(club, "Heron", now, place="attic")
    saw(club, "Long tube", now)
    saw(club, "a torch", now)
    lend(club, "Thistle", "Ines", now)
    before = lines(club)
    plan = what_would_change(club, now + TOMORROW)
    left = set(names) - {"Heron", "Long tube", "Thistle"}
    assert set(plan.goes_missing) == left
    assert (plan.comes_back, plan.not_on_record, plan.done) == (["Long tube"], ["a torch"], False)
    assert [(one.name, one.place, one.seen_at) for one in plan.moved] == [("Heron", "shelf 2", "attic")]
    assert lines(club) == before
    done = finish(club, now + TOMORROW, plan)
    assert done.done
    after = lines(club)
    assert {name for name in left if after[name].missing_since == (now + TOMORROW).date()} == left
    assert after["Long tube"].missing_since is None
    assert after["Heron"].place == "attic"
    assert after["Thistle"] == before["Thistle"]
    [past] = past_counts(club)
    assert (past.expected, past.not_found) == (
        len(left) + 1,
        len(left),
    )  # what was missing before is not expected
    assert past.percent == pytest.approx(100 * len(left) / (len(left) + 1))
    with pytest.raises(NoStocktake):
        finish(club, now)
    undo(club, now)
    assert lines(club) == before
    assert what_would_change(club, now + TOMORROW) == plan


def test_what_was_agreed_to_and_is_no_more_is_refused(club: Database, now: datetime) -> None:
    start(club, now)
    plan = what_would_change(club, now)
    saw(club, "Heron", now)
    with pytest.raises(ChangedMeanwhile):
        finish(club, now, plan)
    assert lines(club)["Wide 25"].missing_since is None


def test_what_was_seen_against_the_record_is_left_to_a_person(club: Database, now: datetime) -> None:
    lend(club, "Heron", "Ines", now)
    retire(club, "eyepiece", "Wide 25", "worn", now.date(), now)
    start(club, now)
    later = now + TOMORROW
    saw(club, "Heron", later, place="attic")
    saw(club, "Wide 25", later, place="attic")
    assert sorted(what_would_change(club, later).against_record) == ["Heron (on loan)", "Wide 25 (retired)"]
    before = lines(club)
    finish(club, later)
    assert {name: lines(club)[name] for name in ("Heron", "Wide 25")} == {
        name: before[name] for name in ("Heron", "Wide 25")
    }


@dataclass
class OnPaper:
    """An item as one would keep it on paper."""

    place: str | None = None
    status: str = "in"
    ticked: bool = False
    seen_at: str | None = None


@dataclass
class CapOnPaper:
    """A dust cap of a kit: whether it has been missing, and whether somebody who looked through the kit saw it."""

    missing: bool = False
    there: bool | None = None


KIT = "Evening kit"
NAMES = ("Heron", "Thistle", "Wide 25", "Long tube")
DOINGS = st.lists(
    st.tuples(
        st.sampled_from(
            [
                "see",
                "see at attic",
                "see at shelf",
                "lend",
                "back",
                "lose",
                "find",
                "undo tick",
                "complete",
                "without",
            ]
        ),
        st.sampled_from(NAMES),
    ),
    max_size=14,
)


@given(doings=DOINGS)
@settings(
    max_examples=25,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
def test_whatever_happens_the_count_is_that_on_paper(
    fresh_club: Callable[[], Database], now: datetime, doings: list[tuple[str, str]]
) -> None:
    database = fresh_club()
    paper, cap = {name: OnPaper() for name in NAMES}, CapOnPaper()
    add_kit(database, KIT, ["cap"], now)
    if doings and doings[0][0] == "lose":
        part_goes_missing(database, KIT, "cap", now)
        cap.missing = True
    start(database, now)
    for number, (doing, name) in enumerate(doings):
        at = now + timedelta(minutes=number)
        if doing in ("complete", "without"):
            saw(database, KIT, at, without=["cap"] if doing == "without" else [])
            cap.there = doing == "complete"
        else:
            _do(database, paper[name], doing, name, at)
    before = standing(database)
    plan = finish(database, now + timedelta(hours=1))
    assert standing(database) == replace(before, finished_on=plan.finished_on)
    assert (plan.parts_missing != []) == (cap.there is False and not cap.missing)
    assert (plan.parts_back != []) == (cap.there is True and cap.missing)
    assert (plan.kits_not_looked_at != []) == (cap.there is None and not cap.missing)
    [part] = show_kit(database, KIT).parts
    assert (part.where != "in the store") == (cap.there is False or (cap.missing and cap.there is None))
    known = lines(database)
    for name, kept in paper.items():
        lost = kept.status == "in" and not kept.ticked
        assert (name in plan.goes_missing) == lost, name
        missing = lost or (kept.status == "missing" and not kept.ticked)
        assert (known[name].missing_since is not None) == missing, name
        assert (known[name].status == "out") == (kept.status == "out"), name
        stays = kept.status == "out" or not kept.ticked or kept.seen_at is None
        assert known[name].place == (None if stays else kept.seen_at), name


def _do(database: Database, kept: OnPaper, doing: str, name: str, at: datetime) -> None:
    """Do it in the records and on paper; what cannot be done now is passed over in both."""
    if doing.startswith("see"):
        place = doing.removeprefix("see").removeprefix(" at ") or None
        saw(database, name, at, place=place)
        kept.ticked, kept.seen_at = True, place or kept.seen_at
    elif doing == "lend" and kept.status == "in":
        lend(database, name, "Ines", at)
        kept.status = "out"
    elif doing == "back" and kept.status == "out":
        take_back(database, name, at)
        kept.status = "in"
    elif doing == "lose" and kept.status == "in":
        go_missing(database, name, at)
        kept.status = "missing"
    elif doing == "find" and kept.status == "missing":
        be_found(database, name, at)
        kept.status = "in"
    elif doing == "undo tick" and not kept.ticked:
        saw(database, name, at)
        undo(database, at)
