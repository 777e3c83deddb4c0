"""What to do next: at most three things, the gravest first, none of them twice."""

from dataclasses import replace
from datetime import date

from obslog.club.landing.error_budget import CauseLine, MountBudget
from obslog.club.pages.next_steps import next_steps
from obslog.club.review.review import Reviewed
from obslog.club.review.verdicts import Reason, Status
from obslog.values import Interval
from obslog.vocabulary.steps import Step
from tests.report.pictures.test_snag_steps import LEVEL, POWER, snags_at


def reviewed(*reasons: tuple[Status, str]) -> Reviewed:
    return Reviewed(
        name="Heron",
        kind="mount",
        status=max((status for status, _ in reasons), default=Status.READY),
        reasons=[Reason(status, 1.0, words, {}) for status, words in reasons],
        effect=None,
        setups_last_year=3,
        judged=True,
    )


def cause(name: str, without: float) -> CauseLine:
    return CauseLine(
        cause=name,
        adds_arcmin=Interval(5.0, 4.0, 6.0, 9),
        share=0.5,
        half_without_arcmin=Interval(without, without - 1, without + 1, 9),
        remedy=f"mend the {name}",
    )


def budget(*causes: CauseLine) -> MountBudget:
    """Half land within 20' now."""
    return MountBudget(
        mount="Heron",
        tube=None,
        since=date(2026, 1, 1),
        setups=9,
        go_tos=50,
        half_arcmin=Interval(20.0, 18.0, 22.0, 50),
        rms_arcmin=30.0,
        causes=list(causes),
        words=[],
    )


def test_a_mount_in_order_asks_for_nothing() -> None:
    assert next_steps(reviewed(), None, [], []) == []
    assert next_steps(reviewed(), budget(cause("sag", 19.5)), [], [POWER, LEVEL]) == []


def test_nothing_is_asked_of_a_mount_that_is_retired() -> None:
    retired = reviewed((Status.RETIRED, "retired on 2026-02-20"))
    assert next_steps(retired, budget(cause("cone error", 12.0)), [], [POWER, LEVEL]) == []


def test_the_review_comes_before_the_remedy_and_both_say_why() -> None:
    steps = next_steps(reviewed((Status.SERVICE, "it is worn")), budget(cause("cone error", 12.0)), [], [])
    assert [(step.what, step.why) for step in steps] == [
        ("Have it serviced", "it is worn"),
        (
            "Mend the cone error",
            "without cone error half of its go-tos would land within 12' instead of 20'",
        ),
    ]


def test_a_remedy_is_not_named_after_a_few_set_ups() -> None:
    few = replace(budget(cause("cone error", 12.0)), setups=3)
    assert next_steps(reviewed(), few, [], []) == []
    assert len(next_steps(reviewed(), replace(few, setups=4), [], [])) == 1


def test_one_service_does_for_all_reasons() -> None:
    steps = next_steps(reviewed((Status.SERVICE, "it is worn"), (Status.SERVICE, "it is late")), None, [], [])
    assert [(step.what, step.why) for step in steps] == [
        ("Have it serviced", "it is worn; and for 1 more reason")
    ]


def test_there_are_never_more_than_three() -> None:
    steps = next_steps(
        reviewed((Status.SERVICE, "it is worn"), (Status.WATCH, "it scatters")),
        budget(cause("cone error", 12.0), cause("sag", 13.0)),
        [],
        [snags_at(Step.POWER, 5, 5)],
    )
    assert [step.what for step in steps] == [
        "Have it serviced",
        "Mend the cone error",
        "Mend what is open at: The step power",
    ]
