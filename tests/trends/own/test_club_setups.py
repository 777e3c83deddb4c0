"""The club's set-ups as the model sees them, and what is allowed for."""

import numpy as np
from numpy.testing import assert_allclose

from obslog.trends.own.club_setups import club_setups, coded, tubes_of_eras


def test_the_set_ups_of_an_era_at_one_time_are_of_one_night() -> None:
    """Two nights, one and three; the second mount's first night is that of the first's last."""
    years = [2025.0, 2025.0, 2025.1, 2025.1, 2025.1, 2025.3, 2025.3, 2025.4]
    many = club_setups(
        years,
        np.zeros(8),
        np.full(8, 0.2),
        era=[0, 0, 0, 1, 2, 2, 2, 2],
        observer=["Ines"] * 8,
        site=[None] * 8,
    )
    assert many.night.tolist() == [0, 0, 1, 2, 3, 4, 4, 5]
    assert many.night_begins.tolist() == [0, 2, 3, 4, 5, 7]
    assert many.nights.tolist() == [2, 1, 3]


def test_what_is_allowed_for_is_what_differs() -> None:
    years = np.linspace(2025, 2026.5, 12)
    alone = club_setups(
        years, np.zeros(12), np.full(12, 0.2), era=[0] * 12, observer=["Ines"] * 12, site=[None] * 12
    )
    assert alone.adjusted_for == ["season"]
    several = club_setups(
        years / 10,
        np.zeros(12),
        np.full(12, 0.2),
        era=[0] * 5 + [1] * 7,
        observer=["Ines", None, "Bram"] * 4,
        site=["Tarn", "Mill Field"] * 6,
        temperature_c=np.arange(12.0),
    )
    assert several.adjusted_for == ["observer", "site", "temperature"]
    assert (several.eras, np.flatnonzero(several.begins).tolist()) == (2, [0, 5])
    assert_allclose(several.middle_years, [years[:5].mean() / 10, years[5:].mean() / 10])


def test_names_are_numbered_in_their_order_and_nobody_is_minus_one() -> None:
    assert coded(["Tarn", None, "Ines", "Tarn"]).tolist() == [1, -1, 0, 1]


def test_tubes_are_told_apart_where_a_mount_had_several_of_them() -> None:
    tubes = ["Long", "Long", None, "Long", "Short", None, "Short"]
    assert tubes_of_eras([0, 0, 0, 1, 1, 1, 1], tubes).tolist() == [-1, -1, -1, 0, 2, 1, 2]
    assert tubes_of_eras([0, 0, 1, 1], ["Long", "Long", "Short", "Short"]).tolist() == [-1] * 4
