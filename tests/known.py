"""A value that a test knows to be there."""

from typing import TypeVar

Value = TypeVar("Value")


def known(value: Value | None) -> Value:
    """The value; fails where it is None."""
    assert value is not None, "it is not known"
    return value
