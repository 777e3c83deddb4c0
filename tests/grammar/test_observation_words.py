"""What the words of an observation say: how it was seen is heard, the rest is text, and no sentence is a name."""

import pytest

from obslog.errors import OutOfRange, WrongInput
from obslog.grammar.arrival_words import NoTarget
from obslog.grammar.observation_words import (
    ObservationSaid,
    OtherTarget,
    SeveralTargets,
    UnclearText,
    read_correction,
    read_observation,
)
from obslog.grammar.target_names import UnknownTarget
from obslog.grammar.told_words import SaidTwice, UnclearEnd, UnreadableSetting
from obslog.vocabulary.observations import FindingMethod, Sighting, Vision

ON_RECORD = {"eyepiece": ["Wide 25"], "member": ["Ines", "Bram Ostler"]}


def read(typed: str, *, text: str | None = None, as_written: bool = False) -> ObservationSaid:
    return read_observation(typed.split(), text=text, as_written=as_written, names=ON_RECORD.__getitem__)


@pytest.mark.parametrize(
    ("typed", "name", "text"),
    [
        ("m31 big oval glow", "M 31", "big oval glow"),
        ("M 81 5 stars", "M 81", "5 stars"),
        ("M 81 M 82 in one field", "M 81", "M 82 in one field"),
        ("M 81", "M 81", None),
        ("Orion Nebula wings", "M 42", "wings"),
        ("jupiter red spot at 5 o'clock", "Jupiter", "red spot at 5 o'clock"),
        ("M 31 rating good", "M 31", "rating good"),
        ("M 13 by far the brightest", None, None),
    ],
)
def test_what_is_neither_name_nor_setting_is_the_text(typed: str, name: str | None, text: str | None) -> None:
    if name is None:
        with pytest.raises(UnclearEnd):
            read(typed)
        return
    said = read(typed)
    assert (said.target.name, said.sighting, said.text) == (name, Sighting.SEEN, text)


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("Rigel Knt", "Rigel Kent"),
        ("Polaris Austrlais", "Polaris Australis"),
        ("Merope Neula", "Merope Nebula"),
    ],
)
def test_a_longer_name_with_a_slip_is_no_shorter_one_before_a_semicolon_either(
    typed: str, meant: str
) -> None:
    with pytest.raises(OtherTarget) as error:
        read(typed, text="nice")
    assert f"looks like {meant}" in error.value.message
    name, _, rest = typed.partition(" ")
    assert read(name, text=f"{rest}; nice").target.name == name


def test_what_is_quoted_is_the_text_whatever_it_begins_with() -> None:
    said = read_observation(["m31", "averted vision shows more"])
    assert (said.text, said.vision) == ("averted vision shows more", None)


@pytest.mark.parametrize(
    ("typed", "sighting"),
    [
        ("M 33 not seen", Sighting.NOT_SEEN),
        ("M 33 Not-Seen", Sighting.NOT_SEEN),
        ("M 33 suspected", Sighting.SUSPECTED),
        ("M 33 not seen haze", Sighting.NOT_SEEN),
        ("M 33 averted suspected", Sighting.SUSPECTED),
    ],
)
def test_how_sure_it_is_is_heard(typed: str, sighting: Sighting) -> None:
    assert read(typed).sighting == sighting


def test_the_settings_of_an_observation() -> None:
    said = read(
        "M 81 averted 150x filter O III rating 4 sketch book 3 page 12 eyepiece Wide 25 by Bram Ostler",
        text="oval, brighter middle",
    )
    assert (said.vision, said.magnification, said.filter, said.rating) == (Vision.AVERTED, 150.0, "O III", 4)
    assert (said.sketch, said.eyepiece, said.observer) == ("book 3 page 12", "Wide 25", "Bram Ostler")
    assert said.text == "oval, brighter middle"


def test_a_name_on_record_ends_where_it_does_also_before_a_text() -> None:
    said = read("M 81 eyepiece wide by ostler big oval")
    assert (said.eyepiece, said.observer, said.text) == ("wide", "ostler", "big oval")


def test_plain_settings_are_read_at_the_end_of_the_text_too() -> None:
    said = read("M 81 big oval glow averted 150x rating 4")
    assert (said.vision, said.magnification, said.rating) == (Vision.AVERTED, 150.0, 4)
    assert said.text == "big oval glow"


@pytest.mark.parametrize(
    ("typed", "magnification", "vision"),
    [
        ("a star in its middle at 150x", 150.0, None),
        ("lane only with averted vision", None, Vision.AVERTED),
        ("lane not with direct", None, None),
    ],
)
def test_a_setting_that_is_a_part_of_the_sentence_stays_in_it(
    typed: str, magnification: float | None, vision: Vision | None
) -> None:
    said = read(f"M 81 {typed}")
    assert (said.text, said.magnification, said.vision) == (typed, magnification, vision)


@pytest.mark.parametrize(
    ("typed", "method"),
    [
        ("by naked eye", FindingMethod.NAKED_EYE),
        ("by star-hop", FindingMethod.STAR_HOP),
        ("by goto", FindingMethod.GOTO),
    ],
)
def test_by_is_how_it_was_found_where_it_is_a_way_of_finding(typed: str, method: FindingMethod) -> None:
    said = read(f"M 45 {typed}")
    assert (said.found_by, said.observer, said.text) == (method, None, None)


@pytest.mark.parametrize(
    ("typed", "error"),
    [
        ("M 31 dust lane suspected", UnclearText),
        ("M 33 haze, so not seen", UnclearText),
        ("M 31 filter UHC oval glow", UnclearEnd),
        ("M 31 suspected not seen", SaidTwice),
        ("M 31 averted oval direct", SaidTwice),
        ("M 31 rating 9", OutOfRange),
        ("M 31 0x", OutOfRange),
        ("Saturn Nebla blue", OtherTarget),
        ("Sombrerro big glow", UnknownTarget),
        ("the whole sky was green", UnknownTarget),
        ("", NoTarget),
    ],
)
def test_what_may_mean_two_things_is_refused(typed: str, error: type[WrongInput]) -> None:
    with pytest.raises(error) as refused:
        read(typed)
    assert (refused.value.exit_code, bool(refused.value.hint)) == (2, True)


def test_behind_a_semicolon_everything_is_text() -> None:
    said = read("M 31 averted", text="dust lane suspected")
    assert (said.sighting, said.vision, said.text) == (Sighting.SEEN, Vision.AVERTED, "dust lane suspected")
    assert read("M 31 oval", text="150x").text == "oval; 150x"


def test_what_the_verb_says_and_what_the_words_say_must_agree() -> None:
    said = read_observation(["M", "33"], sighting=Sighting.NOT_SEEN)
    assert said.sighting == Sighting.NOT_SEEN
    with pytest.raises(SaidTwice):
        read_observation(["M", "33", "suspected"], sighting=Sighting.NOT_SEEN)


@pytest.mark.parametrize(
    ("typed", "name", "vision"),
    [
        ("my double star", "my double star", None),
        ("my double star averted", "my double star", Vision.AVERTED),
    ],
)
def test_an_unknown_name_is_taken_as_written(typed: str, name: str, vision: Vision | None) -> None:
    said = read(typed, text="close pair", as_written=True)
    assert (said.target.name, said.target.known, said.vision) == (name, False, vision)
    assert said.text == "close pair"


@pytest.mark.parametrize(
    ("typed", "name", "told"),
    [
        ("", None, {}),
        ("rating 4", None, {"rating": 4}),
        ("m82", "M 82", {}),
        ("m 82 averted 40x", "M 82", {"vision": Vision.AVERTED, "magnification": 40.0}),
        ("not seen", None, {"sighting": Sighting.NOT_SEEN}),
    ],
)
def test_a_correction_says_only_what_is_said(typed: str, name: str | None, told: dict[str, object]) -> None:
    target, found = read_correction(typed.split())
    assert (target.name if target else None, found) == (name, told)


def test_words_that_are_neither_object_nor_setting_are_no_correction() -> None:
    with pytest.raises(UnreadableSetting):
        read_correction(["m82", "round", "and", "dim"])
    with pytest.raises(UnknownTarget):
        read_correction(["ms82"])
    target, _ = read_correction(["gran's", "smudge", "rating", "4"], as_written=True)
    assert target is not None
    assert target.name == "gran's smudge"


def test_a_comma_behind_the_name_parts_it_from_the_text_and_a_list_of_objects_is_refused() -> None:
    said = read_observation(["m83,", "faint,", "40x"])
    assert (said.target.name, said.text, said.magnification) == ("M 83", "faint", 40.0)
    for listed in ("m81, m82", "47 tuc, ngc 362 too"):
        with pytest.raises(SeveralTargets, match=r"^(M 81 and M 82|NGC 104 and NGC 362) stand on one line"):
            read_observation(listed.split())
    assert read_observation(["M", "42,", "Orion's", "sword"]).text == "Orion's sword"
