"""Where to look first: the steps at which this mount, member or site goes wrong more often than it should."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from uuid import UUID

import numpy as np
from sqlalchemy.orm import Session

from obslog.club.checklist.first_stars import beginnings
from obslog.club.checklist.measured_faults import (
    MEASURED,
    note_explained_first_stars,
    note_far_landings,
    note_former_mounts,
    note_lost_first_stars,
    note_polar_errors,
)
from obslog.club.checklist.recurring_faults import FEWEST_TIMES, evidence_words, main_trouble
from obslog.club.checklist.setup_outcomes import Occasion, Occasions, note_restarts, note_snags, note_ticks
from obslog.club.performance.mount_levels import mount_levels
from obslog.club.performance.polar_record import PolarRecord
from obslog.club.performance.snapshot import Snapshot
from obslog.club.routine.step_guides import StepGuide
from obslog.trends.series.forgetting_rates import BetaRate, faded_counts, learned_rate, rate_of_others
from obslog.vocabulary.steps import Step, StepKey

WORSE_THAN = 0.08
"""A step that goes wrong more often than one night in twelve is worth looking at first."""
SURE_FROM = 0.5
MOST_STEPS = 5
YEAR_DAYS = 365


@dataclass(frozen=True, slots=True)
class Subject:
    """Whom or what a rate is of: the mount, the member or the site of tonight."""

    about: str
    name: str
    key: UUID


@dataclass(frozen=True, slots=True, kw_only=True)
class LookFirst:
    """A step to look at first: `rate` with its 95 % interval, how likely it is above `worse_than`, and on what grounds.

    `wrong` of `nights` are those of the last year, or of the whole record where the year has none; a night counts once
    for each mount and member.
    """

    step: StepKey
    title: str
    about: str
    name: str
    evidence: str
    wrong: int
    nights: int
    rate: float
    sd: float
    low: float
    high: float
    worse_than: float
    probability: float
    last_night: date
    last_text: str
    last_remedy: str | None


def look_first_words(one: LookFirst) -> str:
    """The line of a step to look at first; a remedy with the night of its trouble, for it may be the wrong one tonight.

    The night is not that of the remedy, which may have come weeks later.
    """
    remedy = f" (last on {one.last_night}; remedy: {one.last_remedy})" if one.last_remedy else ""
    return f"{one.title}: {one.evidence}{remedy}"


def club_occasions(
    session: Session, snapshot: Snapshot, polar: Iterable[PolarRecord], until: date
) -> list[Occasion]:
    """All occasions up to a night, with what went wrong from snags, ticks, first stars, landings and the polar axis."""
    occasions, begun = Occasions(session, until), beginnings(snapshot)
    note_snags(session, occasions)
    note_ticks(session, occasions)
    far = note_lost_first_stars(session, begun, occasions)
    landings = snapshot.all_landings()
    note_far_landings(landings, occasions)
    done = {key: [day for day in days if day <= until] for key, days in snapshot.services.items()}
    note_former_mounts(landings, mount_levels(landings, done, snapshot.tubes), occasions)
    note_explained_first_stars(session, far)
    for record in polar:
        note_polar_errors(occasions, record)
    note_restarts(begun, occasions)
    return list(occasions)


def look_first(
    occasions: Sequence[Occasion], subjects: Iterable[Subject], guides: Sequence[StepGuide], night: date
) -> list[LookFirst]:
    """The steps whose rate is more likely than not above WORSE_THAN for any of the subjects, the likeliest first.

    A step stands there once, for the subject that speaks loudest.
    """
    found = [one for subject in subjects for one in _of_any(occasions, subject, guides, night)]
    found.sort(key=lambda one: -one.probability)
    kept: dict[StepKey, LookFirst] = {}
    for one in found:
        kept.setdefault(one.step, one)
    return list(kept.values())[:MOST_STEPS]


def _of_any(
    occasions: Sequence[Occasion], subject: Subject, guides: Sequence[StepGuide], night: date
) -> list[LookFirst]:
    """A mount lands as it is now: where its go-tos fell before it was mended, or with another tube, is not told."""
    if subject.about != "mount":
        return _of_subject(occasions, subject, guides, night)
    now = [one for one in occasions if not (one.former and one.mount_id == subject.key)]
    verify = [guide for guide in guides if guide.step == Step.VERIFY]
    others = [guide for guide in guides if guide.step != Step.VERIFY]
    with_tube = next(
        (one.with_tube for one in now[::-1] if one.mount_id == subject.key and one.with_tube), ""
    )
    landing = replace(subject, name=f"{subject.name}{with_tube.replace(' with ', ' and ', 1)}")
    told = [replace(one, name=subject.name) for one in _of_subject(now, landing, verify, night)]
    return [*told, *_of_subject(occasions, subject, others, night)]


def _of_subject(
    occasions: Sequence[Occasion], subject: Subject, guides: Sequence[StepGuide], night: date
) -> list[LookFirst]:
    key = f"{subject.about}_id"
    mine = np.array([getattr(one, key) == subject.key for one in occasions], bool)
    if not mine.any():
        return []
    steps = [guide.step for guide in guides]
    age_days = np.array([(night - one.night_of).days for one in occasions], float)
    wrong = np.zeros((len(occasions), len(steps)))
    column = {step: place for place, step in enumerate(steps)}
    for row, one in enumerate(occasions):
        for step in one.wrong:
            if step in column:
                wrong[row, column[step]] = _counts(one, step, subject)
    rates = learned_rate(
        rate_of_others(*faded_counts(age_days[~mine], wrong[~mine])),
        *faded_counts(age_days[mine], wrong[mine]),
    )
    own = [one for one, is_mine in zip(occasions, mine, strict=True) if is_mine]
    often = wrong[mine].sum(axis=0) >= FEWEST_TIMES
    chosen = np.flatnonzero(often & (rates.chance_above(WORSE_THAN) > SURE_FROM))
    return [_line(own, subject, guides[place], rates.of(place), night) for place in chosen.tolist()]


def _counts(occasion: Occasion, step: StepKey, subject: Subject) -> bool:
    """Whether a step went wrong in a way that can be this subject's: no mount's measured errors are a site's."""
    wrong = occasion.wrong.get(step)
    return wrong is not None and not (subject.about == "site" and wrong.cause in MEASURED)


def _line(
    own: Sequence[Occasion], subject: Subject, guide: StepGuide, rate: BetaRate, night: date
) -> LookFirst:
    window = [one for one in own if (night - one.night_of).days <= YEAR_DAYS]
    if sum(_counts(one, guide.step, subject) for one in window) < FEWEST_TIMES:
        window = list(own)
    wrongs = [(one.night_of, one.wrong[guide.step]) for one in window if _counts(one, guide.step, subject)]
    main = main_trouble([wrong for _, wrong in wrongs], guide.title)
    last_night, last = [(day, wrong) for day, wrong in wrongs if main.covers(wrong)][-1]
    low, high = (end.item() for end in rate.interval())
    return LookFirst(
        step=guide.step,
        title=guide.title,
        about=subject.about,
        name=subject.name,
        evidence=evidence_words(
            main,
            len(window),
            subject.about,
            subject.name,
            each_a_night=len({one.night_of for one in window}) == len(window),
        ),
        wrong=len(wrongs),
        nights=len(window),
        rate=rate.mean.item(),
        sd=rate.sd.item(),
        low=low,
        high=high,
        worse_than=WORSE_THAN,
        probability=rate.chance_above(WORSE_THAN).item(),
        last_night=last_night,
        last_text=last.text,
        last_remedy=last.remedy,
    )
