"""The invented club as such: its numbers, its names, and that every word is one the program stores."""

from collections.abc import Sequence
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest
from numpy.testing import assert_allclose

from obslog.vocabulary.mounts import Controller, MountType
from seed_demo.club import EYEPIECES, ITEMS, MEMBERS, MOUNTS, SITES, TUBES, Eyepiece, Tube, true_field_arcmin
from seed_demo.truth import HABITS, MOUNT_TRUTHS, SITE_TRUTHS


def test_club_has_its_announced_size() -> None:
    assert (len(SITES), len(MEMBERS), len(MOUNTS)) == (4, 15, 12)
    assert sum(site.lat_deg < 0 for site in SITES) == 1


def test_mounts_are_of_all_types_and_kinds() -> None:
    assert {mount.mount_type for mount in MOUNTS} == set(MountType)
    assert {mount.controller for mount in MOUNTS} == {Controller.SHIFT, Controller.MODEL}
    assert {mount.refraction for mount in MOUNTS} == {True, False}


@pytest.mark.parametrize("things", [SITES, MEMBERS, MOUNTS, TUBES, EYEPIECES, ITEMS])
def test_names_are_unique_within_their_kind(things: Sequence[object]) -> None:
    names = [getattr(thing, "name").casefold() for thing in things]  # noqa: B009
    assert len(set(names)) == len(names)


def test_zones_exist_and_agree_with_the_longitudes() -> None:
    winter = datetime(2026, 1, 15, 12, tzinfo=UTC)
    for site in SITES:
        offset = winter.astimezone(ZoneInfo(site.zone)).utcoffset()
        assert offset is not None
        assert abs(offset.total_seconds() / 3600 - site.lon_deg / 15) < 3.5


def test_the_truth_speaks_of_every_mount_member_and_site() -> None:
    assert {truth.name for truth in MOUNT_TRUTHS} == {mount.name for mount in MOUNTS}
    assert {habits.name for habits in HABITS} == {member.name for member in MEMBERS}
    assert {truth.name for truth in SITE_TRUTHS} == {site.name for site in SITES}
    assert {era.tube for truth in MOUNT_TRUTHS for era in truth.eras} <= {tube.name for tube in TUBES}


def test_true_field_prefers_the_field_stop() -> None:
    """By hand: 26 mm seen from 1000 mm is 26/1000 rad = 89.38'; 50 deg at 1000/25 = 40 times is 75'."""
    tube = Tube("any", 212, 1000)
    assert_allclose(true_field_arcmin(Eyepiece("stop", 25, 50, 26.0), tube), 89.38, atol=0.01)
    assert_allclose(true_field_arcmin(Eyepiece("no stop", 25, 50), tube), 75.0)
