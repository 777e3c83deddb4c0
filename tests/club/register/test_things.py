"""Which kit or item a person means by a name."""

from datetime import datetime

import pytest

from obslog.club.register.named_records import add
from obslog.club.register.things import IsAKit, WhichKind, kind_word, lendable, thing_named
from obslog.club.storeroom.kits import add_kit
from obslog.errors import UnknownName, WholeNameNeeded
from obslog.grammar.name_choice import SeveralNamesFit
from obslog.records.database import Database


def meant(database: Database, name: str, kind: str | None = None) -> tuple[str, str]:
    with database.read() as session:
        what = lendable(session, name, kind)
        return kind_word(what), what.name


def test_a_name_means_the_one_item_or_kit_that_has_it_in_any_case(club: Database, now: datetime) -> None:
    add_kit(club, "Evening kit", ["Heron"], now)
    assert meant(club, "wide 25") == ("eyepiece", "Wide 25")
    assert meant(club, "EVENING  KIT") == ("kit", "Evening kit")
    assert meant(club, "lead battery") == ("item", "Lead battery")


def test_a_kit_comes_before_an_item_of_its_name_unless_the_kind_is_said(
    club: Database, now: datetime
) -> None:
    add_kit(club, "Heron", ["Heron", "Wide 25"], now)
    assert meant(club, "Heron") == ("kit", "Heron")
    assert meant(club, "Heron", "mount") == ("mount", "Heron")
    with club.read() as session:
        assert thing_named(session, "Heron").kind == "mount"


def test_a_name_of_two_items_is_asked_about_and_the_kind_settles_it(club: Database, now: datetime) -> None:
    add(club, "tube", "Heron", {"aperture_mm": 100.0, "focal_mm": 500.0}, now)
    for find in (lendable, thing_named):
        with club.read() as session, pytest.raises(WhichKind, match="Heron") as caught:
            find(session, "heron")
        assert {"mount", "tube"} <= set(caught.value.message.replace(".", "").split())
        assert "--kind" in caught.value.hint
    assert meant(club, "Heron", "tube") == ("tube", "Heron")


def test_who_names_a_kit_where_an_item_is_meant_is_not_told_to_make_an_item_of_that_name(
    club: Database, now: datetime
) -> None:
    add_kit(club, "Evening kit", ["Wide 25"], now)
    for whole in (False, True):
        with (
            pytest.raises(IsAKit, match="Evening kit is a kit, and no item") as refused,
            club.read() as session,
        ):
            thing_named(session, "evening kit", whole=whole)
        assert 'obslog kit edit "Evening kit" --note TEXT' in refused.value.hint
        assert "item add" not in refused.value.hint
    add(club, "item", "Evening kit", {"sort": "case"}, now)
    with club.read() as session:
        assert thing_named(session, "Evening kit").kind == "item"


def test_a_label_may_be_called_as_another_kit(club: Database, now: datetime) -> None:
    add_kit(club, "Box", ["Wide 25"], now)
    assert [part.kind for part in add_kit(club, "Evening kit", ["Box"], now).parts] == [None]


def test_an_unknown_name_is_refused_with_the_nearest_of_kits_and_items(club: Database, now: datetime) -> None:
    add_kit(club, "Evening kit", ["Heron"], now)
    with club.read() as session:
        with pytest.raises(UnknownName) as caught:
            lendable(session, "Evnening kit")
        assert "Did you mean Evening kit?" in caught.value.hint
        with pytest.raises(UnknownName) as caught:
            lendable(session, "Brakcen")
        assert "Did you mean Bracken?" in caught.value.hint
        with pytest.raises(UnknownName) as caught:
            thing_named(session, "Evening kit")
        assert "Evening kit?" not in caught.value.hint


def test_a_beginning_means_the_one_kit_or_item_that_begins_so(club: Database, now: datetime) -> None:
    add_kit(club, "Evening kit", ["Heron"], now)
    assert meant(club, "even") == ("kit", "Evening kit")
    assert meant(club, "batt") == ("item", "Lead battery")
    assert meant(club, "wide", "eyepiece") == ("eyepiece", "Wide 25")
    add_kit(club, "Heather kit", [], now)
    with pytest.raises(SeveralNamesFit, match="'he' may be Heather kit or Heron"):
        meant(club, "he")
    with club.read() as session:
        assert thing_named(session, "he").name == "Heron"
        for find in (lendable, thing_named):
            with pytest.raises(WholeNameNeeded, match="batt"):
                find(session, "batt", whole=True)


def test_a_beginning_of_two_kinds_of_one_name_is_settled_by_the_kind(club: Database, now: datetime) -> None:
    add(club, "tube", "Heron", {"aperture_mm": 100.0, "focal_mm": 500.0}, now)
    with pytest.raises(WhichKind):
        meant(club, "hero")
    assert meant(club, "hero", "tube") == ("tube", "Heron")


def test_a_kind_that_does_not_have_the_name_does_not_find_it(club: Database) -> None:
    for find in (lendable, thing_named):
        with club.read() as session, pytest.raises(UnknownName):
            find(session, "Heron", "tube")
