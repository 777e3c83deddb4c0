"""The keys that scripts were promised from the first are in the schemas of fits and budgets."""

import pytest

from tests.cli.answers.held import promised_keys_missing


@pytest.mark.parametrize(
    ("command", "record", "keys"),
    [
        ("sky where", "WhereIs", "name ra_hours dec_deg hour_angle_hours alt_deg az_deg airless_alt_deg"),
        ("pointing fit", "FitAnswer", "mount tube noise_arcmin mechanical setups"),
        ("pointing fit", "MechanicalTerm", "since term value_arcmin sd_arcmin determined"),
        (
            "pointing fit",
            "FittedSetup",
            "night setup polar_altitude polar_azimuth separation_arcmin arrivals rms_arcmin suspects",
        ),
        ("pointing fit", "Estimated", "value_arcmin sd_arcmin determined"),
        ("pointing budget", "BudgetAnswer", "mount half_land_within_arcmin causes"),
        ("pointing budget", "CauseOfBudget", "cause adds_arcmin low high half_without_arcmin remedy"),
    ],
)
def test_the_promised_keys_are_there_and_always(command: str, record: str, keys: str) -> None:
    assert promised_keys_missing(command, record, keys) == set()
