"""Invented clubs with one disturbance each, and how often the verdict on a mount is right; for tests and for docs."""

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray
from scipy.stats import rayleigh

from obslog.trends.landings.few_arrivals import unbiased_logs
from obslog.trends.landings.landing_scale import landing_errors
from obslog.trends.own.club_model import ClubModel, fit_club
from obslog.trends.own.club_setups import ClubSetups, club_setups
from obslog.trends.own.own_trend import own_trends
from obslog.trends.own.own_verdict import OwnTrend
from obslog.trends.series.theil_sen import Verdict, theil_sen_slope, verdict_of

Array = NDArray[np.float64]
MOUNTS, NIGHTS, OBSERVERS = 20, 24, 10
CARELESS = 1.57


@dataclass(kw_only=True)
class Story:
    """Mounts (m, nights): the log of the true half-landing radius beside its usual level, who and how many arrivals."""

    years: Array
    extra: Array
    observer: NDArray[np.intp]
    arrivals: NDArray[np.intp]
    correlation: float = 0.0
    night_scatter: float = 0.2
    observer_effect: Array = field(default_factory=lambda: np.zeros(OBSERVERS))
    tube: NDArray[np.intp] | None = None


def plain(rng: Generator, nights: int = NIGHTS, arrivals: int = 8) -> Story:
    """Mounts set up once a month by people in turn, who differ by a fifth."""
    shape = MOUNTS, nights
    return Story(
        years=np.arange(nights) / 12,
        extra=np.zeros(shape),
        observer=rng.integers(0, OBSERVERS, shape),
        arrivals=np.full(shape, arrivals),
        observer_effect=0.2 * rng.normal(size=OBSERVERS),
    )


def autocorrelated(rng: Generator) -> Story:
    story = plain(rng)
    story.correlation = 0.4
    return story


def seasonal(rng: Generator) -> Story:
    """Worst in the winter, by a factor of 1.3 either way."""
    story = plain(rng)
    story.extra += np.log(1.3) * np.cos(2 * np.pi * story.years)
    return story


def careless_from_half_way(rng: Generator, nights: int = NIGHTS) -> Story:
    """Each mount has one user in its first half and another, less careful by 1.57, in its second; both have others.

    Half of the mounts go to the careless in their second half, the others are used in turn by everybody.
    """
    story = plain(rng, nights)
    half = nights // 2
    for mount in range(0, MOUNTS, 4):
        story.observer[mount, :half], story.observer[mount, half:] = 0, 1
    story.observer_effect[1] = story.observer_effect[0] + np.log(CARELESS)
    return story


def careless_seen_nowhere_else(rng: Generator) -> Story:
    """The same, but each such mount has a second user who is seen on no other mount."""
    story = plain(rng)
    half = NIGHTS // 2
    effects = [*story.observer_effect]
    for mount in range(0, MOUNTS, 4):
        story.observer[mount, :half], story.observer[mount, half:] = 0, len(effects)
        effects.append(effects[0] + np.log(CARELESS))
    story.observer_effect = np.array(effects)
    return story


def unequal(rng: Generator) -> Story:
    """From eight arrivals a night to one and two, or the other way."""
    story = plain(rng)
    fewer = np.r_[np.full(NIGHTS // 2, 8), rng.integers(1, 3, NIGHTS - NIGHTS // 2)]
    for mount in range(MOUNTS):
        story.arrivals[mount] = fewer if mount % 2 else fewer[::-1]
    return story


def gross_last(rng: Generator) -> Story:
    """Twelve nights, on the last of which all lands four times as far out."""
    story = plain(rng, 12)
    story.extra[:, -1] += np.log(4)
    return story


def doubling(rng: Generator) -> Story:
    """A fifth of the mounts doubles in two years."""
    story = plain(rng)
    story.extra[::4] += np.log(2) / 2 * story.years
    return story


def doubling_undisturbed(rng: Generator) -> Story:
    """The same, of people who are all alike."""
    story = doubling(rng)
    story.observer_effect = np.zeros(OBSERVERS)
    return story


def crooked_tube_from_half_way(rng: Generator) -> Story:
    """On a fifth of the mounts another tube from half way, with which all lands 2.5 times as far out."""
    story = plain(rng)
    story.tube = np.zeros(story.extra.shape, np.intp)
    story.tube[::4, NIGHTS // 2 :] = 1
    story.extra[story.tube == 1] += np.log(2.5)
    return story


def doubling_with_tubes_in_turn(rng: Generator) -> Story:
    """A fifth of the mounts doubles, and has two tubes in turn, with one of which all lands 2.5 times as far out."""
    story = doubling(rng)
    story.tube = np.zeros(story.extra.shape, np.intp)
    story.tube[::4, ::2] = 1
    story.extra[story.tube == 1] += np.log(2.5)
    return story


STORIES: dict[str, Callable[[Generator], Story]] = {
    "independent": plain,
    "autocorrelated 0.4": autocorrelated,
    "seasonal": seasonal,
    "careless user from half way": careless_from_half_way,
    "who has no other mount": careless_seen_nowhere_else,
    "unequal numbers of arrivals": unequal,
    "one gross last night of 12": gross_last,
    "crooked tube from half way": crooked_tube_from_half_way,
    "doubling in two years": doubling,
    "the same, all users alike": doubling_undisturbed,
    "the same, two tubes in turn": doubling_with_tubes_in_turn,
}
SOME_ONLY = (
    "careless user from half way",
    "who has no other mount",
    "crooked tube from half way",
    "doubling in two years",
    "the same, all users alike",
    "the same, two tubes in turn",
)


def setups_of(rng: Generator, story: Story) -> ClubSetups:
    """What the records would hold: radii from arrivals by Rayleigh's law."""
    mounts, nights = story.extra.shape
    scatter = rng.normal(size=(mounts, nights))
    for night in range(1, nights):
        fresh = np.sqrt(1 - story.correlation**2) * scatter[:, night]
        scatter[:, night] = story.correlation * scatter[:, night - 1] + fresh
    level = 2 + 0.3 * rng.normal(size=(mounts, 1))
    truth = level + story.extra + story.observer_effect[story.observer] + story.night_scatter * scatter
    count = story.arrivals.ravel()
    setup = np.repeat(np.arange(count.size), count)
    distance = rng.rayleigh(np.exp(truth.ravel()[setup]) / rayleigh.median())
    errors = landing_errors(setup, distance, distance, count.size)
    return club_setups(
        np.tile(story.years, mounts) + 2025,
        *unbiased_logs(errors),
        era=np.repeat(np.arange(mounts), nights).tolist(),
        observer=story.observer.ravel().tolist(),
        site=[0] * count.size,
        tube=None if story.tube is None else story.tube.ravel().tolist(),
    )


@dataclass(frozen=True)
class Counted:
    """Shares of the verdicts on the mounts that the story is of, as used and of their own."""

    mounts: int
    as_used: dict[Verdict, float]
    own: dict[Verdict, float]


def counted_verdicts(rng: Generator, name: str, clubs: int = 10) -> Counted:
    used: list[Verdict] = []
    own: list[Verdict] = []
    step = 4 if name in SOME_ONLY else 1
    for _ in range(clubs * step):
        setups = setups_of(rng, STORIES[name](rng))
        trends = own_trends(fit_club(setups))
        for mount in range(0, MOUNTS, step):
            mine = setups.era == mount
            plain_slope = theil_sen_slope(setups.years[mine], setups.log_error[mine])
            used.append(verdict_of(plain_slope, int(mine.sum())))
            own.append(trends[mount].verdict)
    return Counted(len(own), *({v: seen.count(v) / len(seen) for v in Verdict} for seen in (used, own)))


def fitted(rng: Generator, name: str) -> tuple[ClubModel, list[OwnTrend]]:
    model = fit_club(setups_of(rng, STORIES[name](rng)))
    return model, own_trends(model)
