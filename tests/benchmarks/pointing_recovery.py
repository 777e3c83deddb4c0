"""Prints how well the joint fit recovers invented clubs: `python -m tests.benchmarks
pointing_recovery`.

For each kind of club: the mean and root mean square of (estimate - truth) / sd, and the share within 1.96 sd,
for polar errors and for mechanical errors; wrong arrivals found, and good arrivals suspected.
"""

from typing import Any

import numpy as np

from obslog.pointing.joint_fit.answer import PointingFit
from obslog.pointing.joint_fit.arrivals import Machine
from obslog.pointing.joint_fit.fit import fit_pointing
from obslog.vocabulary.mounts import MountType
from tests.pointing.joint_fit.pointing_clubs import Club, simulate

CLUBS = 200
GERMAN = Machine(MountType.GERMAN)
KINDS: list[tuple[str, Machine, dict[str, Any]]] = [
    ("german, 8 set-ups of 6 checks", GERMAN, {}),
    ("the same with 5% wrong", GERMAN, {"wrong_share": 0.05}),
    ("noise 4', 10% wrong", GERMAN, {"noise_arcmin": 4.0, "wrong_share": 0.1}),
    ("polar errors of 100'", GERMAN, {"polar_sd_arcmin": 100.0}),
    ("three syncs, 5% wrong", GERMAN, {"syncs": 3, "wrong_share": 0.05}),
    ("40 set-ups of 4 checks, 5% wrong", GERMAN, {"setups": 40, "checks": 4, "wrong_share": 0.05}),
    ("one set-up of 6 checks", GERMAN, {"setups": 1}),
    ("fork, latitude -33", Machine(MountType.FORK), {"lat_deg": -33.0}),
    ("alt-azimuth, refraction corrected", Machine(MountType.ALTAZ, corrects_refraction=True), {}),
]


def scores(fit: PointingFit, club: Club) -> tuple[list[float], list[float]]:
    polar = [
        (estimate.value - true) / estimate.sd
        for setup, truth in zip(fit.setups, club.polar, strict=True)
        for estimate, true in zip((setup.polar_altitude, setup.polar_azimuth), truth, strict=True)
    ]
    era = fit.mechanical[0]
    mechanical = [
        (estimate.value - true) / estimate.sd
        for estimate, true in zip((era.cone, era.squareness, era.sag), club.mechanical[0], strict=True)
    ]
    return polar, mechanical


def row(machine: Machine, options: dict[str, Any], clubs: int) -> str:
    polar: list[float] = []
    mechanical: list[float] = []
    wrong, found, false, good = 0, 0, 0, 0
    for seed in range(clubs):
        club = simulate(np.random.default_rng(seed), machine, **options)
        fit = fit_pointing(machine, club.arrivals, np.zeros(club.polar.shape[0], dtype=np.int64))
        for total, new in zip((polar, mechanical), scores(fit, club), strict=True):
            total.extend(new)
        suspects = {suspect.arrival for setup in fit.setups for suspect in setup.suspects}
        truly = set(np.flatnonzero(club.wrong).tolist())
        wrong, found, false = wrong + len(truly), found + len(suspects & truly), false + len(suspects - truly)
        good += club.wrong.size - len(truly)
    return f"{summary(polar)} | {summary(mechanical)} | {found} of {wrong} | {false} of {good}"


def summary(z: list[float]) -> str:
    return f"{np.mean(z):+.2f} / {np.sqrt(np.mean(np.square(z))):.2f} / {np.mean(np.abs(z) < 1.96):.1%}"


def main() -> None:
    columns = ["polar: mean / rms / within", "mechanical: the same", "wrong found", "good suspected"]
    print(f"| club | {' | '.join(columns)} |")
    print("|---|---|---|---|---|")
    for name, machine, options in KINDS:
        print(f"| {name} | {row(machine, options, CLUBS)} |")
