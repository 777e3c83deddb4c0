"""Members, tubes and eyepieces of a log are those on record that say the same, or new ones."""

from collections.abc import Iterator

import pytest

from obslog.club.bring_in.intake import Intake
from obslog.club.open_log.log_names import LogNames
from obslog.exchange.open_log.records import Log, LogEyepiece, LogObserver, LogScope
from obslog.records.database import Database
from tests.club.open_log.nights import NOW


@pytest.fixture
def names(sqlite_club: Database) -> Iterator[LogNames]:
    log = Log(
        observers={
            "i": LogObserver(id="i", name="INES"),
            "n": LogObserver(id="n", name="Cleo", surname="Marsh", other=("account: C7",)),
            "u": LogObserver(id="u", name="Unknown"),
        },
        eyepieces={
            "a": LogEyepiece(id="a", model="Plain", focal_mm=10.0),
            "b": LogEyepiece(id="b", model="Plain", focal_mm=25.0),
        },
    )
    with sqlite_club.read() as session:
        made = LogNames(intake=Intake(session=session, rows=(), now=NOW), log=log, file="log.xml")
        made.load()
        yield made


def test_an_observer_is_a_member_or_becomes_one_and_nobody_is_none(names: LogNames) -> None:
    assert names.member("i") is not None
    assert names.made == []
    assert names.member("n") == names.member("n")
    assert names.made == ["member Cleo Marsh"]
    assert [names.member(reference) for reference in ("u", "nobody", None)] == [None, None, None]


def test_a_tube_of_another_size_is_another_tube(names: LogNames) -> None:
    same = names.tube(LogScope(id="s", model="long tube", aperture_mm=212.0, focal_mm=1000.0))
    other = names.tube(LogScope(id="s", model="Long tube", aperture_mm=300.0, focal_mm=1500.0))
    assert (same.name, other.name, other.aperture_mm) == ("Long tube", "Long tube 300 mm", 300.0)
    assert names.tube(LogScope(id="s", model="Long tube", aperture_mm=300.0, focal_mm=1500.0)) is other


def test_a_size_that_cannot_be_is_kept_in_words(names: LogNames) -> None:
    tube = names.tube(LogScope(id="s", model="Toy", aperture_mm=3.0, focal_mm=50.0, kind="R"))
    assert tube.aperture_mm is None
    assert tube.note == "From log.xml:\naperture_mm: 3\ntype: R"


def test_eyepieces_that_share_a_name_are_told_apart_by_their_focal_length(names: LogNames) -> None:
    assert [names.eyepiece(one).name for one in names.log.eyepieces.values()] == [
        "Plain 10 mm",
        "Plain 25 mm",
    ]


def test_two_of_one_name_and_no_size_are_one(names: LogNames) -> None:
    assert names.eyepiece(LogEyepiece(id="c", model="Bare")) is names.eyepiece_named("bare")


def test_a_mount_is_found_or_made(names: LogNames) -> None:
    assert names.mount("heron")[0] == names.mount("Heron")[0]
    names.mount("Wren")
    names.mount("wren")
    assert names.made == ["mount Wren"]
