"""Of several keys that are one record, the one that stands for all: pure, without a database."""

from collections.abc import Iterable


def representatives(pairs: Iterable[tuple[str, str]]) -> dict[str, str]:
    """For each key that is another name of a record, the key of the record that stands; from (gone, kept) pairs.

    What is one with the same record is one. Of several that would stand, or in a circle, it is the smallest.
    """
    leader: dict[str, str] = {}

    def find(key: str) -> str:
        while leader.setdefault(key, key) != key:
            leader[key] = leader[leader[key]]
            key = leader[key]
        return key

    once = sorted(set(pairs))
    for gone, kept in once:
        leader[find(gone)] = find(kept)
    groups: dict[str, list[str]] = {}
    for key in sorted(leader):
        groups.setdefault(find(key), []).append(key)
    never_gone = set(leader) - {gone for gone, _kept in once}
    standing: dict[str, str] = {}
    for keys in groups.values():
        stands = next((key for key in keys if key in never_gone), keys[0])
        standing |= {key: stands for key in keys if key != stands}
    return standing
