"""Arrivals over the sky: what the words, the table and the names say, and where they stand."""

import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from obslog.club.pages.arrival_places import ArrivalPlace
from obslog.report.pictures.drawing import inline_svg
from obslog.report.pictures.sky_chart import direction_words, sky_chart
from obslog.vocabulary.arrivals import Role

SVG = "{http://www.w3.org/2000/svg}"
VEGA = ArrivalPlace(
    mount="Heron",
    setup=1,
    number=1,
    at="21:40",
    role=Role.SYNC,
    target="Vega",
    landed="12.0E 5.0N",
    az_deg=300.0,
    alt_deg=25.04,
)
CAPELLA = replace(VEGA, number=2, role=Role.CHECK, target="Capella", az_deg=60.0, alt_deg=70.0)
NOWHERE = replace(VEGA, number=3, role=Role.GOTO, target="the comet", az_deg=None, alt_deg=None, landed="")
SET = replace(VEGA, number=4, target="Sirius", az_deg=250.0, alt_deg=-5.0)


def texts(places: list[ArrivalPlace]) -> dict[str, float]:
    """Each word of the chart with its place from left to right."""
    found = {}
    for element in ElementTree.fromstring(inline_svg(sky_chart("The sky", places))).iter(f"{SVG}text"):
        moved = re.search(r"translate\(([\d.]+)", element.get("transform", ""))
        found[element.text or ""] = float(moved[1] if moved else element.get("x", "nan"))
    return found


@pytest.mark.parametrize(
    ("az_deg", "words"), [(0, "N"), (22, "N"), (23, "NE"), (90, "E"), (200, "S"), (338, "N"), (359.9, "N")]
)
def test_directions_are_the_nearest_of_eight(az_deg: float, words: str) -> None:
    assert direction_words(az_deg) == words


def test_the_words_say_what_was_done_and_how_high_it_stood() -> None:
    assert sky_chart("The sky", [VEGA, CAPELLA, NOWHERE]).description == (
        "1 sync, 1 check, 1 go-to. The lowest, Vega, stood at 25° in the NW; the highest, Capella, at 70°."
    )
    assert sky_chart("The sky", [NOWHERE]).description == "1 go-to; where in the sky is not known."


def test_the_table_holds_every_arrival_and_an_unknown_place_is_blank() -> None:
    assert sky_chart("The sky", [VEGA, NOWHERE]).rows == (
        ("21:40", "Heron", "1", "sync", "Vega", "300.0°", "25.0°", "12.0E 5.0N"),
        ("21:40", "Heron", "1", "go-to", "the comet", "", "", ""),
    )


def test_east_is_to_the_left_as_overhead() -> None:
    found = texts([VEGA, CAPELLA])
    assert found["E"] < found["N"] < found["W"]
    assert found["Capella"] < found["Vega"]


def test_only_what_was_up_and_has_a_place_is_drawn() -> None:
    found = texts([VEGA, NOWHERE, SET])
    assert "Vega" in found
    assert {"the comet", "Sirius"} & set(found) == set()


@pytest.mark.parametrize("places", [[], [NOWHERE], [SET]])
def test_a_sky_with_nothing_in_it_says_so(places: list[ArrivalPlace]) -> None:
    assert "nothing on record yet" in texts(places)


def test_an_object_is_named_once_however_often_it_was_gone_to() -> None:
    svg = inline_svg(sky_chart("The sky", [VEGA, replace(VEGA, number=9, az_deg=301.0)]))
    assert svg.count(">Vega<") == 1
