"""The fleet as a picture: a row for each mount, and what stands out is a mount that is itself to blame."""

from xml.etree import ElementTree

from obslog.club.overviews.fleet import Fleet, FleetLine
from obslog.report.overviews.fleet_picture import fleet_picture
from obslog.report.pictures.drawing import inline_svg
from obslog.values import Interval
from tests.report.pictures.drawn_on import figure_of, texts_of

GRUMBLE = FleetLine(
    mount="Grumble",
    name="Grumble",
    since=None,
    setups=9,
    half_arcmin=Interval(30, 24, 38, 9),
    own=Interval(1.1, 0.8, 1.5, 9),
)
HERON = FleetLine(
    mount="Heron",
    name="Heron",
    since=None,
    setups=8,
    half_arcmin=Interval(20, 18, 24, 8),
    own=Interval(1.6, 1.1, 2.4, 8),
)
ALONE = FleetLine(
    mount="Kelp", name="Kelp", since=None, setups=1, half_arcmin=Interval(9, None, None, 1), own=None
)
FLEET = Fleet([GRUMBLE, HERON, ALONE], [], Interval(18, 15, 21, 18))


def test_the_table_holds_every_mount_and_unknown_ends_are_blank() -> None:
    assert fleet_picture(FLEET).rows == (
        ("Grumble", "9", "ever", "30.0'", "24.0'", "38.0'", "1.10", "0.80", "1.50"),
        ("Heron", "8", "ever", "20.0'", "18.0'", "24.0'", "1.60", "1.10", "2.40"),
        ("Kelp", "1", "ever", "9.0'", "", "", "", "", ""),
    )


def test_the_mount_itself_is_told_from_those_who_use_it() -> None:
    picture = fleet_picture(FLEET)
    assert "farther out than average: Heron." in picture.description
    markers = [line.get_marker() for line in figure_of(picture).axes[0].lines]
    assert (markers.count("D"), markers.count("o")) == (1, 2)


def test_beside_each_radius_stands_of_how_many_set_ups_it_is() -> None:
    """On paper the numbers of the picture are not there."""
    assert {"30' (24' to 38') of 9", "20' (18' to 24') of 8", "9.0' of 1"} <= set(
        texts_of(figure_of(fleet_picture(FLEET)))
    )


def test_the_axis_is_logarithmic_and_says_so() -> None:
    figure = figure_of(fleet_picture(FLEET))
    assert figure.axes[0].get_xscale() == "log"
    assert any("logarithmic" in text for text in texts_of(figure))


def test_a_fleet_of_nothing_says_so() -> None:
    picture = fleet_picture(Fleet([], ["Heron"], None))
    assert "nothing on record yet" in texts_of(figure_of(picture))
    ElementTree.fromstring(inline_svg(picture))
