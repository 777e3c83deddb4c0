"""What the records say of a mount before tonight's first star: its mechanics, and how its polar axis usually stands."""

from obslog.club.performance.mount_fits import MountFits, fits_from
from obslog.club.performance.placed_arrivals import NothingPlaced, PlacedArrivals
from obslog.english import counted
from obslog.pointing.joint_fit.answer import NothingMeasured
from obslog.pointing.model.frames import FloatArray
from obslog.pointing.planning.expected_landing import Knowledge
from obslog.pointing.tonight.mount_record import (
    FEWEST_FOR_A_HABIT,
    MountRecord,
    known_before,
    nothing_known,
    record_of,
)
from obslog.records.database import Database
from obslog.vocabulary.mounts import MountType


def what_is_known(
    records: Database | MountFits, mount: str, tube: str | None
) -> tuple[Knowledge, list[str], tuple[str, str | None]]:
    """What the records say of the mount before tonight's first star, and from what that is known."""
    with fits_from(records) as fits:
        name, machine = fits.machine_of(mount)
        try:
            placed, fit = fits.of(name, tube)
        except (NothingPlaced, NothingMeasured):
            return (
                known_before(machine, nothing_known()),
                ["no set-up of it is on record: errors of the usual size are assumed"],
                (name, tube),
            )
    count = int((placed.era_of_setup == placed.era_of_setup.max()).sum())
    record = record_of(fit, count, serviced_since=placed.serviced_since is not None)
    basis = [_mechanics_words(placed, count), _habit_words(record, machine.mount_type)]
    return known_before(machine, record), basis, (placed.mount, placed.tube)


def _mechanics_words(placed: PlacedArrivals, count: int) -> str:
    """Where cone, squareness and sag are known from: a service makes them unknown."""
    if placed.serviced_since:
        return (
            f"serviced on {placed.serviced_since} and not set up since: usual mechanical errors are assumed"
        )
    return f"cone error, squareness and sag from its own {counted(count, 'set-up')}"


def _habit_words(record: MountRecord, mount_type: MountType) -> str:
    """How its polar axis usually stands."""
    if record.habit_setups < FEWEST_FOR_A_HABIT:
        return f"too few set-ups determine its polar axis: the usual {record.habit_sd[0]:.0f}' is assumed"
    stood = stood_words(record.habit_mean, record.habit_sd, mount_type)
    return f"over {counted(record.habit_setups, 'set-up')} {stood}"


def stood_words(mean: FloatArray, sd: FloatArray, mount_type: MountType) -> str:
    """How an axis stood as a rule: too high or low and east or west, or how a base leaned."""
    sizes = [f"{abs(size):.0f} ± {spread:.0f}'" for size, spread in zip(mean, sd, strict=True)]
    if mount_type is MountType.ALTAZ:
        ways = "north" if mean[0] >= 0 else "south", "east" if mean[1] >= 0 else "west"
        return f"its base leaned {sizes[0]} to the {ways[0]} and {sizes[1]} to the {ways[1]}"
    ways = "high" if mean[0] >= 0 else "low", "east" if mean[1] >= 0 else "west"
    return f"its polar axis stood {sizes[0]} too {ways[0]} and {sizes[1]} too far {ways[1]}"
