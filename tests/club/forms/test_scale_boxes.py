"""A box for each scale of the sky, its definition beside it."""

from obslog.club.forms.blocks import Explanation, Scale, Scales
from obslog.club.forms.scale_boxes import scale_blocks
from obslog.vocabulary.sky_scales import SkyScale


def scales() -> dict[str, Scale]:
    rows = [block for block in scale_blocks() if isinstance(block, Scales)]
    return {scale.name: scale for row in rows for scale in row.scales}


def test_every_scale_has_one_box_under_its_own_name() -> None:
    rows = [block for block in scale_blocks() if isinstance(block, Scales)]
    names = [scale.name for row in rows for scale in row.scales]
    assert sorted(names) == sorted(SkyScale)


def test_each_step_of_a_scale_is_beside_its_box() -> None:
    # Antoniadi's has five steps, Pickering's ten, Bortle's nine; the limits of class 4 are those of the publication.
    found = scales()
    assert [number for number, _ in found["antoniadi"].steps] == ["1", "2", "3", "4", "5"]
    assert len(found["pickering"].steps) == 10
    assert found["bortle"].steps[3] == ("4", "Rural/suburban transition (faintest star 6.1 to 6.5)")
    assert len(found["bortle"].steps) == 9


def test_scales_that_run_in_opposite_senses_say_so() -> None:
    found = scales()
    assert "1 (best)" in found["antoniadi"].meaning
    assert "10 (best)" in found["pickering"].meaning
    assert found["cloud-eighths"].direction == "0 is best, 8 is worst"
    assert found["temperature-c"].direction == ""


def test_which_way_a_scale_runs_is_said_once() -> None:
    for scale in scales().values():
        assert sum("more is darker" in words for words in scale.told) == (
            scale.name in ("naked-eye-limit", "sky-meter")
        ), scale.name


def test_what_else_is_known_of_a_scale_is_told_below() -> None:
    (told,) = [block for block in scale_blocks() if isinstance(block, Explanation)]
    assert "averted" in told.words
    assert "changes with aperture" in told.words


def test_a_scale_whose_stars_do_not_rise_is_to_be_left_blank() -> None:
    """Zeta Ursae Minoris, at 77.8 degrees, rises as far south as 12.2 degrees: 90 - 77.8."""
    for lat_deg, rises in ((None, True), (52.0, True), (-12.0, True), (-12.5, False), (-44.0, False)):
        (told,) = [block for block in scale_blocks(lat_deg) if isinstance(block, Explanation)]
        assert ("the Little Dipper does not rise here" in told.words) is not rises
        assert ("2.2, 3.1" in told.words) is rises
