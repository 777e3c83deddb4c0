"""Which of the observations on record a row is about."""

from datetime import UTC, datetime
from uuid import UUID

from obslog.club.bring_in.intake import differences
from obslog.club.bring_in.observations_on_record import (
    ObservationOnRecord,
    ObservationsOnRecord,
)

WHERE = (UUID(int=1), datetime(2026, 3, 2, 21, 5, tzinfo=UTC), "M 81", None)


def test_what_is_not_told_is_no_difference() -> None:
    assert differences({"filter": "O III", "rating": 4}, {"filter": "O III", "rating": None}) == {}
    assert differences({"rating": None}, {"rating": 4}) == {"rating": 4}


def test_of_two_alike_each_is_found_once_and_then_the_first_again() -> None:
    one, two = (
        ObservationOnRecord(UUID(int=2), {"rating": 4}),
        ObservationOnRecord(UUID(int=3), {"rating": 4}),
    )
    known = ObservationsOnRecord({WHERE: [one, two]})
    found = [known.the_same(WHERE, {"rating": 4}) for _ in range(3)]
    assert [record and record.key for record in found] == [one.key, two.key, one.key]
    assert known.another(WHERE) is None


def test_another_is_one_that_no_row_was_about() -> None:
    one, two = (
        ObservationOnRecord(UUID(int=2), {"rating": 4}),
        ObservationOnRecord(UUID(int=3), {"rating": 3}),
    )
    known = ObservationsOnRecord({WHERE: [one, two]})
    assert known.the_same(WHERE, {"rating": 3}) is two
    assert known.another(WHERE) is one
    assert known.another(WHERE) is None
