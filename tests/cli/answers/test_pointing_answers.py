"""The keys that scripts were promised from the first are in the schemas, by the names that they had."""

from typing import Any

import pytest

from tests.cli.answers.held import schemas

# Of each command: where in its schema an object stands, and keys of it.
PROMISED: dict[str, list[tuple[str, str]]] = {
    "sky where": [("WhereIs", "name ra_hours dec_deg hour_angle_hours alt_deg az_deg airless_alt_deg")],
    "pointing fit": [
        ("FitAnswer", "mount tube noise_arcmin mechanical setups"),
        ("MechanicalTerm", "since term value_arcmin sd_arcmin determined"),
        (
            "FittedSetup",
            "night setup polar_altitude polar_azimuth separation_arcmin arrivals rms_arcmin suspects",
        ),
        ("Estimated", "value_arcmin sd_arcmin determined"),
    ],
    "pointing trend": [
        ("TrendWithMechanics", "mount setups slope alarms verdict"),
        ("LandedSetup", "night setup arrivals half_land_within_arcmin low_arcmin high_arcmin"),
        ("YearlySlope", "per_year low high p"),
    ],
    "pointing budget": [
        ("BudgetAnswer", "mount half_land_within_arcmin causes"),
        ("CauseOfBudget", "cause adds_arcmin low high half_without_arcmin remedy"),
    ],
    "review": [
        ("ReviewAnswer", "attribution items"),
        ("ReviewedItem", "name kind status reasons effect"),
        ("ReviewEffect", "ratio low high"),
        ("Share", "share sd"),
    ],
}


@pytest.mark.parametrize("command", PROMISED)
def test_the_promised_keys_are_there_and_always(command: str) -> None:
    definitions: dict[str, Any] = schemas()[command]["$defs"]
    for name, keys in PROMISED[command]:
        assert name in definitions, sorted(definitions)
        assert set(keys.split()) <= set(definitions[name]["required"])
