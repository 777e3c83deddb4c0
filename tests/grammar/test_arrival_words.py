"""What the words of an arrival say, and what of them is refused."""

import pytest

from obslog.errors import OutOfRange, WrongInput
from obslog.grammar.arrival_words import ArrivalSaid, NotAPlace, NoTarget, read_arrival
from obslog.grammar.target_names import UnknownTarget
from obslog.grammar.told_words import SaidTwice, UnreadableSetting
from obslog.offsets import UnreadableLanding, UnreadableOffset, read_offset_or_landing
from obslog.vocabulary.arrivals import Landing
from obslog.vocabulary.mounts import PierSide

ON_RECORD = {"eyepiece": ["Wide 25", "stop 20"], "member": ["Ines", "Bram Ostler"]}


def read(typed: str, *, as_written: bool = False) -> ArrivalSaid:
    return read_arrival(typed.split(), as_written=as_written, names=ON_RECORD.__getitem__)


@pytest.mark.parametrize(
    ("typed", "name", "where"),
    [
        ("Vega", "Vega", None),
        ("Vega 3E 2N", "Vega", "3E 2N"),
        ("Vega 3E2N", "Vega", "3E 2N"),
        ("alf Lyr 3E 2N", "Vega", "3E 2N"),
        ("alf Lyr 4s E @16x", "Vega", "4s E @16x"),
        ("Vega 0.4f W", "Vega", "0.4f W"),
        ("M 31 finder", "M 31", "finder"),
        ("M31 edge", "M 31", "edge"),
        ("NGC 7000 Lost", "NGC 7000", "lost"),
        ("m31", "M 31", None),
        ("HIP 91262", "Vega", None),
        ("61 Cyg 3E", "61 Cyg", "3E"),
        ("M 31 Centered", "M 31", "centred"),
        ("M 31 center", "M 31", "centred"),
        ("Regulus E12 N5", "Regulus", "12E 5N"),
        ("Aldebaran 3,5E 2N", "Aldebaran", "3.5E 2N"),
        ("Aldebaran 3°E 2N", "Aldebaran", "3d E 2N"),
        ("Castor 4s E @16x 3s N @16x", "Castor", "4s E 3s N @16x"),
    ],
)
def test_target_and_place_are_told_apart(typed: str, name: str, where: str | None) -> None:
    said = read(typed)
    assert said.target.name == name
    assert said.where == (None if where is None else read_offset_or_landing(where))


@pytest.mark.parametrize("typed", ["Vega 3E2Npw", "Vega 3E 2Npw", "Vega 3E2NPW", "Vega 3,0Epw 2N"])
def test_a_side_may_stand_close_behind_an_offset(typed: str) -> None:
    said = read(typed)
    assert (said.target.name, said.pier_side) == ("Vega", PierSide.WEST)
    assert said.where in (read_offset_or_landing("3E 2N"), read_offset_or_landing("3.0E 2N"))


def test_a_side_that_stands_in_a_name_is_no_side() -> None:
    said = read_arrival(["Gran 3Epw", "2N"], as_written=True)
    assert (said.target.name, said.pier_side) == ("Gran 3Epw", None)


@pytest.mark.parametrize(
    "typed",
    [
        "Vega 3E 2N pier east eyepiece Wide 25 field 42 by Bram Ostler centring 0.3",
        "Vega pe centering 0,3 by bram ostler field 42' 3E 2N eyepiece Wide 25",
        "Vega field 42 3E pier e 2N centring 0.3 eyepiece Wide 25 by Bram Ostler",
    ],
)
def test_settings_stand_in_any_order(typed: str) -> None:
    said = read(typed)
    assert said.where == read_offset_or_landing("3E 2N")
    assert (said.pier_side, said.field_arcmin, said.centring_arcmin) == (PierSide.EAST, 42.0, 0.3)
    assert said.eyepiece == "Wide 25"
    assert (said.observer or "").casefold() == "bram ostler"


@pytest.mark.parametrize(
    ("short", "side"), [("pe", PierSide.EAST), ("PW", PierSide.WEST), ("pier w", PierSide.WEST)]
)
def test_the_side_of_the_pier_is_short(short: str, side: PierSide) -> None:
    assert read(f"Vega {short}").pier_side == side


def test_a_name_ends_before_a_place_also_where_it_is_not_on_record() -> None:
    said = read_arrival(["Vega", "eyepiece", "Old", "brass", "3E", "2N", "by", "New", "member", "pw"])
    assert (said.eyepiece, said.observer) == ("Old brass", "New member")
    assert (said.where, said.pier_side) == (read_offset_or_landing("3E 2N"), PierSide.WEST)


def test_a_quoted_name_is_taken_as_it_stands() -> None:
    said = read_arrival(["Vega", "eyepiece", "Wide 3E", "3E"])
    assert (said.eyepiece, said.where) == ("Wide 3E", read_offset_or_landing("3E"))


@pytest.mark.parametrize(
    ("typed", "error"),
    [
        ("Castor 3E 4W", UnreadableOffset),
        ("Castor 4s E @16x 3s N @8x", UnreadableOffset),
        ("Castor 12E 5E", UnreadableOffset),
        ("Castor 1,234E", UnreadableOffset),
        ("Vega 3Q", UnreadableOffset),
        ("Vega 4s @16x", UnreadableOffset),
        ("Vega 3 4", UnreadableOffset),
        ("M 81 5", UnreadableOffset),
        ("Castor centerd", UnreadableLanding),
        ("Castor windy", NotAPlace),
        ("Castor north", NotAPlace),
        ("Vega pier north", UnreadableSetting),
        ("Vega pier", UnreadableSetting),
        ("Vega eyepiece", UnreadableSetting),
        ("Vega pe pier west", SaidTwice),
        ("Vega field 42 field 43", SaidTwice),
        ("Vega field 0", OutOfRange),
        ("Vega field wide", NotAPlace),
        ("Vegaa 3E", UnknownTarget),
        ("my double star", UnknownTarget),
        ("3E 2N", UnknownTarget),
        ("", NoTarget),
    ],
)
def test_what_is_no_place_and_no_setting_is_refused(typed: str, error: type[WrongInput]) -> None:
    with pytest.raises(error) as refused:
        read(typed)
    assert refused.value.exit_code == 2
    assert refused.value.hint


def test_the_mend_is_told() -> None:
    for typed, mend in (
        ("Castor centerd", "Did you mean centred?"),
        ("Saturn Nebla", "Did you mean Saturn Nebula?"),
        ("Vega pieer east", "Did you mean pier?"),
    ):
        with pytest.raises(WrongInput) as refused:
            read(typed)
        assert refused.value.hint == mend
    with pytest.raises(WrongInput) as refused:
        read("Vega 30q E")
    assert "30arcsec E" in refused.value.hint


@pytest.mark.parametrize(
    ("typed", "name", "where"),
    [
        ("my double star", "my double star", None),
        ("my double star 3E", "my double star", "3E"),
        ("Our 12 3E 2N", "Our 12", "3E 2N"),
        ("the galactic center", "the galactic center", None),
        ("field star pe", "field star", None),
    ],
)
def test_an_unknown_name_is_taken_as_written_up_to_the_place(
    typed: str, name: str, where: str | None
) -> None:
    said = read(typed, as_written=True)
    assert (said.target.name, said.target.known) == (name, False)
    assert said.where == (None if where is None else read_offset_or_landing(where))


def test_a_quoted_unknown_name_is_exactly_the_name() -> None:
    said = read_arrival(["my star 3E", "edge"], as_written=True)
    assert (said.target.name, said.where) == ("my star 3E", Landing.EDGE)


@pytest.mark.parametrize("typed", ["Vegaa 12E 5E", "Vegaa 3Q", "Vegaa 4s @16x"])
def test_no_part_of_an_offset_becomes_a_part_of_a_name_as_written(typed: str) -> None:
    with pytest.raises(UnreadableOffset):
        read(typed, as_written=True)


def test_as_written_changes_nothing_for_a_known_target() -> None:
    assert read("vega 3E", as_written=True) == read("vega 3E")
    with pytest.raises(NotAPlace):
        read("Vega windy", as_written=True)


def test_what_is_no_place_is_answered_with_every_word_that_is_one() -> None:
    with pytest.raises(NotAPlace) as refused:
        read_arrival(["M", "13", "windy"])
    assert "one of centred, in, edge, finder, lost" in refused.value.hint


def test_what_was_not_found_is_lost() -> None:
    assert read_arrival(["M", "13", "not", "found"]).where is Landing.LOST
