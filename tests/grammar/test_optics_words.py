"""What is written on tubes and eyepieces, read as it is meant."""

import pytest

from obslog.errors import WrongInput
from obslog.grammar.optics_words import (
    ShorterThanWide,
    UnreadableOptics,
    WhichUnit,
    read_aperture_mm,
    read_eyepiece,
    read_field_deg,
    read_focal_mm,
)


@pytest.mark.parametrize(
    ("text", "aperture_mm", "focal_mm"),
    [
        ("200", 200.0, None),
        ("200 mm", 200.0, None),
        ("200 f/5", 200.0, 1000.0),
        ("200f5", 200.0, 1000.0),
        ("200mm F/5,5", 200.0, 1100.0),
        ("200/1000", 200.0, 1000.0),
        ("200 x 1000", 200.0, 1000.0),
        ("200,1000", 200.0, 1000.0),  # no decimal comma: it would have one digit behind it
        ("200 mm 1.2 m", 200.0, 1200.0),
        ("20 cm 1:5", 200.0, 1000.0),
        ("8 in f/6", 203.2, 1219.2),  # 8 x 25.4, and six times that
        ('8"', 203.2, None),
        ("20 mm", 20.0, None),
        ("203,2", 203.2, None),
    ],
)
def test_an_aperture_alone_or_with_the_focal_length(
    text: str, aperture_mm: float, focal_mm: float | None
) -> None:
    aperture, focal = read_aperture_mm(text)
    assert aperture == pytest.approx(aperture_mm)
    assert (focal is None) is (focal_mm is None)
    assert focal_mm is None or focal == pytest.approx(focal_mm)


@pytest.mark.parametrize(
    ("text", "failure"),
    [
        ("8", WhichUnit),  # a usual number of inches, and an aperture in millimetres
        ("1000 200", ShorterThanWide),
        ("200 f/0.5", ShorterThanWide),
        ("f/5", UnreadableOptics),
        ("big", UnreadableOptics),
        ("200 f", UnreadableOptics),
        ("-200", UnreadableOptics),
        ("", UnreadableOptics),
    ],
)
def test_what_is_no_aperture_is_refused(text: str, failure: type[WrongInput]) -> None:
    with pytest.raises(failure):
        read_aperture_mm(text)


@pytest.mark.parametrize(
    ("text", "aperture_mm", "focal_mm"),
    [("1000", 200.0, 1000.0), ("f/5", 200.0, 1000.0), ("1 m", None, 1000.0), ("f 4,8", 200.0, 960.0)],
)
def test_a_focal_length_by_itself_or_as_a_ratio(
    text: str, aperture_mm: float | None, focal_mm: float
) -> None:
    assert read_focal_mm(text, aperture_mm) == pytest.approx(focal_mm)


def test_a_ratio_means_nothing_without_the_aperture() -> None:
    with pytest.raises(UnreadableOptics):
        read_focal_mm("f/5", None)


@pytest.mark.parametrize(
    ("text", "focal_mm", "field_deg"),
    [
        ("25", 25.0, None),
        ("25 mm", 25.0, None),
        ("12,5", 12.5, None),
        ("25mm 52°", 25.0, 52.0),
        ("25 52", 25.0, 52.0),
        ("25, 52 degrees", 25.0, 52.0),
        ("25,52", 25.0, 52.0),
    ],
)
def test_an_eyepiece_alone_or_with_its_field(text: str, focal_mm: float, field_deg: float | None) -> None:
    assert read_eyepiece(text) == (focal_mm, field_deg)


@pytest.mark.parametrize(("text", "field_deg"), [("52", 52.0), ("52°", 52.0), ("52,5 deg", 52.5)])
def test_an_apparent_field(text: str, field_deg: float) -> None:
    assert read_field_deg(text) == field_deg


@pytest.mark.parametrize("text", ["", "wide", "25 mm wide", "-25"])
def test_what_is_no_eyepiece_and_no_field_is_refused(text: str) -> None:
    for read in (read_eyepiece, read_field_deg):
        with pytest.raises(UnreadableOptics):
            read(text)
