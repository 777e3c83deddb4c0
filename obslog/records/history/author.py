"""Who writes an act: the person at the keyboard, as they typed their name, and the machine."""

from dataclasses import dataclass
from uuid import UUID


@dataclass(frozen=True, slots=True)
class Author:
    """`who` is None where nobody has said who types here; `origin` where no machine is known."""

    who: str | None = None
    origin: UUID | None = None


NOBODY = Author()
