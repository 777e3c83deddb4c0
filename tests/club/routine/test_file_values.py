"""Values of the club's file: what is not known, of the wrong kind, or cannot be kept."""

import pytest

from tests.club.routine.faulty import assert_told

OWN_STEP = '[step.dew]\ntitle = "Dew"\ndo = "Pull."\n'


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        ("[loans]\ndays = 3\n", 1, "'loans' is not known here."),
        ("[loan]\nday = 3\n", 2, "'day' is not known here."),
        ('[step.pack]\nmounts = ["fork"]\n', 2, "'mounts' is not known here."),
        ('[checklist]\nsteps = ["pack"]\norder = 1\n', 3, "'order' is not known here."),
        ('[[task]]\nof="mount"\ntask="x"\ndo="y"\nevery_month = 3\n', 5, "'every_month' is not known here."),
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
        (f'[step.pack]\ntitle = "{"x" * 61}"\n', 2, "The title has 1 to 60 characters"),
        ('[step.pack]\ntitle = "a\\u0007b"\n', 2, "The title has 1 to 60 characters and no control characters."),
        ('[step.pack]\ntitle = "a\\u202Eb"\n', 2, "no control characters."),
        ('[step.pack]\ntitle = " "\n', 2, "The title has 1 to 60 characters"),
    ],
)  # fmt: skip
def test_a_value_that_cannot_be_taken_is_told_with_its_line(text: str, line: int | None, words: str) -> None:
    assert_told(text, line, words)
