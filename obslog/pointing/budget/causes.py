"""The causes of a budget in plain words, and what would remove each."""

from dataclasses import dataclass
from enum import StrEnum

from obslog.vocabulary.mistakes import MisfitKind
from obslog.vocabulary.mounts import MountType


class BudgetCause(StrEnum):
    """What adds to landing errors, as it is called on a screen."""

    POLAR = "polar axis"
    BASE = "lean of the base"
    CONE = "cone error"
    SQUARENESS = "squareness"
    SAG = "sag"
    REFRACTION = "refraction"
    SLACK = "slack"
    FLIP = "jump at the flip"
    READING = "reading"
    LOW_STARS = "low stars"
    WARMTH = "temperature"
    CENTRING = "centring of the syncs"
    SCATTER = "scatter"
    WRONG = "wrong arrivals"


OF_MISFIT = {
    MisfitKind.DIRECTION: BudgetCause.SLACK,
    MisfitKind.SIDE_OF_PIER: BudgetCause.FLIP,
    MisfitKind.OBSERVER: BudgetCause.READING,
    MisfitKind.ALTITUDE: BudgetCause.LOW_STARS,
    MisfitKind.TEMPERATURE: BudgetCause.WARMTH,
}

REMEDIES = {
    BudgetCause.POLAR: "set the polar axis closer: by drift, or by the pole clock of the checklist",
    BudgetCause.BASE: "level the base more closely, and look that it does not sink",
    BudgetCause.CONE: "square the tube to the declination axis in its cradle",
    BudgetCause.SQUARENESS: "have the two axes squared to each other; at night only syncs near the targets help",
    BudgetCause.SAG: "a stiffer saddle or a lighter load; at night syncs near the altitude of the targets help",
    BudgetCause.REFRACTION: "let the controller correct for refraction, or sync near the altitude of the targets",
    BudgetCause.SLACK: "balance, and take the slack up: end each go-to and each centring with the same keys",
    BudgetCause.FLIP: "sync again after each flip, and look at what shifts there: mirror, saddle, declination gear",
    BudgetCause.READING: "find out where the centre of the field really is: defocus a star until it fills the field",
    BudgetCause.LOW_STARS: "look whether the controller corrects for refraction (obslog mount edit --refraction)",
    BudgetCause.WARMTH: "let the tube cool first, and sync again while it cools",
    BudgetCause.CENTRING: "centre the stars of syncs at a higher magnification",
    BudgetCause.SCATTER: "nothing on record explains it: look at gears, clutches and how offsets are read",
    BudgetCause.WRONG: "make sure of each star before it is written down; obslog pointing fit names the doubtful ones",
}
SHIM = "shim the tube rings: obslog pointing fit --ring-spacing-mm says which and by how much"


@dataclass(frozen=True, slots=True)
class NamedCause:
    """A cause, and the person whose reading it is."""

    cause: BudgetCause
    who: str | None = None

    @property
    def words(self) -> str:
        return f"{self.cause} by {self.who}" if self.who else str(self.cause)


def remedy_words(cause: BudgetCause, mount_type: MountType) -> str:
    """What would remove it."""
    if cause is BudgetCause.CONE and mount_type is MountType.GERMAN:
        return SHIM
    return REMEDIES[cause]
