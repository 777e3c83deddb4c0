"""What the sky was like, as people write it: a scale and a number."""

from dataclasses import dataclass

from obslog.errors import WrongInput, nearest_names
from obslog.fields import sky_reading
from obslog.vocabulary.sky_scales import SKY_SCALE_MEANING, SKY_SCALE_RANGE, SkyScale

_SCALELESS = ("", "seeing", "transparency")
_WEATHER = (SkyScale.TEMPERATURE_C, SkyScale.HUMIDITY_PERCENT, SkyScale.WIND_BEAUFORT)


class UnreadableSky(WrongInput):
    def __init__(self, text: str) -> None:
        words = [scale.value for scale in SkyScale]
        near = nearest_names(text.split()[0] if text.split() else "", words) or words
        super().__init__(
            f"{text!r} is not a reading of the sky.",
            f"Write a scale and a number, like 'antoniadi 2' or 'sky-meter 21.3'. Scales: {', '.join(near)}.",
        )


class NumberWithoutScale(UnreadableSky):
    """A bare number: 2 is good on one scale and wretched on another."""

    def __init__(self, typed: str, value: float, about: str) -> None:
        fitting = [
            f"{scale} ({SKY_SCALE_MEANING[scale]})"
            for scale, (low, high) in SKY_SCALE_RANGE.items()
            if low <= value <= high and scale not in _WEATHER and about in SKY_SCALE_MEANING[scale]
        ]
        WrongInput.__init__(
            self,
            f"{typed} has no scale, and scales run in opposite ways.",
            f"Put the scale before it, one of: {'; '.join(fitting) or ', '.join(SkyScale)}. See: obslog scales",
        )


@dataclass(frozen=True, slots=True)
class ScaleReading:
    scale: SkyScale
    value: float


def read_sky(text: str) -> ScaleReading:
    """A reading such as `antoniadi 2`; raises UnreadableSky, NumberWithoutScale or OutOfRange."""
    word, _, number = text.strip().rpartition(" ")
    if word.strip().casefold() in _SCALELESS and (bare := _number(number)) is not None:
        raise NumberWithoutScale(text.strip(), bare, about=word.strip().casefold())
    try:
        scale, value = SkyScale(word.strip().lower().replace(" ", "-")), float(number)
    except ValueError as error:
        raise UnreadableSky(text) from error
    sky_reading(scale).check(value, shown=number)
    return ScaleReading(scale, value)


def _number(text: str) -> float | None:
    try:
        return float(text)
    except ValueError:
        return None
