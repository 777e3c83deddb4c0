"""The club's file read: what it says, and every fault on its line with what to do."""

from pathlib import Path

import pytest

from obslog.club.routine.club_routine import shipped_routine
from obslog.club.routine.club_steps import Steps
from obslog.club.routine.condition_words import MeantWord
from obslog.club.routine.loan_terms import Terms
from obslog.club.routine.routine_file import MOST_BYTES, NoRoutineFile, read_routine, text_of_file
from obslog.club.routine.service_routine import RoutineTask
from obslog.vocabulary.mounts import MountType
from obslog.vocabulary.storeroom import Condition
from tests.club.routine.faulty import assert_told

WHOLE = """\
[checklist]
steps = ["pack", "dew-heaters", "level"]
[step.dew-heaters]
title = "Unplug the dew heaters"
do = "Pull both plugs."
mounts = ["fork", "german"]
about_the_mount = true
[step.level]
title = "Make it level"
[conditions]
fine = "sound"
"a bit scuffed" = "worn"
gone = "missing"
[loan]
days = 21
renewals = 2
agrees = ["I keep it dry.", "I bring it back."]
[[task]]
of = "Mount"
task = "Regrease"
every_months = 12
every_nights = 30
do = "New grease."
[[task]]
of = "tent"
task = "air"
when = "it is damp"
do = "Hang it up."
source = "we lost one"
"""
OWN_STEP = '[step.dew]\ntitle = "Dew"\ndo = "Pull."\n'


def faults(text: str) -> list[tuple[int | None, str]]:
    return [(fault.line, fault.message) for fault in read_routine(text).faults]


def test_a_whole_file_says_what_it_says() -> None:
    read = read_routine(WHOLE)
    assert read.faults == []
    steps = Steps(read.routine.steps)
    assert steps.keys == ["pack", "dew-heaters", "level"]
    assert len(steps.known) == 18  # 17 ship, and one is the club's own
    titles = [guide.title for guide in steps.guides(MountType.GERMAN)]
    assert titles == ["Pack box by box", "Unplug the dew heaters", "Make it level"]
    assert [guide.step for guide in steps.guides(MountType.ALTAZ)] == ["pack", "level"]
    assert not steps.of_people("dew-heaters")
    assert read.routine.words == (
        MeantWord("fine", Condition.GOOD),
        MeantWord("a bit scuffed", Condition.WORN),
        MeantWord("gone", Condition.MISSING),
    )
    assert read.routine.terms == Terms(("I keep it dry.", "I bring it back."), 2)
    assert read.routine.loan_days == 21
    assert read.routine.tasks == (
        RoutineTask(
            of="mount",
            task="regrease",
            do="New grease.",
            every_months=12,
            every_nights=30,
            source="the club's own",
        ),
        RoutineTask(of="tent", task="air", do="Hang it up.", when="it is damp", source="we lost one"),
    )


@pytest.mark.parametrize("text", ["", "# nothing\n", "[loan]\n"])
def test_a_part_that_is_not_there_is_as_it_ships(text: str) -> None:
    read = read_routine(text)
    assert read.faults == []
    assert read.routine == shipped_routine()


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        ("[loan]\ndays = \n", 2, "cannot be read as TOML"),
        ("[loan]\ndays = 3\ndays = 4\n", 3, "cannot be read as TOML"),
        (f"{OWN_STEP}{OWN_STEP}", 4, "cannot be read as TOML"),  # two steps of one name
        ("[[[[", 1, "cannot be read as TOML"),
        ("a = " + "[" * 5000, None, "nested far too deeply"),
        ("[loan]\ndays = 1" + "0" * 5000, None, "cannot be read as TOML"),
        ('[loan]\nagrees = ["a\x01b"]', 2, "cannot be read as TOML"),
    ],
)  # fmt: skip
def test_what_is_no_toml_is_told_with_its_line_where_that_is_known(
    text: str, line: int | None, words: str
) -> None:
    assert_told(text, line, words)


def test_all_faults_are_told_at_once_in_the_order_of_their_lines() -> None:
    text = '[loan]\ndays = 0\nagrees = []\n[conditions]\nfine = "so so"\n[[task]]\nof = 3\n'
    assert [line for line, _ in faults(text)] == [2, 3, 5, 6, 6, 6, 7]


def test_markup_is_a_text_as_any_other() -> None:
    read = read_routine('[step.pack]\ntitle = "<b>[red]{{ 7*7 }}"\n')
    assert read.faults == []
    assert read.routine.steps[0].title == "<b>[red]{{ 7*7 }}"


def test_a_long_name_is_not_said_back_whole() -> None:
    (fault,) = read_routine(f"[{'x' * 10_000}]\n").faults
    assert len(fault.message) < 100


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"\xff\xfe", "line 1 is not in UTF-8"),
        (b"a = 1\n\xe9", "line 2 is not in UTF-8"),
        (b"#" * (MOST_BYTES + 1), "far too large"),
    ],
)  # fmt: skip
def test_a_file_that_is_no_text_says_so(tmp_path: Path, content: bytes, words: str) -> None:
    file = tmp_path / "routine.toml"
    file.write_bytes(content)
    with pytest.raises(NoRoutineFile, match=words):
        text_of_file(file)


def test_a_file_that_is_not_there_says_so(tmp_path: Path) -> None:
    with pytest.raises(NoRoutineFile, match="no such file"):
        text_of_file(tmp_path / "none.toml")
    with pytest.raises(NoRoutineFile, match="it is a folder"):
        text_of_file(tmp_path)
    (tmp_path / "bom.toml").write_bytes(b"\xef\xbb\xbf[loan]\r\ndays = 3\r\n")
    assert read_routine(text_of_file(tmp_path / "bom.toml")).routine.loan_days == 3
