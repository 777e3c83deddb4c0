"""Both databases' values are written alike; only texts are guarded."""

from datetime import UTC, date, datetime, timedelta, timezone
from uuid import UUID

import pytest

from obslog.exchange.package.cells_out import written_cells
from obslog.exchange.package.tables import Holds

KEY = "0190a6e5-0000-7000-8000-0000000000ff"


@pytest.mark.parametrize(
    ("holds", "of_sqlite", "of_a_server", "cell"),
    [
        (Holds.KEY, KEY, UUID(KEY), KEY),
        (
            Holds.INSTANT,
            "2026-03-02T20:41:00.000000Z",
            datetime(2026, 3, 2, 21, 41, tzinfo=timezone(timedelta(hours=1))),
            "2026-03-02T20:41:00Z",
        ),
        (
            Holds.INSTANT,
            "2026-03-02T20:41:00.250000Z",
            datetime(2026, 3, 2, 20, 41, 0, 250_000, tzinfo=UTC),
            "2026-03-02T20:41:00.250000Z",
        ),
        (Holds.DAY, "2026-03-02", date(2026, 3, 2), "2026-03-02"),
        (Holds.YES_NO, 1, True, "true"),
        (Holds.YES_NO, 0, False, "false"),
        (Holds.BYTES, b"\xf8", memoryview(b"\xf8"), "'+A=="),
    ],
)
def test_values_of_both_databases_are_written_alike(
    holds: Holds, of_sqlite: object, of_a_server: object, cell: str
) -> None:
    assert written_cells(holds, [of_sqlite, of_a_server]) == [cell, cell]


def test_a_negative_number_stays_a_number_and_a_text_like_it_is_guarded() -> None:
    assert written_cells(Holds.NUMBER, [-3.25, 0.0, None]) == ["-3.25", "0.0", ""]
    assert written_cells(Holds.WHOLE, [-3, None]) == ["-3", ""]
    assert written_cells(Holds.TEXT, ["-3.25", "", None]) == ["'-3.25", "'", ""]
