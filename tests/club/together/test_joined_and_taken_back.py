"""Two of one name that were joined, and then were not: they stand as before, and people are asked about them again."""

from datetime import datetime, timedelta

import pytest

from obslog.club.night.nights import start_night
from obslog.club.register.named_records import add, edit, shown
from obslog.club.register.undo import redo, undo
from obslog.club.storeroom.inventory_details import write_paper
from obslog.club.storeroom.kits import add_kit
from obslog.club.storeroom.loans import lend, take_back
from obslog.club.together.contradictions import Conflicts, list_conflicts
from obslog.club.together.sameness import make_same
from obslog.records.database import Database
from obslog.records.undoing.undo_errors import CannotUndo
from tests.club.together.conftest import Give, named, newest_act, rows

NOTHING = Conflicts(fields=[], to_settle=[])


def two_called_box(here: Database, there: Database, give: Give, now: datetime, kind: str) -> str:
    """The name of the second; what there is to refer to each of the two does."""
    for one in (here, there):
        if kind == "kit":
            add_kit(one, "Box", ["dust cap"], now)
        else:
            add(one, kind, "Box", {"note": "green"}, now)
        if kind == "member":
            lend(one, "Stop 20", "Box", now)
            take_back(one, "Stop 20", now, by="Ines")
        elif kind != "site":
            lend(one, "Box", "Ines", now)
            take_back(one, "Box", now, by="Ines")
    give(there, here)
    give(here, there)
    return list_conflicts(here).to_settle[0].what


@pytest.mark.parametrize("kind", ["member", "site", "item", "kit"])
@pytest.mark.parametrize("second_stays", [False, True])
def test_what_was_asked_is_asked_again_on_both_laptops(
    here: Database, there: Database, give: Give, now: datetime, later: datetime, kind: str, second_stays: bool
) -> None:
    second = two_called_box(here, there, give, now, kind)
    asked, as_they_stood = list_conflicts(here), rows(here)
    assert [one.why for one in asked.to_settle] == ["renamed"]
    names = (second, "Box") if second_stays else ("Box", second)
    make_same(here, *names, later, sure=True)
    assert list_conflicts(here) == NOTHING
    give(here, there)
    for again in range(1, 3):
        undo(here, later + timedelta(minutes=2 * again))
        assert (list_conflicts(here), rows(here)) == (asked, as_they_stood)
        give(here, there)
        assert (list_conflicts(there), rows(there)) == (asked, as_they_stood)
        redo(here, later + timedelta(minutes=2 * again + 1))
        assert list_conflicts(here) == NOTHING
        give(here, there)
        assert (list_conflicts(there), rows(there)) == (NOTHING, rows(here))


def test_of_a_tag_that_two_have_it_is_asked_again(
    here: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    for one, name in ((here, "Lamp"), (there, "Lantern")):
        add(one, "item", name, {}, now)
        write_paper(one, name, {"tag": "T 9"}, now)
    give(there, here)
    asked = list_conflicts(here)
    assert [one.why for one in asked.to_settle] == ["blank"]
    make_same(here, "Lamp", "Lantern", later)
    assert list_conflicts(here) == NOTHING
    undo(here, later)
    give(here, there)
    assert list_conflicts(here) == list_conflicts(there) == asked
    assert rows(here) == rows(there)


def test_where_the_first_has_another_name_since_the_second_has_its_own_back(
    here: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    second = two_called_box(here, there, give, now, "item")
    make_same(here, "Box", second, later, sure=True)
    joining = newest_act(here)
    edit(here, "item", "Box", {}, later, rename="Green box")
    undo(here, later, joining)
    assert {"Box", "Green box"} <= set(named(here, "equipment"))
    give(here, there)
    assert rows(here) == rows(there)
    assert list_conflicts(there) == NOTHING


@pytest.mark.parametrize("taken_back", ["here", "there"])
def test_of_two_joinings_the_other_way_round_one_counts_when_the_other_is_taken_back(
    here: Database, there: Database, give: Give, now: datetime, later: datetime, taken_back: str
) -> None:
    """While both are on record the one that was written down first stands."""
    for name in ("Lamp", "Lantern"):
        add(here, "item", name, {}, now)
    give(here, there)
    make_same(there, "Lantern", "Lamp", now)
    make_same(here, "Lamp", "Lantern", later)
    joinings = {"here": newest_act(here), "there": newest_act(there)}
    give(there, here)
    assert {"Lamp", "Lantern"} & set(named(here, "equipment")) == {"Lamp"}
    if taken_back == "there":
        with pytest.raises(CannotUndo, match="something newer depends on it: join Lantern to Lamp"):
            undo(here, later, joinings["there"])
        give(here, there)
        undo(there, later, joinings["here"])
        give(there, here)
    else:
        undo(here, later, joinings["here"])
        give(here, there)
    assert {"Lamp", "Lantern"} & set(named(here, "equipment")) == {"Lantern"}
    assert rows(here) == rows(there)


def two_to_join(here: Database, there: Database, give: Give, now: datetime, kind: str) -> tuple[str, str]:
    """The names of two records on both laptops, each with what refers to it; that with the smaller key is the first."""
    for name in ("Lamp", "Lantern"):
        if kind == "kit":
            add_kit(here, name, [f"{name} cap"], now)
        else:
            place = {"lat_deg": 46.0, "lon_deg": 9.0, "zone": "Europe/Zurich"} if kind == "site" else {}
            add(here, kind, name, {"note": name.upper(), **place}, now)
        if kind == "member":
            lend(here, "Stop 20", name, now)
            take_back(here, "Stop 20", now, by=name)
        elif kind == "site":
            start_night(here, name, now, present=["Ines"], note=name)
        else:
            lend(here, name, "Ines", now)
            take_back(here, name, now, by="Ines")
    give(here, there)
    return "Lamp", "Lantern"


def take_back_here_then_there(here: Database, there: Database, give: Give, later: datetime) -> None:
    """Each laptop its own last act; the other hears of it at once, and has the same rows."""
    for one, other in ((here, there), (there, here)):
        undo(one, later)
        give(one, other)
        assert rows(one) == rows(other)


@pytest.mark.parametrize("kind", ["member", "site", "item", "kit"])
@pytest.mark.parametrize("older_counts", [False, True])
def test_of_two_joinings_the_other_way_round_both_can_be_taken_back(
    here: Database,
    there: Database,
    give: Give,
    now: datetime,
    later: datetime,
    kind: str,
    older_counts: bool,
) -> None:
    names = two_to_join(here, there, give, now, kind)
    as_they_stood = rows(here)
    one, other = names if older_counts else names[::-1]
    make_same(there, one, other, now, sure=True)
    make_same(here, other, one, later, sure=True)
    older = newest_act(there)
    give(there, here)
    give(here, there)
    assert rows(here) == rows(there)
    with pytest.raises(CannotUndo, match=f"something newer depends on it: join {one} to {other}"):
        undo(here, later, older)
    take_back_here_then_there(here, there, give, later)
    assert rows(here) == as_they_stood


@pytest.mark.parametrize("kind", ["member", "item"])
def test_what_was_joined_to_a_record_that_another_had_joined_on_is_taken_back(
    here: Database, there: Database, give: Give, now: datetime, later: datetime, kind: str
) -> None:
    lamp, lantern = two_to_join(here, there, give, now, kind)
    add(here, kind, "Torch", {}, now)
    give(here, there)
    as_they_stood = rows(here)
    make_same(there, "Torch", lantern, now, sure=True)
    make_same(here, lantern, lamp, later, sure=True)
    give(there, here)
    take_back_here_then_there(here, there, give, later)
    assert rows(here) == as_they_stood


def test_three_joinings_in_a_circle_can_all_be_taken_back(
    here: Database, there: Database, third: Database, give: Give, now: datetime, later: datetime
) -> None:
    laptops = [here, there, third]
    for name in ("Lamp", "Lantern", "Torch"):
        add(here, "item", name, {"note": name.upper()}, now)
    for one in (there, third):
        give(here, one)
    as_they_stood = rows(here)
    for one, kept, other in zip(
        laptops, ("Lamp", "Lantern", "Torch"), ("Lantern", "Torch", "Lamp"), strict=True
    ):
        make_same(one, kept, other, now)
    for one, two in ((here, there), (there, third), (third, here), (third, there)):
        give(one, two)
    assert rows(here) == rows(there) == rows(third)
    for one in reversed(laptops):
        undo(one, later)
        for two in laptops:
            if two is not one:
                give(one, two)
        assert rows(here) == rows(there) == rows(third)
    assert rows(here) == as_they_stood


def test_what_another_wrote_of_a_record_meanwhile_stands_when_it_comes_back(
    here: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    two_to_join(here, there, give, now, "item")
    edit(there, "item", "Lantern", {"note": "the glass is new"}, now)
    make_same(here, "Lamp", "Lantern", later, sure=True)
    give(there, here)
    undo(here, later)
    assert shown(here, "item", "Lantern")["note"] == "the glass is new"
    assert list_conflicts(here) == NOTHING
    give(here, there)
    assert rows(here) == rows(there)
