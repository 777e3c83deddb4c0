"""The keys that scripts were promised from the first are in the schemas of trends."""

import pytest

from tests.cli.answers.held import promised_keys_missing


@pytest.mark.parametrize(
    ("command", "record", "keys"),
    [
        ("pointing trend", "TrendWithMechanics", "mount setups slope alarms verdict"),
        (
            "pointing trend",
            "LandedSetup",
            "night setup arrivals half_land_within_arcmin low_arcmin high_arcmin",
        ),
        ("pointing trend", "YearlySlope", "per_year low high p"),
    ],
)
def test_the_promised_keys_are_there_and_always(command: str, record: str, keys: str) -> None:
    assert promised_keys_missing(command, record, keys) == set()
