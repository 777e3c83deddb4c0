"""The scales of what the sky was like: where each ends, and what its numbers mean."""

from enum import StrEnum


class SkyScale(StrEnum):
    """Scales of what the sky was like. They are never turned into one another; some run upward and some downward."""

    ANTONIADI = "antoniadi"
    PICKERING = "pickering"
    SEEING_0_10 = "seeing-0-10"
    TRANSPARENCY_1_7 = "transparency-1-7"
    NAKED_EYE_LIMIT = "naked-eye-limit"
    SKY_METER = "sky-meter"
    BORTLE = "bortle"
    CLOUD_EIGHTHS = "cloud-eighths"
    TEMPERATURE_C = "temperature-c"
    HUMIDITY_PERCENT = "humidity-percent"
    WIND_BEAUFORT = "wind-beaufort"

    @property
    def column(self) -> str:
        """Its name as a column of a sheet, and as a key: `naked_eye_limit`."""
        return self.value.replace("-", "_")


SKY_SCALE_RANGE: dict[SkyScale, tuple[float, float]] = {
    SkyScale.ANTONIADI: (1, 5),
    SkyScale.PICKERING: (1, 10),
    SkyScale.SEEING_0_10: (0, 10),
    SkyScale.TRANSPARENCY_1_7: (1, 7),
    SkyScale.NAKED_EYE_LIMIT: (-2, 9),
    SkyScale.SKY_METER: (10, 23),
    SkyScale.BORTLE: (1, 9),
    SkyScale.CLOUD_EIGHTHS: (0, 8),
    SkyScale.TEMPERATURE_C: (-60, 60),
    SkyScale.HUMIDITY_PERCENT: (0, 100),
    SkyScale.WIND_BEAUFORT: (0, 12),
}


SKY_SCALE_MEANING: dict[SkyScale, str] = {
    SkyScale.ANTONIADI: "seeing, 1 (best) to 5",
    SkyScale.PICKERING: "seeing, 1 to 10 (best)",
    SkyScale.SEEING_0_10: "planetary seeing, 0 to 10 (best)",
    SkyScale.TRANSPARENCY_1_7: "transparency, 1 to 7 (best)",
    SkyScale.NAKED_EYE_LIMIT: "faintest star by eye, magnitude",
    SkyScale.SKY_METER: "sky brightness at the zenith, magnitude per square arcsecond; more is darker",
    SkyScale.BORTLE: "Bortle class, 1 (darkest) to 9",
    SkyScale.CLOUD_EIGHTHS: "cloud, eighths of the sky",
    SkyScale.TEMPERATURE_C: "air temperature, degrees Celsius",
    SkyScale.HUMIDITY_PERCENT: "relative humidity, percent",
    SkyScale.WIND_BEAUFORT: "wind, Beaufort force",
}
