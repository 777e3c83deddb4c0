"""What hides whether a mount changes by itself, in words: users, tubes or sites, and what would settle it."""

from obslog.club.over_time.own_trends import MountOwn
from obslog.english import counted
from obslog.trends.own.own_verdict import OwnTrend
from obslog.trends.series.theil_sen import Verdict

CHANGED_TOO = {
    "observer": (
        "its users changed with time, so that the mount's {} if they were known; a person who sets it up and other "
        "mounts too would settle it"
    ),
    "tube": (
        "its tubes changed with time, so that the mount's {} with one of them alone: a tube that is not square would "
        "look the same, and an evening or two with the earlier tube would settle it"
    ),
    "site": (
        "the sites where it was used changed with time, so that the mount's {} at one of them alone: a site where the "
        "pole is hidden, or that was keyed in wrongly, would look the same, and an evening or two at the earlier site "
        "would settle it"
    ),
}
"""What hides a mount's own slope, and what would settle it."""
CHANGED = {
    Verdict.CANNOT_TELL_TUBES: "its tubes changed too",
    Verdict.CANNOT_TELL_SITES: "the sites where it was used changed too",
}


def cannot_tell_words(
    mount: str, own: MountOwn, verdict: Verdict, *, newly: str, now: str, earlier: str
) -> str:
    """The sentence on a mount of which that cannot be told; how it lands `now`, and how `earlier` it did.

    Users who are not on record have not changed: nobody knows whether they did.
    """
    if verdict is Verdict.CANNOT_TELL and _known_to_change(own):
        return (
            f"Half of {mount}'s go-tos now land within {now}; {earlier}, but its users changed too: whether that is "
            "the mount or they cannot be told."
        )
    because = CHANGED.get(verdict) or _unknown_words(own)
    return (
        f"Whether {mount} itself gets worse{newly} cannot be told, for {because}: half of its go-tos now land within "
        f"{now}."
    )


def hidden_reason(own: MountOwn, trend: OwnTrend) -> str:
    """By how much the slope is hidden, and what would settle it."""
    unsure = f"own slope is {trend.told_apart:.1f} times as unsure as"
    if trend.hidden_by == "observer" and not _known_to_change(own):
        return (
            f"{_unknown_words(own)}, so that the mount's {unsure} if its users were known: where somebody still knows, "
            "obslog setup edit --observer settles it"
        )
    return CHANGED_TOO[trend.hidden_by].format(unsure)


def _known_to_change(own: MountOwn) -> bool:
    return len(own.observers) > 1 or not own.unsigned


def _unknown_words(own: MountOwn) -> str:
    if not own.observers:
        return "who set it up is not on record"
    count = own.trend.count if own.trend else own.unsigned
    return f"who set it up is on record of only {count - own.unsigned} of {counted(count, 'set-up')}"
