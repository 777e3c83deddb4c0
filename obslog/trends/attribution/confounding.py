"""Levels of two factors that were never mixed, so that nobody can tell whose effect it is."""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

Codes = NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class Confounded:
    """Levels of the first factor that met only these of the second, and these only them.

    One and one: the two effects cannot be told apart at all. More: differences among them can, but not what they have
    in common.
    """

    factors: tuple[str, str]
    first: tuple[str, ...]
    second: tuple[str, ...]


def confounded_levels(codes: Mapping[str, Codes], names: Mapping[str, list[str]]) -> list[Confounded]:
    """The groups of levels, of each pair of factors, that stand apart from the rest of the club.

    `codes` has each set-up's level (n,), -1 where unknown; `names` the levels' names. The largest group of a pair is
    the club itself and is not listed, unless it too is one and one.
    """
    return [
        Confounded((one, other), tuple(names[one][a] for a in first), tuple(names[other][b] for b in second))
        for one, other in combinations(codes, 2)
        for first, second in _apart(codes[one], codes[other])
    ]


def _apart(one: Codes, other: Codes) -> list[tuple[Codes, Codes]]:
    """The groups that stand apart, as levels of the one and of the other, by connected components."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    met = (one >= 0) & (other >= 0)
    if not met.any():
        return []
    size, other_size = int(one.max()) + 1, int(other.max()) + 1
    nodes = size + other_size
    graph = coo_array((np.ones(met.sum()), (one[met], size + other[met])), shape=(nodes, nodes))
    _, group = connected_components(graph, directed=False)
    in_use = np.zeros(nodes, bool)
    in_use[one[met]] = in_use[size + other[met]] = True
    place = np.flatnonzero(in_use)
    place = place[np.argsort(group[place], kind="stable")]
    groups = np.split(place, np.flatnonzero(np.diff(group[place])) + 1)
    groups.sort(key=len)
    apart = groups if len(groups[-1]) == 2 else groups[:-1]
    return [(part[part < size], part[part >= size] - size) for part in apart]
