"""How often each mistake is taken to happen: as docs/pointing.md tells it, and the club's own record."""

import re
from pathlib import Path

import pytest

from obslog.pointing.mistakes.prior import prior_shares
from obslog.pointing.mistakes.words import WORDS, words_for
from obslog.vocabulary.mistakes import Cause
from obslog.vocabulary.mounts import MountType

PAGE = Path(__file__).parents[3] / "docs" / "pointing.md"


def told_shares() -> dict[str, float]:
    """The table of the page, in per cent."""
    section = PAGE.read_text(encoding="utf-8").split("## Mistake finder")[1].split("\n## ")[0]
    return {
        cause: float(share)
        for cause, share in re.findall(r"^\| ([a-z' ]+) \| ([\d.]+) % \|$", section, re.MULTILINE)
    }


def test_the_shares_are_those_that_the_page_tells() -> None:
    told = told_shares()
    assert set(told) == {str(cause) for cause in Cause} == {str(cause) for cause in WORDS}
    assert {cause: round(100 * share, 1) for cause, share in prior_shares().items()} == told
    assert sum(prior_shares().values()) == pytest.approx(1.0)


@pytest.mark.parametrize("cause", list(Cause))
def test_each_mistake_says_what_to_do_and_what_to_look_at(cause: Cause) -> None:
    words = WORDS[cause]
    assert words.remedy.endswith(".")
    assert words.look_at.endswith(".")


NORTH_DEG, SOUTH_DEG = 52.2, -33.9
OF_POLAR_MOUNTS = re.compile(r"polar|declination|\bpole\b|flip|counterweight|hour axis", re.IGNORECASE)


def said(cause: Cause, mount_type: MountType, lat_deg: float) -> str:
    words = words_for(cause, mount_type, lat_deg)
    return " ".join([words.what, words.remedy, words.look_at])


@pytest.mark.parametrize("lat_deg", [NORTH_DEG, SOUTH_DEG])
@pytest.mark.parametrize("cause", list(Cause))
def test_an_altazimuth_mount_is_told_of_nothing_that_it_has_not(cause: Cause, lat_deg: float) -> None:
    assert not OF_POLAR_MOUNTS.search(said(cause, MountType.ALTAZ, lat_deg))


@pytest.mark.parametrize("cause", list(Cause))
def test_a_fork_has_no_counterweight_and_does_not_flip(cause: Cause) -> None:
    assert not re.search("flip|counterweight", said(cause, MountType.FORK, NORTH_DEG))


@pytest.mark.parametrize("mount_type", [MountType.GERMAN, MountType.FORK])
def test_the_visible_pole_is_at_minus_90_in_the_south_and_has_no_bright_star(mount_type: MountType) -> None:
    """The declination of the south celestial pole is -90 degrees; the star has the name that `sky pole` gives it."""
    home, axis = (said(cause, mount_type, SOUTH_DEG) for cause in (Cause.DECLINATION_ZERO, Cause.POLAR_AXIS))
    assert "declination reading -90°" in home
    assert "Polaris Australis (σ Oct) stands" in axis
    assert "pole star" not in axis
    for both in (home, axis):
        assert not re.search("(?<!-)90°", both)
    north = said(Cause.POLAR_AXIS, mount_type, NORTH_DEG)
    assert "the pole star stands" in north
    assert "declination 90°" in north


@pytest.mark.parametrize("mount_type", list(MountType))
@pytest.mark.parametrize("cause", list(Cause))
def test_a_mistake_is_as_frequent_and_holds_its_particulars_once_whatever_the_mount(
    cause: Cause, mount_type: MountType
) -> None:
    words = words_for(cause, mount_type, NORTH_DEG)
    assert words.weight == WORDS[cause].weight
    assert words.what.count("{}") == WORDS[cause].what.count("{}")
    assert "{" not in words.remedy + words.look_at
