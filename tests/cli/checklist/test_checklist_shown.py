"""The checklist, read back from the screen at every width and held against one made by hand."""

from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any

from obslog.cli.checklist.checklist import show_checklist_or_tick
from obslog.club.checklist.checklist import Checklist, ChecklistStep
from obslog.club.checklist.past_snags import PastSnags
from obslog.club.checklist.step_ticks import Ticked, TickLine
from obslog.vocabulary.steps import Step
from tests.cli.checklist.briefings import due, loan, look_first
from tests.cli.program import Program
from tests.cli.screens import Shown, screens, shown_by

EVENING = datetime(2026, 3, 2, 19, 0, tzinfo=UTC)
LAST, BEFORE = datetime(2026, 2, 20, 21, tzinfo=UTC), datetime(2026, 1, 5, 21, tzinfo=UTC)


def a_step(order: int, step: Step, **changed: Any) -> ChecklistStep:
    values: dict[str, Any] = {
        "order": order, "step": step, "title": f"Title {order}", "do": f"Do it {order}.",
        "tolerance": f"to {order}°", "why": f"it matters {order}.", "values": [], "snags": [], "tick": None,
    }  # fmt: skip
    return ChecklistStep(**(values | changed))


def past(name: str, count: int, setups: int, last: datetime = LAST, remedy: str | None = None) -> PastSnags:
    return PastSnags(
        about="mount",
        name=name,
        count=count,
        setups=setups,
        last=last,
        last_text="slipped",
        last_remedy=remedy,
    )


def a_checklist(*steps: ChecklistStep, **changed: Any) -> Checklist:
    values: dict[str, Any] = {
        "mount": "Heron", "site": "Mill Field", "member": "Ines", "at_utc": EVENING, "local": "2026-03-02 21:00",
        "by_day": None, "caution": "Mind the Sun.", "steps": list(steps),
    }  # fmt: skip
    return Checklist(**(values | changed))


def made_shown(made: Checklist | TickLine, *, short: bool = False) -> Iterator[Shown]:
    return shown_by(lambda screen: show_checklist_or_tick(screen, made, short))


def test_while_the_sun_is_up_that_is_said_first() -> None:
    for shown in made_shown(a_checklist(by_day="The Sun is up.")):
        assert shown.words.startswith("The Sun is up. Mind the Sun. Checklist:")


def test_all_of_a_step_stands_under_its_title() -> None:
    one = a_step(
        1, Step.POWER, values=["12.6 V", "12.1 V"], snags=[past("Heron", 3, 9, remedy="tightened"), past("Ines", 2, 7)]
    )  # fmt: skip
    for shown in made_shown(a_checklist(one, a_step(12, Step.LEVEL))):
        assert shown.in_order(
            "Mind the Sun. Checklist: Heron at Mill Field, 2026-03-02 21:00, Ines",
            "1. Title 1 [to 1°]", "Do it 1.", "> 12.6 V", "> 12.1 V",
            "! Heron: 3 times in 9 set-ups, last 2026-02-20: slipped (remedy: tightened)",
            "! Ines: twice in 7 set-ups, last 2026-02-20 Why: it matters 1.",
            "12. Title 12 [to 12°]", "Do it 12.", "Why: it matters 12.",
        )  # fmt: skip
        assert "Look first" not in shown.words
        titles = [line for line in shown.lines if "Title" in line]
        assert [line.index(".") for line in titles] == [2, 2]
        assert [line.index("D") for line in shown.lines if "Do it" in line] == [4, 4]


def test_the_last_snag_is_told_once_and_another_one_for_itself() -> None:
    snags = [past("Heron", 1, 1), past("Mill Field", 4, 1, LAST), past("Ines", 5, 6, BEFORE)]
    for shown in made_shown(a_checklist(a_step(1, Step.POWER, snags=snags)), short=True):
        assert shown.in_order(
            "! Heron: once in 1 set-up, last 2026-02-20: slipped",
            "! Mill Field: 4 times in 1 set-up, last 2026-02-20 !",
            "Ines: 5 times in 6 set-ups, last 2026-01-05: slipped",
        )


def test_the_short_one_leaves_out_what_to_do_and_why() -> None:
    steps = [a_step(1, Step.POWER, values=["12.6 V"]), a_step(2, Step.LEVEL)]
    for shown in made_shown(a_checklist(*steps, member=None), short=True):
        assert shown.in_order("Mill Field, 2026-03-02 21:00 1. Title 1", "> 12.6 V", "2. Title 2")
        assert "Do it" not in shown.words
        assert "Why" not in shown.words
        assert "" not in shown.lines, "no empty lines between short steps"
    for shown in made_shown(a_checklist(*steps, look_first=[look_first(Step.POWER, 0.9)]), short=True):
        gap = shown.lines.index("", shown.lines.index("Look first:"))
        assert shown.lines[gap + 1].startswith(" 1. Title 1")
    for shown in made_shown(a_checklist(*steps)):
        assert shown.lines.count("") == 2, "one before each step"


def test_what_is_due_and_where_to_look_first_stand_above_the_steps() -> None:
    made = a_checklist(
        a_step(1, Step.POWER), notices=[loan("The finder is out"), due("Heron is due")],
        look_first=[look_first(Step.POWER, 0.9, last_remedy="tighten"), look_first(Step.LEVEL, 0.8)],
    )  # fmt: skip
    for short in (True, False):
        for shown in made_shown(made, short=short):
            assert shown.in_order(
                "! The finder is out ! Heron is due Look first:",
                "!! Check power: power wrong often (last on 2026-02-20; remedy: tighten)",
                "!! Check level: level wrong often 1. Title 1",
            )
            assert [line[:4] for line in shown.lines if "!!" in line] == ["  !!"] * 2


def test_a_ticked_step_says_how_it_went() -> None:
    ticks = [
        (Ticked(EVENING, True, "12.6 12.1"), "- done: 12.6 12.1"), (Ticked(EVENING, None, None), "- done"),
        (Ticked(EVENING, False, None), "- went WRONG"), (Ticked(EVENING, False, "3°"), "- went WRONG: 3°"), (None, ""),
    ]  # fmt: skip
    for tick, words in ticks:
        for shown in made_shown(a_checklist(a_step(1, Step.POWER, tick=tick)), short=True):
            assert shown.words.endswith(f"1. Title 1 [to 1°] {words}".strip())


def test_a_tick_is_confirmed_with_what_it_is_about() -> None:
    values: dict[str, Any] = {"step": Step.POWER, "mount": "Heron", "site": "Mill Field", "at_utc": EVENING}
    for changed, words in (
        (
            {"member": "Ines", "went_well": True, "value": "12.6"},
            "power: done, 12.6 (Heron, Ines, Mill Field)",
        ),
        ({"member": None, "went_well": None, "value": None}, "power: done (Heron, Mill Field)"),
        ({"member": None, "went_well": False, "value": None}, "power: went WRONG (Heron, Mill Field)"),
    ):
        for shown in made_shown(TickLine(**values, **changed)):
            assert shown.words == words


def test_a_snag_is_told_by_the_day_of_the_site(in_club: Program) -> None:
    # Half past eleven in the evening in universal time is half past one the day after, two hours to the east.
    in_club.now = datetime(2026, 2, 27, 23, 30, tzinfo=UTC)
    in_club.must("night", "start", "Kestrel Ridge")
    in_club.must("snag", "add", "cables", "plug loose", "--mount", "Heron")
    for shown in screens(in_club.environment, EVENING, "checklist", "Heron", "--site", "Kestrel Ridge"):
        assert "Heron: once in 0 set-ups, last 2026-02-28: plug loose" in shown.words


def test_what_is_wrapped_stands_further_in_than_it_began() -> None:
    long = "word " * 12
    step = a_step(
        1, Step.POWER, title=f"Title {long}", do=f"Do {long}", why=long, values=[f"volts {long}"],
        snags=[past(f"Heron {long}", 1, 1)],
    )  # fmt: skip
    begin = {"1. Title": (1, 4), "Do word": (4, 4), "> volts": (4, 6), "! Heron": (4, 6), "Why:": (4, 9)}
    for shown in made_shown(a_checklist(step)):
        for text, (indent, wrapped) in begin.items():
            place = next(n for n, line in enumerate(shown.lines) if line.strip().startswith(text))
            depths = [len(line) - len(line.lstrip()) for line in shown.lines[place : place + 2]]
            assert depths[0] == indent, text
            assert shown.width != 40 or depths[1] == wrapped, text
