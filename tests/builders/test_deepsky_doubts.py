"""What in the deep-sky table disagrees with itself is what was agreed to be left."""

from dataclasses import replace

from builders.deepsky_doubts import agreed, doubts, doubts_about
from obslog.sky.names.deepsky import find_object


def test_every_doubt_is_agreed_and_every_agreed_one_is_still_there() -> None:
    assert sorted(doubts()) == sorted(agreed())


def test_every_agreed_doubt_has_its_reason() -> None:
    assert [doubt for doubt, reason in agreed().items() if len(reason) < 6] == []


def test_a_v_fainter_than_b_is_doubted() -> None:
    galaxy = replace(find_object("NGC 253"), v_mag=11.11, b_mag=7.94)  # as the source has it
    assert "V against B" in doubts_about(galaxy)


def test_a_magnitude_against_the_surface_is_doubted() -> None:
    assert "V against surface" in doubts_about(replace(find_object("IC 127"), v_mag=9.2, b_mag=9.9))


def test_the_size_of_a_core_is_doubted() -> None:
    assert "size of the core" in doubts_about(replace(find_object("M 7"), major_arcmin=22.2, size_from=None))


def test_a_showpiece_without_magnitude_or_size_is_doubted() -> None:
    bare = replace(find_object("NGC 6723"), v_mag=None, b_mag=None, names=("A Name",), major_arcmin=None)
    assert set(doubts_about(bare)) == {"no magnitude", "no size"}
    assert list(doubts_about(find_object("NGC 6723"))) == []
