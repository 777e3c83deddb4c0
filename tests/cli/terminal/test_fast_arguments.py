"""A word of a fixed list that is mistyped is answered with the nearest, in two short lines."""

import pytest

from obslog.vocabulary.steps import Step
from tests.cli.program import Program

STEPS = f"Steps: {', '.join(Step)}."
NEAREST = [
    ("snag add levle fog", "There is no step named 'levle'.", f"Did you mean level? {STEPS}"),
    ("snag add polraxis off", "There is no step named 'polraxis'.", f"Did you mean polar-axis? {STEPS}"),
    ("snag add balence off", "There is no step named 'balence'.", f"Did you mean balance? {STEPS}"),
    ("checklist Heron --tick keyni", "There is no step named 'keyni'.", f"Did you mean key-in? {STEPS}"),
    ("saw M1 --by starhpo", "--by cannot be 'starhpo'.", "Did you mean star-hop?"),
    ("observation edit 1 --sighting sean", "--sighting cannot be 'sean'.", "Did you mean seen?"),
    ("mount edit Heron --type xyz", "--type cannot be 'xyz'.", "Give one of: german, fork, altaz."),
    ("look purple", "LOOK cannot be 'purple'.", "Give one of: usual, red, plain."),
    ("snag add zzz fog", "There is no step named 'zzz'.", STEPS),
]


@pytest.mark.parametrize(("line", "what", "hint"), NEAREST)
def test_a_mistyped_word_gets_the_nearest(outside: Program, line: str, what: str, hint: str) -> None:
    answer = outside(*line.split())
    assert (answer.code, answer.error_lines) == (2, [what, hint])


@pytest.mark.parametrize("step", [step for word in Step for step in (word, word.upper(), word.title())])
def test_the_case_of_a_word_does_not_matter(outside: Program, step: str) -> None:
    assert outside.document("snag", "add", step, "fog")["step"] == step.lower()


def test_every_step_is_in_the_help_to_which_the_hint_points(outside: Program) -> None:
    for words in (("snag", "add"), ("checklist",)):
        told = " ".join(outside.must(*words, "--help").out.split()).replace("- ", "-")
        assert all(step in told for step in Step)


@pytest.mark.parametrize(
    ("line", "what", "command"),
    [
        ("setup edit --note", "Option '--note' requires an argument.", "obslog setup edit"),
        ("sync Vega 1E --at", "Option '--at' requires an argument.", "obslog sync"),
        ("setup end --json=yes", "Option '--json' does not take a value.", "obslog setup end"),
    ],
)
def test_what_is_left_out_is_named_with_the_help_of_that_command(
    outside: Program, line: str, what: str, command: str
) -> None:
    answer = outside(*line.split())
    assert (answer.code, answer.error_lines) == (2, [what, f"See its help: {command} --help"])
