"""Services, what is due, orders, schedules and batteries, read back at every width against records made by hand."""

from datetime import date
from typing import Any

import pytest

from obslog.cli.upkeep.battery import show_battery
from obslog.cli.upkeep.service import show_service, show_services
from obslog.cli.upkeep.service_show import show_due, show_orders, show_schedule
from obslog.club.routine.service_routine import RoutineTask
from obslog.club.upkeep.batteries import BatteryPage, BatteryReading
from obslog.club.upkeep.services import ServiceLine, ServiceList
from obslog.club.upkeep.services_due import DueBy, DueService
from obslog.club.upkeep.task_states import Schedule, TaskState
from obslog.club.upkeep.work_orders import Said, WorkOrder
from obslog.vocabulary.steps import Step
from tests.cli.screens import shown_by


def a_due(n: int, **changed: Any) -> DueService:
    values: dict[str, Any] = {
        "name": f"Item {n}", "kind": "mount", "basis": DueBy.DATE, "due_on": date(2026, 3, 1 + n),
        "words": f"grease {n}", "last_on": None, "nights_last_year": 40 - n,
    }  # fmt: skip
    return DueService(**(values | changed))


def test_what_is_due_stands_in_its_order_and_conditions_below() -> None:
    found = [a_due(0), a_due(1, due_on=None), a_due(2, basis=DueBy.CONDITION, words="when it squeaks")]
    for shown in shown_by(lambda screen: show_due(screen, found)):
        rows = shown.rows("nights", "name", "due", "service")
        assert [list(row.values()) for row in rows][:2] == [
            ["40", "Item 0", "2026-03-01", "grease 0"], ["39", "Item 1", "", "grease 1"],
        ]  # fmt: skip
        assert shown.words.endswith("Check whether it is time: Item 2: when it squeaks")
        assert "nights are those on which it was used in the last year" in shown.notes
    for shown in shown_by(lambda screen: show_due(screen, found[:2])):
        assert "Check whether" not in shown.words
    for shown in shown_by(lambda screen: show_due(screen, [])):
        assert (shown.out, shown.notes) == ("", "Nothing is due.")


def an_order(n: int, *said: str, **changed: Any) -> WorkOrder:
    values: dict[str, Any] = {
        "reference": f"ref{n}", "name": f"Item {n}", "kind": "mount", "step": Step.POWER, "since": date(2026, 1, 1 + n),
        "newest": date(2026, 2, 1 + n), "times": 5 + n, "members": 2 + n, "said": [Said(text, 1) for text in said],
        "references": [], "persons_step": False, "nights_last_year": 0,
    }  # fmt: skip
    return WorkOrder(**(values | changed))


@pytest.mark.parametrize("with_all", [True, False])
def test_the_orders_tell_the_newest_words_and_count_the_rest(with_all: bool) -> None:
    orders = [
        an_order(0, "one", "two", "three", "four"),
        an_order(1, "one", "two"),
        an_order(2, "late", persons_step=True),
    ]
    for shown in shown_by(lambda screen: show_orders(screen, orders, with_all)):
        rows = shown.rows("reference", "name", "step", "since", "snags", "members", "what was said")
        assert [list(row.values()) for row in rows] == [
            ["ref0", "Item 0", "power", "2026-01-01", "5", "2", "one; two (and 2 more)"],
            ["ref1", "Item 1", "power", "2026-01-02", "6", "3", "one; two"],
            ["ref2", "Item 2", "power", "2026-01-03", "7", "4", "late"],
        ][: 3 if with_all else 2]
        left_out = "1 at steps that people do is left out; to see all, add --all."
        assert shown.notes == ("" if with_all else left_out)
    for shown in shown_by(lambda screen: show_orders(screen, [orders[2]] * 2, with_all=False)):
        assert (shown.out, shown.notes) == (
            "", "Nothing to mend. 2 at steps that people do are left out; to see all, add --all.",
        )  # fmt: skip


def test_the_schedule_of_an_item_says_what_is_due() -> None:
    task = RoutineTask(of="mount", task="grease", do="Grease it.", every_months=6, caution="Mind the belt.")
    oil = RoutineTask(of="mount", task="oil", do="Oil it.", every_nights=20)
    states = [
        TaskState(task=task, last_on=date(2025, 9, 1), due_on=date(2026, 3, 1), nights_since=None, due=True),
        TaskState(task=oil, last_on=None, due_on=None, nights_since=None, due=False),
    ]
    for shown in shown_by(lambda screen: show_schedule(screen, Schedule(name="Heron", states=states))):
        rows = shown.rows("task", "how often", "last done", "due on", "", "what to do")
        assert [list(row.values()) for row in rows][:2] == [
            ["grease", "every 6 months", "2025-09-01", "2026-03-01", "due", "Grease it."],
            ["oil", "every 20 nights", "not on record", "", "", "Oil it."],
        ]
        assert shown.words.endswith("! grease: Mind the belt.")
    for shown in shown_by(lambda screen: show_schedule(screen, Schedule(name="Cap"))):
        assert (shown.out, shown.notes) == ("", "There is no maintenance schedule for Cap.")
    for shown in shown_by(lambda screen: show_schedule(screen, Schedule(name=None, tasks=[task, oil]))):
        assert shown.in_order(
            "mount, grease: every 6 months Grease it. ! Mind the belt.", "mount, oil: every 20 nights", "Oil it.",
            "The maker's instructions come first.",
        )  # fmt: skip


def a_service(n: int, **changed: Any) -> ServiceLine:
    values: dict[str, Any] = {
        "kind": "mount", "name": "Heron", "done_on": date(2026, 1, 9 + n), "text": f"greased {n}", "mechanical": False,
        "by": None,
    }  # fmt: skip
    return ServiceLine(**(values | changed))


def test_services_stand_in_their_order_with_what_is_next() -> None:
    lines = [
        a_service(0, mechanical=True, by="Ines", cost=35.5, next_on=date(2026, 7, 1), next_after_nights=1,
                  next_when="loud"),
        a_service(1, next_after_nights=20), a_service(2, cost=0.0, next_when="it squeaks"), a_service(3),
    ]  # fmt: skip
    for shown in shown_by(lambda screen: show_services(screen, ServiceList(lines, "EUR"))):
        rows = shown.rows("day", "name", "what was done", "by", "cost", "next")
        assert [list(row.values()) for row in rows] == [
            ["2026-01-09", "Heron", "greased 0 (mechanical)", "Ines", "EUR 35.50",
             "2026-07-01, or after 1 night of use, or when loud"],
            ["2026-01-10", "Heron", "greased 1", "", "", "after 20 nights of use"],
            ["2026-01-11", "Heron", "greased 2", "", "EUR 0.00", "when it squeaks"],
            ["2026-01-12", "Heron", "greased 3", "", "", ""],
        ]  # fmt: skip
    for shown in shown_by(lambda screen: show_services(screen, ServiceList([], "EUR"))):
        assert (shown.out, shown.notes) == ("", "No services on record.")
    mending = a_service(0, mended=["ab12", "cd34"], next_after_nights=20)
    for shown in shown_by(lambda screen: show_service(screen, mending)):
        assert shown.in_order("2026-01-09 Heron: greased 0 mends ab12, cd34 next: after 20 nights of use")
    for shown in shown_by(lambda screen: show_service(screen, a_service(3))):
        assert shown.words == "2026-01-12 Heron: greased 3"


def test_the_tests_of_a_battery_stand_the_newest_first_and_the_warning_below() -> None:
    tests = [
        BatteryReading(date(2026, 2, 1), 12.7, 11.9, 58.0),
        BatteryReading(date(2025, 2, 1), None, 12.1, None),
    ]
    page = BatteryPage(
        name="Grey", tests=tests, fewest_percent=60.0, warning="replace it", cautions=("Mind it.", "Do.")
    )
    for shown in shown_by(lambda screen: show_battery(screen, page)):
        assert shown.lines[0] == "Grey"
        rows = shown.rows("day", "V at rest", "V under load", "capacity left, %")
        assert [list(row.values()) for row in rows][:2] == [
            ["2026-02-01", "12.7", "11.9", "58"], ["2025-02-01", "", "12.1", ""],
        ]  # fmt: skip
        assert shown.words.endswith("!! replace it Mind it. Do.")
    none = BatteryPage(name="Grey", tests=[], fewest_percent=60.0, warning=None, cautions=("Mind it.",))
    for shown in shown_by(lambda screen: show_battery(screen, none)):
        assert (shown.words, shown.notes) == ("Grey Mind it.", "No tests on record.")
