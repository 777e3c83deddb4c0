"""Every line that is said back reads in as the same act, and no line raises anything but an error of ours."""

from contextlib import suppress

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from obslog import fields
from obslog.errors import ObslogError
from obslog.grammar.arrival_words import ArrivalSaid, read_arrival
from obslog.grammar.lines import read_line
from obslog.grammar.observation_words import ObservationSaid, read_observation
from obslog.grammar.target_names import Target, target_named
from obslog.grammar.written import arrival_line, number_words
from obslog.offsets import read_offset
from obslog.vocabulary.arrivals import Landing, Role
from obslog.vocabulary.mounts import PierSide
from obslog.vocabulary.observations import FindingMethod, Sighting, Vision
from tests.grammar.observation_written import observation_line

VERBS = ("sync", "check", "goto", "saw", "suspected", "not-seen")
KNOWN = (
    "Vega",
    "61 Cyg",
    "HIP 9126",
    "M 31",
    "NGC 7009",
    "C 14",
    "Sh 2-101",
    "Jupiter",
    "5h35.0m -5°23'",
    "θ1 Ori",
)

# Text as people type it, and the words that mean something elsewhere in a line.
_PIECES = st.sampled_from(
    ["Wide", "25", "by", "pier", "east", "3E", "not", "seen", "150x", "M", "31", ";", "!", '"', "'", "averted", "in",
     "goto", "eyepiece", "field", "42", "rating", "4", "naked", "eye", "center", "@16x", "é", "a;b", "x!", '"q"']
)  # fmt: skip
_PLAIN = st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"]), min_size=1, max_size=8)
PHRASES = st.lists(_PIECES | _PLAIN, min_size=1, max_size=6).map(" ".join)
NAMES = PHRASES.map(fields.NAME.checked)


def numbers(low: str, high: str) -> st.SearchStrategy[float]:
    return st.decimals(low, high, places=3).map(float)


AMOUNTS, RATES = numbers("0", "300"), numbers("0.5", "64")


@st.composite
def targets(draw: st.DrawFn) -> Target:
    if draw(st.booleans()):
        return target_named(draw(st.sampled_from(KNOWN)))
    name = draw(NAMES)
    target = target_named(name)
    # What begins like something known is that, and not a name of its own.
    with suppress(ObslogError):
        return read_arrival([name], as_written=True).target
    return target if target.known else Target(name="my double star", known=False)


@st.composite
def places(draw: st.DrawFn) -> object:
    if draw(st.booleans()):
        return draw(st.none() | st.sampled_from(Landing))
    unit = draw(st.sampled_from(["", "'", "arcsec", '"', "d", "f", "s"]))
    parts = [f"{draw(numbers('0', '300'))}{unit} {draw(st.sampled_from(sides))}" for sides in ("EW", "NS")]
    rate = f" @{draw(numbers('0.5', '64'))}x" if unit == "s" else ""
    return read_offset(" ".join(draw(st.sampled_from([parts, parts[:1], parts[1:]]))) + rate)


ARRIVALS = st.builds(
    ArrivalSaid,
    target=targets(),
    where=places(),
    pier_side=st.none() | st.sampled_from(PierSide),
    eyepiece=st.none() | NAMES,
    field_arcmin=st.none() | numbers("0.01", "10800"),
    centring_arcmin=st.none() | numbers("0", "10800"),
    observer=st.none() | NAMES,
    note=st.none() | PHRASES,
)
OBSERVATIONS = st.builds(
    ObservationSaid,
    target=targets(),
    sighting=st.sampled_from(Sighting),
    vision=st.none() | st.sampled_from(Vision),
    found_by=st.none() | st.sampled_from(FindingMethod),
    eyepiece=st.none() | NAMES,
    magnification=st.none() | numbers("1", "5000"),
    filter=st.none() | PHRASES.map(fields.FILTER.checked),
    rating=st.none() | st.integers(1, 5),
    sketch=st.none() | PHRASES.map(fields.SKETCH.checked),
    observer=st.none() | NAMES,
    text=st.none() | PHRASES,
)
TIMES = st.sampled_from([None, "21:05", "0:10", "23:59:59", "20:31Z"])


@settings(max_examples=200, deadline=None)
@given(st.sampled_from(Role), ARRIVALS, TIMES, st.booleans())
def test_an_arrival_that_is_written_out_reads_in_as_the_same(
    role: Role, said: ArrivalSaid, at: str | None, sure: bool
) -> None:
    written = arrival_line(role, said, at=at, sure=sure)
    line = read_line(written, VERBS)
    assert (line.verb, line.at, line.sure) == (role, at, sure or not said.target.known), written
    assert read_arrival(line.words, note=line.text, as_written=line.sure) == said, written


@settings(max_examples=200, deadline=None)
@given(OBSERVATIONS, TIMES, st.booleans())
def test_an_observation_that_is_typed_reads_in_as_what_it_says(
    said: ObservationSaid, at: str | None, sure: bool
) -> None:
    written = observation_line(said, at=at, sure=sure)
    line = read_line(written, VERBS)
    assert (line.verb, line.at, line.sure) == ("saw", at, sure or not said.target.known), written
    assert read_observation(line.words, text=line.text, as_written=line.sure) == said, written


_WORDS = [
    *VERBS, "s", "21:05", "Vega", "M", "31", "m31", "Saturn", "Nebula", "3E", "2N", "3,5E", "E3", "3°E", "4s", "E",
    "@16x", "edge", "centre", "pier", "pe", "eyepiece", "by", "field", "42", "centring", "150x", "rating", "4",
    "filter", "sketch", "not", "seen", "averted", "suspected", ";", "!", '"', "5h35m", "-5d23m", "25h", "-99d", "big",
    "HIP", "9126", "2", "NGC", "99999999999999999999", "nan", "1e999E", "9" * 400 + "E", "helix", "Ceres",
]  # fmt: skip
_ANYTHING = st.lists(st.sampled_from(_WORDS) | st.text(max_size=6), max_size=12).map(" ".join)


@settings(max_examples=300, deadline=None)
@given(_ANYTHING, st.sampled_from(["", *VERBS]))
def test_a_random_line_raises_nothing_but_errors_of_ours_and_what_it_says_reads_in_again(
    typed: str, verb: str
) -> None:
    with suppress(ObslogError):
        line = read_line(f"{verb} {typed}", VERBS)
        if line.verb in list(Role):
            said = read_arrival(line.words, note=line.text, as_written=line.sure)
            again = read_line(arrival_line(Role(line.verb), said), VERBS)
            assert read_arrival(again.words, note=again.text, as_written=again.sure) == said
        else:
            seen = read_observation(line.words, text=line.text, as_written=line.sure)
            again = read_line(observation_line(seen), VERBS)
            assert read_observation(again.words, text=again.text, as_written=again.sure) == seen


@pytest.mark.parametrize(
    ("number", "words"), [(3.0, "3"), (0.3, "0.3"), (1e-05, "0.00001"), (42.25, "42.25"), (5000.0, "5000")]
)
def test_a_number_is_written_without_an_exponent(number: float, words: str) -> None:
    assert number_words(number) == words
