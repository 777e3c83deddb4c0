"""How mean squares are shared: by hand, and as parts of the variance where causes are independent."""

import numpy as np
import pytest
from scipy.stats import t

from obslog.pointing.budget.shares import between_setups, half_within, log_half_sd, shares
from obslog.pointing.joint_fit.arrivals import Machine
from obslog.pointing.model.frames import FloatArray
from obslog.vocabulary.mounts import MountType
from tests.pointing.joint_fit.pointing_clubs import offsets_arcmin, random_stars, some_of

GERMAN = Machine(MountType.GERMAN, corrects_refraction=True)


def test_two_nights_by_hand() -> None:
    """One cause puts the star 3' east on both nights; another 4' north on the first and 1' east on the second.

    Squares: 9 and (16 + 1) / 2 = 8.5; observed (25 + 16) / 2 = 20.5. Their product is 3 on the second night, so 3.0 are
    common to both, twice the mean of 0 and 3; shared as 9 to 8.5.
    """
    one = np.array([[3.0, 3.0], [0.0, 0.0]])
    other = np.array([[0.0, 1.0], [4.0, 0.0]])
    got = shares(np.stack([one, other]))
    assert got == pytest.approx([9.0 + 3.0 * 9.0 / 17.5, 8.5 + 3.0 * 8.5 / 17.5])
    assert got.sum() == pytest.approx(20.5)


def test_two_causes_that_undo_each_other_add_nothing() -> None:
    one = np.random.default_rng(3).normal(0, 5, (2, 40))
    assert shares(np.stack([one, -one])) == pytest.approx([0.0, 0.0], abs=1e-9)


def test_a_small_cause_stays_small_and_positive_beside_a_large_one() -> None:
    rng = np.random.default_rng(4)
    large, small = rng.normal(0, 40, (2, 30)), rng.normal(0, 2, (2, 30))
    of_small = shares(np.stack([large, small]))[1]
    own = (small**2).sum() / 30
    # the product of both is at most 2 x 40 x 2, of which the small one gets the 400th part
    assert 0.8 * own < of_small < 1.2 * own


def test_independent_causes_get_their_parts_of_the_variance() -> None:
    """First-order indices by pick and freeze (I. M. Sobol', Math. Comput. Simul. 55 (2001) 271), from the exact model.

    One sync and one go-to of a fixed pair of stars; two polar errors, cone and squareness are independent.
    """
    count, sds = 4000, np.array([20.0, 20.0, 8.0, 8.0, 0.0])
    rng = np.random.default_rng(5)
    stars = random_stars(rng, 2, 52.0, MountType.GERMAN)
    first, second = (rng.normal(0, 1, (count, 5)) * sds for _ in range(2))

    def stood(errors: FloatArray) -> FloatArray:
        both = np.repeat(errors, 2, axis=0)
        place = np.tile([0, 1], count)
        setup = np.repeat(np.arange(count), 2)
        offsets, _ = offsets_arcmin(
            some_of(stars, place),
            GERMAN,
            setup,
            place == 0,
            both[:, :2],
            both[:, 2:],
            np.zeros((2, 2 * count)),
        )
        return offsets[:, 1::2]

    whole, again = stood(first), stood(second)
    variance = whole.var(axis=1).sum()
    indices, done = [], []
    for columns in (slice(0, 2), slice(2, 3), slice(3, 4)):
        frozen, alone = second.copy(), np.zeros_like(first)
        frozen[:, columns] = alone[:, columns] = first[:, columns]
        indices.append(((whole * (stood(frozen) - again)).mean(axis=1)).sum() / variance)
        done.append(stood(alone))
    parts = shares(np.stack(done)) / variance
    assert sum(indices) == pytest.approx(1.0, abs=0.05)
    assert parts == pytest.approx(
        indices, abs=0.04
    )  # of 4000 draws; each index has a standard error of 0.015


def test_half_of_the_go_tos_land_within_the_median_distance() -> None:
    assert half_within(np.array([[3.0, 0.0, 30.0], [4.0, 1.0, 40.0]])) == 5.0


def test_how_sure_the_radius_is_comes_from_how_far_set_ups_differ() -> None:
    """Of 12 set-ups with radii that scatter by e^0.5 a mean has 0.5 / sqrt(12), a median 1.25 times that."""
    rng = np.random.default_rng(6)
    found = []
    for _ in range(20):
        radius = np.repeat(np.exp(rng.normal(2.0, 0.5, 12)), 8)
        found.append(log_half_sd(np.stack([radius, np.zeros(96)]), np.repeat(np.arange(12), 8), rng))
    # three more set-ups that scatter by 0.6, and Student's t for half of 11 and those 3 degrees of freedom
    of_one = np.sqrt((11 * (1.25 * 0.5) ** 2 + 3 * 0.6**2) / 14)
    wider = t.ppf(0.975, 8.5) / 1.96
    assert np.mean(found) == pytest.approx(of_one / np.sqrt(12) * wider, rel=0.2)  # type: ignore[arg-type]


def test_two_set_ups_lean_on_how_far_set_ups_usually_differ() -> None:
    """Of two that happen to agree 0.6 is still half believed: sqrt(3 x 0.36 / 4 / 2), and Student's t for 3.5."""
    offsets, setup = np.full((2, 8), 5.0), np.repeat([0, 1], 4)
    found = log_half_sd(offsets, setup, np.random.default_rng(1))
    assert found == pytest.approx(np.sqrt(3 * 0.36 / 4 / 2) * t.ppf(0.975, 3.5) / 1.96, rel=1e-3)


def test_a_single_go_to_says_nothing_of_how_sure_it_is() -> None:
    assert log_half_sd(np.array([[3.0], [4.0]]), np.array([0]), np.random.default_rng(1)) is None


def test_how_far_set_ups_differ_by_hand() -> None:
    """Two set-ups of logarithms 1, 1 and 3, 3: squares of 1 and 1 about 2, beside three that differ by 0.6."""
    offsets = np.stack([np.exp([1.0, 3.0, 1.0, 3.0]), np.zeros(4)])
    setup = np.array([4, 9, 4, 9])
    assert between_setups(offsets, setup) == pytest.approx(np.sqrt((2.0 + 3 * 0.36) / 4))
    # of one set-up alone nothing is known but what is usual
    assert between_setups(offsets, np.zeros(4, dtype=np.int64)) == pytest.approx(0.6)
