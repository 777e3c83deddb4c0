"""Numbers and lists of names in English sentences."""

from collections.abc import Sequence


def counted(number: int, one: str, many: str | None = None) -> str:
    """`1 loan`, `3 loans`."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def enumerated(names: Sequence[str]) -> str:
    """`Heron`, `Heron and Anvil`, `Heron, Anvil and Kelp`; empty of none."""
    *others, last = names or ("",)
    return f"{', '.join(others)} and {last}" if others else last


def capitalised(words: str) -> str:
    """`Not dark` of `not dark`: as a sentence begins, the rest as it is."""
    return words[:1].upper() + words[1:]


def how_often(count: int) -> str:
    """`once`, `twice`, `3 times`."""
    return {1: "once", 2: "twice"}.get(count, f"{count} times")


def with_article(noun: str) -> str:
    """`a mount`, `an item`."""
    return f"an {noun}" if noun[0] in "aeiou" else f"a {noun}"
