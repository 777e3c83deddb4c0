"""What the words of a coarse arrival say about its distance from the field's centre, as intervals in arcminutes."""

from collections.abc import Hashable, Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from obslog.vocabulary.arrivals import Landing

Array = NDArray[np.float64]

FINDER_RADIUS_ARCMIN = 150.0


def word_distances_arcmin(
    words: Sequence[str | None],
    field_arcmin: ArrayLike,
    finder_radius_arcmin: ArrayLike = FINDER_RADIUS_ARCMIN,
    centred_is_said: ArrayLike = False,
) -> tuple[Array, Array]:
    """Nearest and farthest distance (n,) that each of n words allows; `field_arcmin` is the true field's diameter.

    Centred: inside a quarter of the field's radius. In: inside it. Edge: 0.75 to 1.1 of it. Finder: outside it and
    inside the finder's field. Lost: beyond that, without end. Both are nan where there is no word, or where it needs
    a field that is not known (nan); `finder` without a field only says that the finder showed it.

    `centred_is_said` (n,) marks the arrivals of observers who say "centred" when it was: their "in" then means inside
    the field and not centred. Taking it as anywhere inside can make their landing error come out at half its size.
    """
    said = np.array([word or "" for word in words], dtype=str)
    radius = np.broadcast_to(np.asarray(field_arcmin, float) / 2, said.shape)
    finder = np.broadcast_to(np.asarray(finder_radius_arcmin, float), said.shape)
    meaning = {
        Landing.CENTRED: (0 * radius, radius / 4),
        Landing.IN: (np.where(centred_is_said, radius / 4, 0 * radius), radius),
        Landing.EDGE: (0.75 * radius, 1.1 * radius),
        Landing.FINDER: (np.nan_to_num(radius), finder),
        Landing.LOST: (finder, np.full(said.shape, np.inf)),
    }
    low, high = np.full(said.shape, np.nan), np.full(said.shape, np.nan)
    for word, (nearest, farthest) in meaning.items():
        here = (said == word.value) & (nearest < farthest)
        low, high = np.where(here, nearest, low), np.where(here, farthest, high)
    return low, high


def says_centred(observers: Sequence[Hashable], words: Sequence[str | None]) -> NDArray[np.bool_]:
    """Which of n arrivals belong to an observer who somewhere among them said "centred", (n,)."""
    who = {observer for observer, word in zip(observers, words, strict=True) if word == Landing.CENTRED}
    return np.array([observer in who for observer in observers], dtype=bool)
