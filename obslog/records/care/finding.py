"""Something that a full check has found."""

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """What was found, how often, an example, and what to do about it.

    A `grave` one means that records are lost, wrong or cannot be found; the others are worth knowing. `repairable` is
    true of what `db check --repair` puts right. `lines` are the single cases, where each has a line of its own.
    """

    subject: str
    what: str
    count: int
    advice: str
    grave: bool
    example: str | None = None
    repairable: bool = False
    lines: list[str] = field(default_factory=list)
