"""Waiting lists at the keyboard."""

from datetime import UTC, datetime

from obslog.cli.storeroom.loan_waiting import show_waiting
from obslog.club.storeroom.waiting_list import WaitingLine
from tests.cli.program import Program
from tests.cli.screens import shown_by


def test_the_waiting_list(lending: Program) -> None:
    lending.must("loan", "out", "Evening kit", "Ines")
    assert [line["member"] for line in lending.document("loan", "reserve", "Evening kit", "Tomasz")] == [
        "Tomasz"
    ]
    assert lending("loan", "renew", "Evening kit").code == 1
    assert lending.document("loan", "withdraw", "Evening kit", "Tomasz") == []
    assert "Nobody" in lending.must("loan", "waiting").err


def test_who_waits_stands_in_the_order_of_the_list() -> None:
    asked = datetime(2026, 2, 20, 12, tzinfo=UTC)
    named = [
        WaitingLine(what="Kit", kind="kit", place=n, member=f"M{n}", asked_utc=asked, asked_on=asked.date())
        for n in (1, 2)
    ]
    for shown in shown_by(lambda screen: show_waiting(screen, named)):
        assert [list(row.values()) for row in shown.rows("item", "place", "member", "asked")] == [
            ["Kit", "1", "M1", "2026-02-20"], ["Kit", "2", "M2", "2026-02-20"],
        ]  # fmt: skip
    nameless = [
        WaitingLine(what="Kit", kind="kit", place=1, member=None, asked_utc=asked, asked_on=asked.date())
    ]
    for shown in shown_by(lambda screen: show_waiting(screen, nameless)):
        assert [list(row.values()) for row in shown.rows("item", "place", "asked")] == [
            ["Kit", "1", "2026-02-20"]
        ]
    for shown in shown_by(lambda screen: show_waiting(screen, [])):
        assert (shown.out, shown.notes) == ("", "Nobody waits.")
