"""Values as scripts, tables and terminals get them: nothing unknown is a number, and no sign steers a terminal."""

import json
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta, timezone
from pathlib import PurePosixPath
from uuid import UUID

import pytest

from obslog.cli.look.shown_values import json_document, plain, shown, shown_cell
from obslog.vocabulary.mounts import MountType

SUMMER = timezone(timedelta(hours=1))
KEY = UUID("019c9d7a-0000-7000-8000-000000000000")


@dataclass
class Noted:
    at: datetime
    parts: tuple[float, ...]


@pytest.mark.parametrize(
    ("value", "told"),
    [
        (Noted(datetime(2026, 7, 10, 21, 40, tzinfo=SUMMER), (1.5, float("nan"))),
         {"at": "2026-07-10T20:40:00Z", "parts": [1.5, None]}),
        ({date(2026, 7, 10): KEY}, {"2026-07-10": str(KEY)}),
        ([PurePosixPath("a/b"), MountType.ALTAZ, float("inf"), True, None], ["a/b", "altaz", None, True, None]),
    ],
)  # fmt: skip
def test_json_has_instants_in_utc_and_null_for_what_is_no_number(value: object, told: object) -> None:
    assert plain(value) == told
    assert json.loads(json_document(value, any_sign=True)) == told


@pytest.mark.parametrize(
    ("value", "cell"),
    [
        (None, ""), (True, "yes"), (False, "no"), (0, "0"), (0.0, "0"), (1 / 3, "0.333333"),
        (["M 31", None, 2.50], "M 31, , 2.5"), (datetime(2026, 7, 10, tzinfo=UTC), "2026-07-10T00:00:00Z"),
        ("two\nlines\there", "two lines here"),
    ],
)  # fmt: skip
def test_a_cell_is_empty_for_what_is_not_known_and_stands_on_one_line(value: object, cell: str) -> None:
    assert shown_cell(value) == cell


def test_signs_that_could_steer_a_terminal_are_replaced_and_in_json_escaped() -> None:
    assert shown("a\x1b[31mb\u202ec\nd") == "a\ufffd[31mb\ufffdc\nd"
    assert "\x1b" not in (document := json_document(["a\x1b\x9b"], any_sign=True))
    assert json.loads(document) == ["a\x1b\x9b"]


def test_signs_beyond_ascii_stand_in_json_where_they_can_be_written() -> None:
    assert "Zoë" in json_document("Zoë", any_sign=True)
    assert json_document("Zoë", any_sign=False) == '"Zo\\u00eb"'
