"""What the sky was like, as people write it: a scale and a number."""

import pytest

from obslog.errors import OutOfRange
from obslog.grammar.sky_readings import NumberWithoutScale, ScaleReading, UnreadableSky, read_sky
from obslog.vocabulary.sky_scales import SKY_SCALE_MEANING, SKY_SCALE_RANGE, SkyScale


@pytest.mark.parametrize("scale", SkyScale)
def test_the_ends_of_every_scale_are_read_and_nothing_beyond(scale: SkyScale) -> None:
    low, high = SKY_SCALE_RANGE[scale]
    assert read_sky(f"{scale} {low}") == ScaleReading(scale, low)
    assert read_sky(f"  {scale.upper()}   {high} ") == ScaleReading(scale, high)
    for value in (low - 0.1, high + 0.1, float("nan"), float("inf")):
        with pytest.raises(OutOfRange):
            read_sky(f"{scale} {value}")
    assert scale in SKY_SCALE_MEANING


def test_a_scale_may_be_written_with_spaces() -> None:
    assert read_sky("cloud eighths 3") == ScaleReading(SkyScale.CLOUD_EIGHTHS, 3.0)


@pytest.mark.parametrize("text", ["", "2", "antoniadi", "antoniadi two", "antonadi 2", "good seeing"])
def test_what_is_no_reading_is_refused(text: str) -> None:
    with pytest.raises(UnreadableSky):
        read_sky(text)


@pytest.mark.parametrize(
    ("text", "named", "not_named"), [("2", "antoniadi", "sky-meter"), ("seeing 9", "pickering", "antoniadi")]
)
def test_a_bare_number_is_answered_with_the_scales_that_have_it(
    text: str, named: str, not_named: str
) -> None:
    with pytest.raises(NumberWithoutScale) as caught:
        read_sky(text)
    assert named in caught.value.hint
    assert not_named not in caught.value.hint


def test_a_misspelt_scale_is_answered_with_the_nearest_and_no_words_with_all() -> None:
    with pytest.raises(UnreadableSky) as caught:
        read_sky("antonadi 2")
    assert "Scales: antoniadi." in caught.value.hint
    with pytest.raises(UnreadableSky) as caught:
        read_sky("zzzz 2")
    assert all(scale in caught.value.hint for scale in ("antoniadi", "pickering", "bortle", "sky-meter"))


@pytest.mark.parametrize(
    ("number", "fitting", "not_fitting"),
    [
        ("5", ["antoniadi", "pickering", "bortle"], []),  # the last step of Antoniadi's scale
        ("1", ["antoniadi", "pickering", "bortle"], []),  # the first of all of them
        ("9", ["pickering", "bortle"], ["antoniadi"]),
        ("10", ["pickering"], ["antoniadi", "bortle"]),
    ],
)
def test_a_number_without_a_scale_is_answered_with_those_that_have_it(
    number: str, fitting: list[str], not_fitting: list[str]
) -> None:
    with pytest.raises(UnreadableSky, match=f"{number} has no scale") as caught:
        read_sky(number)
    listed = caught.value.hint.split("one of: ")[1]
    assert all(f"{scale} (" in listed for scale in fitting)
    assert not any(f"{scale} (" in listed for scale in not_fitting)
