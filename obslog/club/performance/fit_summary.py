"""What mounts are compared by, out of their joint fits: all that is read of a mount that is not itself asked about."""

from dataclasses import dataclass
from datetime import date

from obslog.club.performance.placed_arrivals import OtherTube, PlacedArrivals
from obslog.pointing.joint_fit.answer import MechanicalFit, PointingFit
from obslog.pointing.misfit.findings import Finding
from obslog.pointing.misfit.found_changes import FoundChange
from obslog.values import Estimate, SetupId
from obslog.vocabulary.mounts import MountType


@dataclass(frozen=True, slots=True, kw_only=True)
class FitSummary:
    """A mount's set-ups in order of time, and what the fit says of each: lists of one length, (s,).

    `eras` number their mechanical eras from 0; `newest` is what belongs to the mount in the last of them.
    `findings` are what the fit leaves out, `changes` those of them that begin an era; `serviced_since` is the day of a
    mechanical service after the last set-up. It is of the set-ups with `tube`; `others` were on the mount too since the
    last service.
    """

    mount: str
    mount_type: MountType
    setups: list[SetupId]
    eras: list[int]
    arrivals: list[int]
    separations: list[Estimate]
    polar_altitudes: list[Estimate]
    newest: MechanicalFit
    findings: list[Finding]
    changes: list[FoundChange]
    serviced_since: date | None
    tube: str | None
    others: list[OtherTube]


def summary_of(
    placed: PlacedArrivals, fit: PointingFit, findings: list[Finding], changes: list[FoundChange]
) -> FitSummary:
    return FitSummary(
        mount=placed.mount,
        mount_type=placed.machine.mount_type,
        setups=placed.setups,
        eras=placed.era_of_setup.tolist(),
        arrivals=[setup.arrivals for setup in fit.setups],
        separations=[setup.separation for setup in fit.setups],
        polar_altitudes=[setup.polar_altitude for setup in fit.setups],
        newest=fit.mechanical[-1],
        findings=findings,
        changes=changes,
        serviced_since=placed.serviced_since,
        tube=placed.tube,
        others=placed.others,
    )
