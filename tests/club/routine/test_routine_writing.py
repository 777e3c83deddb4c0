"""The club's routine written down and read again: nothing is lost, whatever it says."""

from hypothesis import HealthCheck, given, settings

from obslog.club.routine.club_routine import ClubRoutine, shipped_routine
from obslog.club.routine.club_steps import SHIPPED_STEPS, StepEntry
from obslog.club.routine.routine_file import read_routine
from obslog.club.routine.routine_writing import written
from obslog.club.routine.service_routine import shipped_tasks
from tests.club.routine.routines import routines


@given(routines)
@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow])
def test_what_is_written_is_read_again(routine: ClubRoutine) -> None:
    read = read_routine(written(routine))
    assert read.faults == []
    assert read.routine == routine


def test_what_ships_is_written_with_words_for_each_part() -> None:
    text = written(shipped_routine())
    assert '  "pack",        # Pack box by box\n' in text
    for part in ("[checklist]", "[conditions]", "[loan]", "[[task]]"):
        before = text[: text.index(f"\n{part}\n")].splitlines()
        assert any(line.startswith("# ") for line in before[-15:]), part
    remarks = [line for line in text.splitlines() if line.startswith("#")]
    assert max(map(len, remarks)) <= 90


def test_a_step_that_is_left_out_is_told_of_in_a_remark() -> None:
    own = StepEntry(step="dew", title="Dew", do="Pull.", left_out=True)
    steps = (*SHIPPED_STEPS[1:], StepEntry(step="pack", left_out=True), own)
    text = written(ClubRoutine(steps=steps, tasks=shipped_tasks()))
    assert "# Left out of those that ship: pack\n" in text
    assert "[step.dew]\n# Left out: it is not in the list above.\n" in text


def test_the_example_in_the_file_is_a_step_that_can_be_loaded() -> None:
    text = written(shipped_routine())
    example = text[text.index("# [step.dew-heaters]") :].split("\n\n")[0].replace("# ", "")
    listed = '[checklist]\nsteps = ["dew-heaters"]\n'
    read = read_routine(listed + example)
    assert read.faults == []
    assert read.routine.steps[0].title == "Unplug the dew heaters"
