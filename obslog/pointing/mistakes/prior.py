"""How often a first star is spoilt by a mistake, and by which: what is judged beforehand, moved by what a club did."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from obslog.errors import WrongInput
from obslog.pointing.mistakes.words import WORDS
from obslog.vocabulary.mistakes import Cause

CONFIDENCE = 40.0
"""How many recorded mistakes the stated weights are worth."""
USUAL_RATE, RATE_SETUPS = 0.05, 40.0
"""One set-up in twenty begins with a mistake, and that is worth so many set-ups. Judged."""


class UnknownMistake(WrongInput):
    def __init__(self, name: str) -> None:
        super().__init__(f"There is no mistake named {name!r}.", f"It is one of: {', '.join(WORDS)}.")


@dataclass(frozen=True, slots=True)
class Past:
    """How often each mistake was made on past nights, and of how many set-ups the first star was measured."""

    counts: Mapping[Cause, int] = field(default_factory=dict)
    setups: int = 0


NO_PAST = Past()


def prior_shares(past: Past = NO_PAST) -> dict[Cause, float]:
    """How often each is behind a bad first star, adding up to 1: the stated weights, moved by the club's own past.

    Which mistake it is: the mean of a Dirichlet posterior, the weights worth 40 mistakes. Whether it is one at all: the
    odds of a mistake against an ordinary set-up grow as those of the club's rate, the mean of a Beta posterior in which
    one set-up in twenty is worth 40 set-ups. Without a past the shares are the stated ones. Raises UnknownMistake.
    Source: A. Gelman et al., Bayesian Data Analysis, 3rd ed. (2013), sections 2.4 and 3.4.
    """
    for name in past.counts:
        if name not in WORDS:
            raise UnknownMistake(name)
    total = sum(words.weight for words in WORDS.values())
    stated = {name: words.weight / total for name, words in WORDS.items()}
    made = sum(past.counts.values())
    mistakes = 1.0 - stated[Cause.ORDINARY]
    moved = {
        name: mistakes * (CONFIDENCE * share / mistakes + past.counts.get(name, 0)) / (CONFIDENCE + made)
        for name, share in stated.items()
        if name is not Cause.ORDINARY
    }
    rate = (RATE_SETUPS * USUAL_RATE + made) / (RATE_SETUPS + max(past.setups, made))
    growth = rate / (1.0 - rate) * (1.0 - USUAL_RATE) / USUAL_RATE
    whole = stated[Cause.ORDINARY] + growth * mistakes
    return {name: (growth * moved[name] if name in moved else stated[name]) / whole for name in WORDS}
