"""Whether the nights of a mount are enough for a verdict on it, and what it wants where they are not."""

from obslog.club.register.rule_book import Rules
from obslog.club.review.verdicts import MountEvidence, Reason, Status, Wanting
from obslog.english import counted
from obslog.errors import quoted

FEWEST_NIGHTS = 2


def wanting_to_judge(mount: MountEvidence, rules: Rules) -> Wanting | None:
    """Several set-ups on several nights by several observers: never a verdict from one night or one borrower.

    A mount that goes to nothing needs none: there is no pointing of it to judge.
    """
    if not mount.goes_to:
        return None
    if mount.setups < rules["fewest-setups"] or mount.nights < FEWEST_NIGHTS:
        return Wanting.SETUPS
    if mount.observers < rules["fewest-observers"]:
        return Wanting.OTHERS if mount.observers else Wanting.NAMES
    return None


def not_judged(name: str, mount: MountEvidence, wanting: Wanting) -> Reason:
    setups = f"{counted(mount.setups, 'set-up')} with landings{since_words(mount)}{_on_one_night(mount)}"
    if wanting is Wanting.SETUPS:
        site = quoted(mount.usual_site) if mount.usual_site else "SITE"
        by = f" by {counted(mount.observers, 'observer')}" if mount.observers else ""
        words = (
            f"{setups}{by}: too few to judge; a pointing run tells most in one evening: "
            f"obslog pointing run-plan {quoted(name)} --site {site}"
        )
    elif wanting is Wanting.NAMES:
        words = (
            f"who set it up is on record of none of its {setups}: all may be by one person; note it: "
            f"obslog setup edit {quoted(name)} --night DATE --observer NAME"
        )
    else:
        whose = "one person" if mount.observers == 1 else counted(mount.observers, "observer")
        them = "the person" if mount.observers == 1 else "the people"
        unsigned = f", and of {mount.unsigned} it is not on record by whom" if mount.unsigned else ""
        by = f"{mount.setups - mount.unsigned} of its {setups}" if mount.unsigned else f"all {setups}"
        words = f"{by} by {whose}{unsigned}: it may be {them}; let somebody else set it up once"
    return Reason(Status.WATCH, 1, words, {"setups": mount.setups, "observers": mount.observers})


def _on_one_night(mount: MountEvidence) -> str:
    return " on one night" if mount.nights == 1 and mount.setups > 1 else ""


def since_words(mount: MountEvidence) -> str:
    """From which service on its set-ups count; nothing where it had none."""
    return f" since the service of {mount.serviced_on}" if mount.serviced_on else ""
