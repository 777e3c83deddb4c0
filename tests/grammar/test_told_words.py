"""What is told beside a target in a word or two, and where names end."""

import pytest

from obslog.errors import OutOfRange, WrongInput
from obslog.grammar import told_words
from obslog.grammar.told_words import SaidTwice, Setting, Settings, UnclearEnd, UnreadableSetting, once
from obslog.vocabulary.mounts import PierSide
from obslog.vocabulary.observations import FindingMethod, Sighting, Vision

EVERY = Settings(
    readers=(
        told_words.pier, told_words.eyepiece, told_words.field_of_view, told_words.centring, told_words.sighting,
        told_words.vision, told_words.magnification, told_words.rating, told_words.filter_used, told_words.sketch,
        told_words.found_by, told_words.observer,
    )
)  # fmt: skip


@pytest.mark.parametrize(
    ("typed", "setting"),
    [
        ("pier East 3E", ("pier_side", PierSide.EAST, 2)),
        ("pw 3E", ("pier_side", PierSide.WEST, 1)),
        ("field 42,5 x", ("field_arcmin", 42.5, 2)),
        ("field 42'", ("field_arcmin", 42.0, 2)),
        ("centering .3", ("centring_arcmin", 0.3, 2)),
        ("rating 4", ("rating", 4, 2)),
        ("150X", ("magnification", 150.0, 1)),
        ("62,5× oval", ("magnification", 62.5, 1)),
        ("not seen haze", ("sighting", Sighting.NOT_SEEN, 2)),
        ("suspected", ("sighting", Sighting.SUSPECTED, 1)),
        ("averted vision", ("vision", Vision.AVERTED, 2)),
        ("direct 150x", ("vision", Vision.DIRECT, 1)),
        ("by star hop", ("found_by", FindingMethod.STAR_HOP, 3)),
        ("by Naked Eye 40x", ("found_by", FindingMethod.NAKED_EYE, 3)),
        ("by Ines 150x", ("observer", "Ines", 2)),
        ("observer goto", ("observer", "goto", 2)),
        ("eyepiece Wide 25 by Ines", ("eyepiece", "Wide 25", 3)),
        ("filter O III averted", ("filter", "O III", 3)),
        ("sketch by 150x", ("sketch", "by", 2)),
    ],
)
def test_a_setting_is_read_where_the_words_begin_with_it(typed: str, setting: Setting) -> None:
    assert EVERY.first(typed.split()) == setting


@pytest.mark.parametrize(
    "typed", ["", "3E", "big", "field", "field wide", "rating good", "not", "x", "150", "nanx"]
)
def test_other_words_are_no_setting(typed: str) -> None:
    assert EVERY.first(typed.split()) is None


@pytest.mark.parametrize(
    ("typed", "error"),
    [
        ("pier", UnreadableSetting), ("pier up", UnreadableSetting), ("eyepiece", UnreadableSetting),
        ("rating 2.5", UnreadableSetting), ("rating 0", OutOfRange), ("5001x", OutOfRange), ("field 0", OutOfRange),
        ("centring 99999", OutOfRange),
    ],
)  # fmt: skip
def test_a_setting_that_cannot_be_meant_is_refused(typed: str, error: type[WrongInput]) -> None:
    with pytest.raises(error):
        EVERY.first(typed.split())


def test_before_a_text_a_name_of_several_words_is_one_on_record_or_quoted() -> None:
    on_record = {"member": ["Bram Ostler", "Zoë Marsh"], "eyepiece": []}
    before_text = Settings(readers=EVERY.readers, names=on_record.__getitem__, closed=False)
    for typed, name in (
        ("by bram ostler big glow", "bram ostler"),
        ("by zoe big glow", "zoe"),
        ("by Marsh", "Marsh"),
        ("by stranger", "stranger"),
    ):
        found = before_text.first(typed.split())
        assert found is not None
        assert found[:2] == ("observer", name)
    assert before_text.first(["by", "A Stranger", "big"]) == ("observer", "A Stranger", 2)
    assert before_text.first(["by", "stranger", "big glow"]) == ("observer", "stranger", 2)
    with pytest.raises(UnclearEnd, match="A Stranger big"):
        before_text.first(["by", "A", "Stranger", "big"])


def test_what_is_said_in_two_ways_must_be_the_same() -> None:
    assert [once("rating", 4, None), once("rating", None, 4), once("rating", 4, 4)] == [4, 4, 4]
    assert once("rating", None, None) is None
    with pytest.raises(SaidTwice, match="The rating is said twice"):
        once("rating", 4, 5)
