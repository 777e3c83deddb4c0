"""What was written down of the invented club gives back the truth that it was made from."""

from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path

import numpy as np
import pytest

from obslog.club.performance.mount_fit import MountFit, fit_mount
from obslog.records.database import Database
from obslog.records.engine import make_engine
from obslog.vocabulary.mistakes import MisfitKind
from seed_demo import load
from seed_demo.club import MOUNTS
from seed_demo.records import DemoClub
from seed_demo.truth import SetupTruth

LAST_NIGHT, NOW = date(2026, 5, 30), datetime(2026, 6, 2, tzinfo=UTC)
Fitted = tuple[DemoClub, list[MountFit]]


@pytest.fixture(scope="module", params=[11, 23])
def fitted(
    request: pytest.FixtureRequest, sqlite_template: Path, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Fitted]:
    """A club of another seed than the demo's own, taken in by the demo's loader, and the fits of its mounts."""
    path = tmp_path_factory.mktemp("demo") / "club.db"
    path.write_bytes(sqlite_template.read_bytes())
    database = Database(make_engine(str(path)), str(path))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(load, "SEED", request.param)
        club = load.fill(database, LAST_NIGHT, NOW, lambda _done: None)
    yield club, [fit_mount(database, mount.name) for mount in MOUNTS]
    database.close()


def truths(club: DemoClub, fit: MountFit) -> list[SetupTruth]:
    """What each set-up of a fit really was."""
    known = {(t.key.night, t.key.site, t.key.setup): t for t in club.truth.setups if t.key.mount == fit.mount}
    return [known[s.setup.night, s.setup.site, s.setup.setup] for s in fit.setups]


def mechanical_scores(club: DemoClub, fit: MountFit) -> list[float]:
    """(Estimate - truth) / sd of what is determined, in eras in which the truth stood still."""
    scores = []
    for term in fit.mechanical:
        later = sorted({other.since for other in fit.mechanical if other.since > term.since})
        inside = [
            getattr(truth, f"{term.term}_arcmin")
            for setup, truth in zip(fit.setups, truths(club, fit), strict=True)
            if setup.setup.night >= term.since and (not later or setup.setup.night < later[0])
        ]
        if term.size_arcmin.determined and min(inside) == max(inside):
            scores.append((term.size_arcmin.value - inside[0]) / term.size_arcmin.sd)
    return scores


def polar_scores(club: DemoClub, fit: MountFit) -> list[float]:
    return [
        (found.value - true) / found.sd
        for setup, truth in zip(fit.setups, truths(club, fit), strict=True)
        for found, true in (
            (setup.polar_altitude_arcmin, truth.polar_altitude_arcmin),
            (setup.polar_azimuth_arcmin, truth.polar_azimuth_arcmin),
        )
        if found.determined
    ]


def test_every_mount_has_enough_for_a_fit(fitted: Fitted) -> None:
    club, fits = fitted
    assert [fit.mount for fit in fits] == [mount.name for mount in MOUNTS]
    for fit in fits:
        assert len(fit.setups) == len({(t.key.night, t.key.site, t.key.setup) for t in truths(club, fit)}) > 5
        assert sum(fit.left_out.values()) == 0


def test_cone_squareness_and_sag_come_back_within_their_uncertainty(fitted: Fitted) -> None:
    """What is not determined is its prior and says nothing; so does an era in which the mount was knocked over."""
    club, fits = fitted
    scores = np.array([score for fit in fits for score in mechanical_scores(club, fit)])
    assert scores.size > 20
    # Of 25 to 30 standard normal values the rms lies within 0.73 and 1.27 (95 %, chi-squared), and one in fifteen
    # clubs has one beyond 3. This club's members also round, turn signs and take wrong stars: half as much more.
    assert 0.6 < np.sqrt(np.mean(scores**2)) < 1.6
    assert np.mean(np.abs(scores) > 3) < 0.05
    assert np.abs(scores).max() < 4


def test_polar_errors_come_back_within_their_uncertainty(fitted: Fitted) -> None:
    """But for the mount that was knocked over between two services: its mechanics are not one truth."""
    club, fits = fitted
    scores = np.array([s for fit in fits if fit.mount != "Anvil" for s in polar_scores(club, fit)])
    assert scores.size > 400
    # Where a set-up has a single measured arrival (every model controller synced twice) and that one is wrong or has
    # a sign turned, nothing contradicts it: some 3 % of the arrivals. The rest must be honest.
    assert np.mean(np.abs(scores) > 3) < 0.04
    # 0.68 for standard normal values, sd 0.02; a little more, since set-ups that agree badly widen and none narrow
    assert 0.60 < np.mean(np.abs(scores) < 1) < 0.77
    assert (
        0.87 < np.sqrt(np.mean(scores[np.abs(scores) < 3] ** 2)) < 1.15
    )  # 0.99 for these, cut at 3; see above


def test_the_knock_is_found_and_no_other_change(fitted: Fitted) -> None:
    """Anvil fell over between two services, which nobody wrote down as one; no other mount changed of itself."""
    club, fits = fitted
    for fit in fits:
        changes = [finding for finding in fit.findings if finding.kind is MisfitKind.CHANGE]
        if fit.mount != "Anvil":
            assert changes == []
            continue
        (change,) = changes
        cones = [(truth.key.night, truth.cone_arcmin) for truth in truths(club, fit)]
        knocked = next(
            night for (night, cone), (_, before) in zip(cones[1:], cones, strict=False) if cone > before
        )
        assert change.since is not None
        assert abs((change.since - knocked).days) < 45  # within a set-up or two
        assert change.size_arcmin is not None
        assert change.sd_arcmin is not None
        assert abs(change.size_arcmin - 30.0) < 3.0 * change.sd_arcmin  # from 4' to 34'
        assert "cone error changed by" in change.words
        assert f"obslog service add Anvil --on {change.since}" in change.words
        assert change.words in fit.words


def test_what_else_is_found_is_next_to_nothing(fitted: Fitted) -> None:
    """The demo's people round and turn signs, but nobody reads to one side, and no mount has more than its play."""
    _, fits = fitted
    others = [f for fit in fits for f in fit.findings if f.kind not in (MisfitKind.CHANGE, MisfitKind.MISFIT)]
    assert len(others) <= 1


def test_suspects_are_mostly_truly_wrong(fitted: Fitted) -> None:
    """Of the sheet's measured arrivals with a wrong star or a turned sign most are named, and few others."""
    club, fits = fitted
    named = {line for fit in fits if fit.mount != "Anvil" for setup in fit.setups for line in setup.suspects}
    used = {
        (fit.mount, s.setup.night, s.setup.site, s.setup.setup)
        for fit in fits
        if fit.mount != "Anvil"
        for s in fit.setups
    }
    wrong = {
        arrival.row + 2
        for arrival in club.truth.arrivals
        if arrival.wrong
        and (arrival.key.mount, arrival.key.night, arrival.key.site, arrival.key.setup) in used
    }
    assert len(named & wrong) > 0.6 * len(named)
