"""A finding says all that is needed to act on it."""

from obslog.records.care.finding import Finding


def test_what_is_not_said_is_nothing() -> None:
    found = Finding(subject="room", what="Little room.", count=1, advice="Free some.", grave=False)
    assert (found.example, found.repairable, found.lines) == (None, False, [])
