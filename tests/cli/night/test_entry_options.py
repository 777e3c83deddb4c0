"""What is told of an arrival or an observation reaches the field of its entry that it is about."""

from dataclasses import asdict, replace

import pytest

from obslog.cli.night.entry_options import ArrivalOptions, ObservationOptions
from obslog.club.night.arrival_entries import ArrivalEntry
from obslog.club.night.observations import ObservationEntry
from obslog.vocabulary.arrivals import Landing, Role
from obslog.vocabulary.mounts import PierSide
from obslog.vocabulary.observations import FindingMethod, Sighting, Vision

ARRIVAL = ArrivalOptions(
    pier=PierSide.WEST, eyepiece="Wide 25", field=73.0, centring=0.5, ra=18.6, dec=38.8, observer="Ines", note="gusts"
)  # fmt: skip
OBSERVATION = ObservationOptions(
    text="oval glow", found_by=FindingMethod.OTHER, averted=True, eyepiece="Wide 25", magnification=40.0, filter="UHC",
    rating=4, sketch="page 3",
)  # fmt: skip


def test_all_that_is_told_of_an_arrival_is_in_its_entry() -> None:
    assert ARRIVAL.entry("Vega", Landing.EDGE, "21:40", Role.CHECK) == ArrivalEntry(
        target="Vega", where=Landing.EDGE, at="21:40", pier_side=PierSide.WEST, eyepiece="Wide 25", field_arcmin=73.0,
        centring_arcmin=0.5, ra_hours=18.6, dec_deg=38.8, observer="Ines", role=Role.CHECK, note="gusts",
    )  # fmt: skip


def test_all_that_is_told_of_an_observation_is_in_its_entry() -> None:
    assert OBSERVATION.entry(Sighting.SEEN, "21:40") == ObservationEntry(
        sighting=Sighting.SEEN, description="oval glow", found_by=FindingMethod.OTHER, vision=Vision.AVERTED,
        eyepiece="Wide 25", magnification=40.0, filter="UHC", rating=4, sketch="page 3", at="21:40",
    )  # fmt: skip


def test_nothing_told_is_an_empty_entry() -> None:
    assert ArrivalOptions().entry(None, None, None) == ArrivalEntry()
    assert ObservationOptions().entry(None, None) == ObservationEntry()


@pytest.mark.parametrize(
    ("averted", "vision"), [(None, None), (True, Vision.AVERTED), (False, Vision.DIRECT)]
)
def test_vision_not_told_is_not_direct(averted: bool | None, vision: Vision | None) -> None:
    assert replace(OBSERVATION, averted=averted).entry(None, None).vision is vision


def test_an_entry_has_no_field_that_cannot_be_told() -> None:
    arrival = ARRIVAL.entry("Vega", Landing.EDGE, "21:40", Role.CHECK)
    assert None not in asdict(arrival).values()
    assert None not in asdict(OBSERVATION.entry(Sighting.SEEN, "21:40")).values()
