"""What stands above a plan of stars."""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from obslog.club.register.observing_site import ObservingSite
from obslog.club.sky.by_day import by_day_words, too_faint_words

if TYPE_CHECKING:
    from obslog.club.aligning.sync_star_plan import RunPage


@dataclass(frozen=True, slots=True)
class PlanHeading:
    """What is planned, where and for when; and by day or in twilight, when the stars can be seen."""

    words: str
    by_day: str | None

    @classmethod
    def of(cls, what: str, view: ObservingSite, instant: datetime) -> "PlanHeading":
        words = f"{what} at {view.site}, {instant.astimezone(view.zone):%Y-%m-%d %H:%M}"
        return cls(words, by_day_words(view, instant))

    @classmethod
    def of_run(cls, run: "RunPage", view: ObservingSite, instant: datetime) -> "PlanHeading":
        """The heading of a pointing run, whose later stars have their turn in a darker sky."""
        plain = cls.of(f"Pointing run of {run.mount}", view, instant)
        each = timedelta(minutes=run.minutes / len(run.stars))
        turns = [(instant + each * place, star.magnitude) for place, star in enumerate(run.stars)]
        return replace(plain, by_day=plain.by_day or too_faint_words(view, turns, typed=True))
