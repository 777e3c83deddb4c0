"""The parts of an element are taken one by one, and what is left is told in words."""

from math import pi

import pytest

from obslog.exchange.open_log.guarded import Element
from obslog.exchange.open_log.leftovers import Parts, in_words, read_number


def element(tag: str, text: str = "", *children: Element, **attributes: str) -> Element:
    return Element(tag=tag, attributes=attributes, line=1, text=text, children=list(children))


def test_what_nobody_asks_for_is_left_in_words() -> None:
    parts = Parts(
        element(
            "result",
            "",
            element("description", " a glow "),
            element("smallDiameter", "2", unit="arcmin"),
            element("position", "", element("ra", "1", unit="rad")),
            id="r_1",
            mottled="true",
        )
    )
    assert parts.text("description") == "a glow"
    assert parts.left() == ("mottled: true", "small diameter: 2 arcmin", "position ra: 1 rad")


@pytest.mark.parametrize(
    ("unit", "value", "degrees"),
    [("deg", "1,5", 1.5), ("arcmin", "90", 1.5), ("arcsec", "5400", 1.5), ("rad", str(pi), 180.0)],
)
def test_an_angle_is_in_degrees_whatever_its_unit(unit: str, value: str, degrees: float) -> None:
    assert Parts(element("a", "", element("b", value, unit=unit))).angle_deg("b") == pytest.approx(degrees)


def test_a_value_out_of_its_range_or_in_another_unit_is_left_as_it_was_told() -> None:
    parts = Parts(
        element(
            "a",
            "",
            element("b", "7"),
            element("c", "1", unit="furlong"),
            element("d", "12", unit="furlong"),
        )
    )
    assert parts.number("b", low=1, high=5) is None
    assert parts.angle_deg("c") is None
    assert parts.surface_brightness("d", low=10, high=23) is None
    assert parts.left() == ("b: 7", "c: 1 furlong", "d: 12 furlong")


@pytest.mark.parametrize(
    ("text", "unit", "per_square_arcsecond"),
    [
        ("21.3", "mags-per-squarearcsec", 21.3),
        ("12.43", "mags-per-squarearcmin", 21.32),  # 2.5 log10(3600) = 8.8908 magnitudes
        ("21.3", "mags-per-squarearcmin", None),
        ("9.9", "mags-per-squarearcsec", None),
    ],
)
def test_the_sky_is_of_a_square_arcsecond_whatever_the_unit(
    text: str, unit: str, per_square_arcsecond: float | None
) -> None:
    parts = Parts(element("a", "", element("q", text, unit=unit)))
    assert parts.surface_brightness("q", low=10, high=23) == per_square_arcsecond
    assert parts.left() == (() if per_square_arcsecond else (f"q: {text} {unit}",))


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("smallDiameter", "small diameter"),
        ("sky-quality", "sky quality"),
        ("pixelXSize", "pixel x size"),
        ("chartID", "chart id"),
        ("nearHorizion", "near horizon"),
        ("comparismSequenceProblem", "comparison sequence problem"),
    ],
)
def test_a_name_of_the_schema_is_words(name: str, words: str) -> None:
    assert in_words(name) == words


def test_a_second_text_of_one_name_is_left() -> None:
    parts = Parts(element("a", "", element("b", "one"), element("b", "two")))
    assert parts.text("b") == "one"
    assert parts.left() == ("b: two",)


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("40", 40.0),
        (" 4,5 ", 4.5),
        ("-.5", -0.5),
        ("1e2", 100.0),
        ("1e999", None),
        ("nan", None),
        ("1_0", None),
        ("", None),
    ],
)
def test_a_number_is_read_or_is_none(text: str, number: float | None) -> None:
    assert read_number(text) == number


def test_names_of_the_schema_are_told_in_words() -> None:
    assert [in_words(name) for name in ("smallDiameter", "sky-quality", "chartID", "visMag")] == [
        "small diameter",
        "sky quality",
        "chart id",
        "vis mag",
    ]
