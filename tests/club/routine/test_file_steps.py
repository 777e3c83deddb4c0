"""The checklist in the club's file: what it refuses."""

import pytest

from obslog.club.routine.routine_file import read_routine
from tests.club.routine.faulty import assert_told

OWN_STEP = '[step.dew]\ntitle = "Dew"\ndo = "Pull."\n'


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
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
    ],
)  # fmt: skip
def test_a_checklist_that_cannot_be_followed_is_told_with_its_line(
    text: str, line: int | None, words: str
) -> None:
    assert_told(text, line, words)


def test_a_step_that_is_mistyped_gets_the_nearest() -> None:
    (fault,) = read_routine('[checklist]\nsteps = ["pack",\n"levle"]\n').faults
    assert (fault.line, fault.remedy.split("?")[0]) == (3, "Did you mean level")
