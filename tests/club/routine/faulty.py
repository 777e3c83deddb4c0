"""A faulty file: the fault that is meant is told once, on its line, with what to do, and safely for a terminal."""

from obslog.club.routine.routine_file import read_routine


def assert_told(text: str, line: int | None, words: str) -> None:
    """That the fault with those words is told, and that none is too long or unsafe to show."""
    read = read_routine(text)
    told = [fault for fault in read.faults if words in fault.message]
    assert [fault.line for fault in told] == [line], read.faults
    assert told[0].remedy
    assert all(len(f"{fault}") < 300 and f"{fault}".isprintable() for fault in read.faults)
