"""What stands above a plan of stars."""

from dataclasses import dataclass
from datetime import datetime

from obslog.club.register.observing_site import ObservingSite
from obslog.club.sky.by_day import by_day_words


@dataclass(frozen=True, slots=True)
class PlanHeading:
    """What is planned, where and for when; and by day, when the stars can be seen."""

    words: str
    by_day: str | None

    @classmethod
    def of(cls, what: str, view: ObservingSite, instant: datetime) -> "PlanHeading":
        words = f"{what} at {view.site}, {instant.astimezone(view.zone):%Y-%m-%d %H:%M}"
        return cls(words, by_day_words(view, instant))
