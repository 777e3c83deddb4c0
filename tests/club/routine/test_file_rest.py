"""Words for conditions, loan terms and tasks in the club's file: what they refuse."""

import pytest

from tests.club.routine.faulty import assert_told


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        ("[conditions]\n", 1, "No word means sound."),
        ('[conditions]\nfine = "sound"\n', 1, "No word means missing."),
        ('[conditions]\nfine = "so so"\n', 2, "'fine' means 'so so', which the program does not know."),
        ("[conditions]\nfine = 3\n", 2, "'fine' means 3, which the program does not know."),
        ('[conditions]\nGood = "broken"\n', 2, "'Good' is a word of the program's own and means sound"),
        ('[conditions]\nfine = "sound"\nFINE = "worn"\n', 3, "The word 'FINE' stands there twice."),
        ('[conditions]\n"a: b" = "sound"\n', 2, "The word 'a: b' has a sign in it that stands behind a part."),
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
def test_a_word_or_task_that_cannot_be_used_is_told_with_its_line(
    text: str, line: int | None, words: str
) -> None:
    assert_told(text, line, words)
