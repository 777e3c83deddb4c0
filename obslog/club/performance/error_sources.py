"""Whose error it is: the club's landing errors split among mounts, observers and sites."""

from dataclasses import dataclass

from obslog.club.performance.landing_errors import load_landings
from obslog.records.opening import Database
from obslog.trends.attribution.attribution import Attribution, attribute
from obslog.trends.attribution.confounding import Confounded

FACTORS = ("mount", "observer", "site")


@dataclass(frozen=True, slots=True)
class Share:
    """A source's share of the variance of log landing error; sd None where the data say nothing of it."""

    share: float
    sd: float | None
    determined: bool


@dataclass(frozen=True, slots=True)
class NamedEffect:
    """What one mount, observer or site does to the landing error: a factor with its interval.

    `worse` is the chance that it is really more than the club's average.
    """

    kind: str
    name: str
    ratio: float
    low: float
    high: float
    worse: float
    setups: int


@dataclass(frozen=True, slots=True)
class Whose:
    """The shares, the effects with the worst first, and what cannot be told apart."""

    setups: int
    attribution: dict[str, Share]
    effects: list[NamedEffect]
    cannot_tell: list[str]


def whose_error(database: Database) -> Whose:
    """Split the landing errors of all set-ups on record. Raises NothingToAttribute."""
    with database.read() as session:
        landings = load_landings(session)
    names: dict[str, list[str | None]] = {
        "mount": [setup.mount for setup in landings.setups],
        "observer": [setup.observer for setup in landings.setups],
        "site": [setup.site for setup in landings.setups],
    }
    found = attribute(landings.log_error, landings.errors.log_sd, names)
    return Whose(found.count, _shares(found), _effects(found), [_confounded(c) for c in found.confounded])


def _shares(found: Attribution) -> dict[str, Share]:
    return {
        source: Share(
            part.share.value, None if part.share.sd != part.share.sd else part.share.sd, part.share.determined
        )
        for source, part in found.components.items()
    }


def _effects(found: Attribution) -> list[NamedEffect]:
    effects = [
        NamedEffect(kind, e.name, e.ratio, e.low, e.high, e.worse, e.log.count)
        for kind in FACTORS
        for e in found.effects.get(kind, ())
    ]
    return sorted(effects, key=lambda effect: -effect.worse)


def _confounded(group: Confounded) -> str:
    """Two groups that only met each other, in words."""
    one, other = (" and ".join(names) for names in (group.first, group.second))
    if len(group.first) == len(group.second) == 1:
        return f"{one} was only ever with {other}: whose error it is cannot be told"
    return f"{one} were only ever with {other}: what they have in common cannot be told"
