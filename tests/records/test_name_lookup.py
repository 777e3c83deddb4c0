"""Records are found by what people call them, in any case, and an unknown name is answered with how to add it."""

from datetime import datetime
from uuid import UUID

import pytest
from sqlalchemy import event

from obslog.errors import UnknownName, WholeNameNeeded
from obslog.grammar.name_choice import SeveralNamesFit
from obslog.records.database import Database
from obslog.records.name_lookup import KINDS, by_name, key_of, kind_of, names, table_of
from obslog.records.tables.base import name_key
from obslog.records.tables.lending import Kit
from obslog.records.tables.logbook_tables import Member, Mount, Tube


@pytest.fixture
def mounts(database: Database, now: datetime) -> Database:
    """Three mounts, of which Alder is retired, and a tube of a mount's name."""
    with database.write(now) as session:
        for name, retired in (("Heron", None), ("Alder", now.date()), ("Bracken", None)):
            session.add(Mount(name=name, name_key=name_key(name), retired_on=retired))
        session.add(Tube(name="Heron", name_key="heron"))
    return database


@pytest.mark.parametrize("typed", ["Heron", "heron", "  HERON ", "Ｈｅｒｏｎ"])
def test_a_name_is_found_in_any_spelling_of_it_and_of_its_kind_alone(mounts: Database, typed: str) -> None:
    with mounts.read() as session:
        assert isinstance(by_name(session, Mount, typed), Mount)
        assert isinstance(by_name(session, Tube, typed), Tube)


@pytest.fixture
def more_mounts(mounts: Database, now: datetime) -> Database:
    """Besides a mount of two words and two retired ones, whose names begin as others that are in use."""
    with mounts.write(now) as session:
        for name, retired in (("Hern Hill", None), ("Bramble", now.date()), ("Alder Two", now.date())):
            session.add(Mount(name=name, name_key=name_key(name), retired_on=retired))
    return mounts


@pytest.mark.parametrize(
    ("typed", "name"),
    [("br", "Bracken"), ("hill", "Hern Hill"), ("HERO", "Heron"), ("bramb", "Bramble"), ("two", "Alder Two")],
)
def test_a_beginning_finds_what_is_in_use_and_only_then_what_is_retired(
    more_mounts: Database, typed: str, name: str
) -> None:
    with more_mounts.read() as session:
        assert by_name(session, Mount, typed).name == name


@pytest.mark.parametrize(
    ("typed", "fitting"), [("he", {"Heron", "Hern Hill"}), ("a", {"Alder", "Alder Two"})]
)
def test_a_beginning_of_several_finds_none_of_them(
    more_mounts: Database, typed: str, fitting: set[str]
) -> None:
    with more_mounts.read() as session, pytest.raises(SeveralNamesFit) as caught:
        by_name(session, Mount, typed)
    assert set(caught.value.fitting) == fitting


def test_a_whole_name_is_found_though_it_begins_another_and_is_retired(more_mounts: Database) -> None:
    with more_mounts.read() as session:
        assert by_name(session, Mount, "alder").name == "Alder"


def test_where_the_whole_name_is_needed_it_is_told_and_a_beginning_refused(more_mounts: Database) -> None:
    with more_mounts.read() as session:
        assert by_name(session, Mount, "hern hill", whole=True).name == "Hern Hill"
        with pytest.raises(WholeNameNeeded) as caught:
            by_name(session, Mount, "hill", whole=True)
        assert caught.value.hint.endswith('Type the whole name: "Hern Hill"')
        with pytest.raises(UnknownName, match="Oak"):
            by_name(session, Mount, "Oak", whole=True)


def test_a_whole_name_asks_the_database_once(mounts: Database) -> None:
    asked: list[str] = []
    event.listen(mounts.engine, "before_cursor_execute", lambda *told: asked.append(told[2]))
    with mounts.read() as session:
        by_name(session, Mount, "heron")
    assert len([text for text in asked if text.startswith("SELECT")]) == 1


def test_what_is_retired_is_found_and_listed_last(mounts: Database) -> None:
    with mounts.read() as session:
        assert by_name(session, Mount, "alder").name == "Alder"
        assert names(session, Mount) == ["Bracken", "Heron", "Alder"]


@pytest.mark.parametrize(
    ("kind", "add"),
    [
        ("site", 'obslog site add "Old barn" --lat DEG --lon DEG --tz ZONE'),
        ("member", 'obslog member add "Old barn"'),
        (
            "mount",
            'obslog mount add "Old barn" --type TYPE --controller CONTROLLER; '
            "TYPE is german, fork or altaz, CONTROLLER is shift, model or none",
        ),
        ("tube", 'obslog tube add "Old barn" --aperture-mm MM --focal-mm MM'),
        ("eyepiece", 'obslog eyepiece add "Old barn" --focal-mm MM --field-deg DEG'),
        ("item", 'obslog item add "Old barn"'),
        ("kit", 'obslog kit add "Old barn"'),
    ],
)
def test_an_unknown_name_is_answered_with_how_to_add_it(database: Database, kind: str, add: str) -> None:
    with (
        database.read() as session,
        pytest.raises(UnknownName, match=f"no {kind} named 'Old barn'") as caught,
    ):
        by_name(session, table_of(kind), "Old barn")
    assert caught.value.hint.endswith(add)


def test_the_name_of_something_else_is_told_to_be_that(mounts: Database) -> None:
    """Nobody is to be put on record under the name of a mount that stood in the wrong place."""
    with mounts.read() as session:
        for table, there, hint in (
            (Member, "heron", "heron is a mount. See what is there: obslog member list"),
            (Mount, "Henon", "Did you mean Heron? To add a new one: obslog mount add Henon"),
        ):
            with pytest.raises(UnknownName) as refused:
                by_name(session, table, there)
            assert hint in (refused.value.hint or "")


def test_the_key_is_that_of_the_name_and_without_a_name_the_other(mounts: Database) -> None:
    other = UUID(int=7)
    with mounts.read() as session:
        heron = by_name(session, Mount, "Heron").id
        assert key_of(session, Mount, "heron", other) == heron
        assert key_of(session, Mount, None, other) == other
        assert key_of(session, Mount, None) is None
        with pytest.raises(UnknownName):
            key_of(session, Member, "Heron", other)


def test_each_kind_has_its_table_and_each_table_its_kind() -> None:
    assert table_of("kit") is Kit
    for kind in (*KINDS, "kit"):
        assert kind_of(table_of(kind)) == kind
