"""Which observations are given out."""

from datetime import date

import pytest

from obslog.club.bring_in.give_out import chosen_observations
from obslog.club.bring_in.observations_out import ObservationChoice
from obslog.errors import UnknownName
from tests.club.bring_in.sheets import Desk

SHEET = (
    "night,time,site,object,observer",
    "2026-02-27,21:05,Mill Field,M 81,Ines",
    "2026-02-28,00:20,Mill Field,M 3,Bram Ostler",
    "2026-02-28,21:30,Kestrel Ridge,M 42,Ines",
)


@pytest.mark.parametrize(
    ("choice", "targets"),
    [
        (ObservationChoice(), ["M 81", "M 42", "M 3"]),
        (ObservationChoice(observer="Ines"), ["M 81", "M 42"]),
        (ObservationChoice(site="Kestrel Ridge"), ["M 42"]),
        (ObservationChoice(night=date(2026, 2, 28)), ["M 42", "M 3"]),
        (ObservationChoice(first=date(2026, 2, 28)), ["M 42", "M 3"]),
        (ObservationChoice(last=date(2026, 2, 27)), ["M 81"]),
    ],
)
def test_those_that_are_chosen_in_order_of_time(
    desk: Desk, choice: ObservationChoice, targets: list[str]
) -> None:
    desk.take("observations", *SHEET)
    assert [row["target"] for row in chosen_observations(desk.database, choice)] == targets


def test_a_name_that_is_not_on_record_is_refused(desk: Desk) -> None:
    with pytest.raises(UnknownName):
        chosen_observations(desk.database, ObservationChoice(observer="Nobody"))
