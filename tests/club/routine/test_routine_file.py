"""The club's file read: what it says, and every fault on its line with what to do."""

from pathlib import Path

import pytest

from obslog.club.routine.club_routine import shipped_routine
from obslog.club.routine.club_steps import Steps
from obslog.club.routine.condition_words import MeantWord
from obslog.club.routine.loan_terms import Terms
from obslog.club.routine.routine_file import MOST_BYTES, NoRoutineFile, read_routine, text_of_file
from obslog.club.routine.service_routine import RoutineTask
from obslog.vocabulary import Condition, MountType

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
        # what is no TOML
        ("[loan]\ndays = \n", 2, "cannot be read as TOML"),
        ("[loan]\ndays = 3\ndays = 4\n", 3, "cannot be read as TOML"),
        (f"{OWN_STEP}{OWN_STEP}", 4, "cannot be read as TOML"),  # two steps of one name
        ("[[[[", 1, "cannot be read as TOML"),
        ("a = " + "[" * 5000, None, "nested far too deeply"),
        ("[loan]\ndays = 1" + "0" * 5000, None, "cannot be read as TOML"),
        ('[loan]\nagrees = ["a\x01b"]', 2, "cannot be read as TOML"),
        # what is not known
        ("[loans]\ndays = 3\n", 1, "'loans' is not known here."),
        ("[loan]\nday = 3\n", 2, "'day' is not known here."),
        ('[step.pack]\nmounts = ["fork"]\n', 2, "'mounts' is not known here."),
        ('[checklist]\nsteps = ["pack"]\norder = 1\n', 3, "'order' is not known here."),
        ('[[task]]\nof="mount"\ntask="x"\ndo="y"\nevery_month = 3\n', 5, "'every_month' is not known here."),
        # wrong types
        ("checklist = 3\n", 1, "checklist is not a part of the file."),
        ("[checklist]\nsteps = 3\n", 2, "steps is not a list."),
        ('[checklist]\nsteps = ["pack",\n3]\n', 3, "The step 3 is not a text."),
        ('[loan]\ndays = "3"\n', 2, "The term '3' is not a whole number."),
        ("[loan]\ndays = true\n", 2, "The term True is not a whole number."),
        ("[loan]\ndays = 0\n", 2, "The term 0 is not between 1 and 3660 days."),
        ("[loan]\nrenewals = 1.5\n", 2, "The number of renewals 1.5 is not a whole number."),
        ('[loan]\nagrees = "yes"\n', 2, "agrees is not a list."),
        ("[loan]\nagrees = []\n", 2, "The borrower agrees to nothing."),
        ("task = 3\n", 1, "There is no task in it."),
        ("task = [3]\n", 1, "task is not a part of the file."),
        (f"{OWN_STEP}about_the_mount = 1\n", 4, "about_the_mount 1 is neither true nor false."),
        # texts that cannot be kept
        (f'[step.pack]\ntitle = "{"x" * 61}"\n', 2, "The title has 1 to 60 characters"),
        ('[step.pack]\ntitle = "a\\u0007b"\n', 2, "The title has 1 to 60 characters and no control characters."),
        ('[step.pack]\ntitle = "a\\u202Eb"\n', 2, "no control characters."),
        ('[step.pack]\ntitle = " "\n', 2, "The title has 1 to 60 characters"),
        # the checklist
        ("[checklist]\n", 1, "The checklist has no steps."),
        ("[checklist]\nsteps = []\n", 1, "The checklist has no steps."),
        ('[checklist]\nsteps = [\n"pack",\n"level",\n"pack"]\n', 5, "The step 'pack' is listed on line 3 already."),
        ('[checklist]\nsteps = ["pack", "dew"]\n', 2, "The step 'dew' does not ship, and nothing is said of it."),
        (OWN_STEP, 1, "The step dew has no place."),
        ('[step.dew]\ntitle = "Dew"\n[checklist]\nsteps = ["dew"]', 1, "The step dew has no do."),
        ('[step.Pack]\ntitle = "Van"\n', 1, "The step 'Pack' cannot be called so."),
        ('[step."dew heaters"]\ntitle = "Dew"\n', 1, "The step 'dew heaters' cannot be called so."),
        (f'[step.{"a-" * 20}x]\ntitle = "Dew"\n', 1, "cannot be called so."),
        ('[step.bead]\ntitle = "Dew"\n', 1, "The step 'bead' could be taken for the reference of a snag."),
        (
            '[checklist]\nsteps = ["dew"]\n[step.dew]\ntitle = "PACK box  by box"\ndo = "x"',
            4,
            "The steps pack and dew have the same title",
        ),
        ('[step.pack]\ntitle = "Level the base"\n', 2, "The steps level and pack have the same title"),
        (f'{OWN_STEP}mounts = ["fork", "tripod"]\n[checklist]\nsteps = ["dew"]', 4, "'tripod' is no type of a mount."),
        # words
        ("[conditions]\n", 1, "No word means sound."),
        ('[conditions]\nfine = "sound"\n', 1, "No word means missing."),
        ('[conditions]\nfine = "so so"\n', 2, "'fine' means 'so so', which the program does not know."),
        ("[conditions]\nfine = 3\n", 2, "'fine' means 3, which the program does not know."),
        ('[conditions]\nGood = "broken"\n', 2, "'Good' is a word of the program's own and means sound"),
        ('[conditions]\nfine = "sound"\nFINE = "worn"\n', 3, "The word 'FINE' stands there twice."),
        ('[conditions]\n"a: b" = "sound"\n', 2, "The word 'a: b' has a sign in it that stands behind a part."),
        # tasks
        ('[[task]]\nof = "mount"\ntask = "x"\ndo = "y"\n', 1, "It is not said how often the task is due."),
        (
            '[[task]]\nof = "mount"\ntask = "x"\ndo = "y"\nwhen = "z"\nevery_nights = 3\n',
            1,
            "A task is due by time or by a state, not by both.",
        ),
        ('[[task]]\nof = "item"\ntask = "x"\ndo = "y"\nwhen = "z"\n', 2, "An item is no category."),
        ('[[task]]\nof = "mount"\ntask = "x"\nwhen = "z"\n', 1, "The task has no do."),
        (
            '[[task]]\nof="mount"\ntask="x"\nwhen="z"\ndo="y"\n[[task]]\nof="MOUNT"\ntask="X"\nwhen="z"\ndo="y"\n',
            6,
            "The task 'x' of 'mount' stands there twice.",
        ),
    ],
)  # fmt: skip
def test_each_fault_is_told_with_its_line_and_what_to_do(text: str, line: int | None, words: str) -> None:
    read = read_routine(text)
    told = [fault for fault in read.faults if words in fault.message]
    assert [fault.line for fault in told] == [line], read.faults
    assert told[0].remedy
    assert all(len(f"{fault}") < 300 and f"{fault}".isprintable() for fault in read.faults)


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
    with pytest.raises(NoRoutineFile, match="No such file"):
        text_of_file(tmp_path / "none.toml")
    with pytest.raises(NoRoutineFile, match="directory"):
        text_of_file(tmp_path)
    (tmp_path / "bom.toml").write_bytes(b"\xef\xbb\xbf[loan]\r\ndays = 3\r\n")
    assert read_routine(text_of_file(tmp_path / "bom.toml")).routine.loan_days == 3
