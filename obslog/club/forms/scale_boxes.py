"""A box for each scale of the sky, with what its steps mean beside it."""

from collections.abc import Iterator

from obslog.club.forms.blocks import Explanation, Scale, Scales
from obslog.sky.evening.sky_quality_scales import DEFINITIONS, MORE_IS_BETTER, REMARKS, Step, direction_words
from obslog.vocabulary.sky_scales import SKY_SCALE_MEANING, SkyScale

DEFINED_COLUMNS, MEASURED_COLUMNS = 2, 3
LITTLE_DIPPER_DEG = 77.8
"""The declination of zeta Ursae Minoris, the northernmost star of its bowl, which has to rise for the count of them."""


def scale_blocks(lat_deg: float | None = None) -> Iterator[Scales | Explanation]:
    """All scales, those with defined steps first; each keeps its name, by which it is typed up.

    At a latitude at which the stars of one do not rise that is said of it.
    """
    defined = [scale for scale in SkyScale if scale in DEFINITIONS]
    defined.sort(key=lambda scale: len(DEFINITIONS[scale].steps))  # like heights side by side
    yield Scales(tuple(_scale(scale) for scale in defined), DEFINED_COLUMNS)
    others = [scale for scale in SkyScale if scale not in DEFINITIONS]
    yield Scales(tuple(_scale(scale) for scale in others), MEASURED_COLUMNS)
    remarks = {scale: f"{scale}: {REMARKS[scale]}" for scale in SkyScale if scale in REMARKS}
    if lat_deg is not None and lat_deg < LITTLE_DIPPER_DEG - 90:
        scale = SkyScale.TRANSPARENCY_1_7
        remarks[scale] = (
            f"{scale}: leave it blank, for the Little Dipper does not rise here; {SkyScale.NAKED_EYE_LIMIT} will do."
        )
    yield Explanation(" ".join(remarks.values()))


def _scale(scale: SkyScale) -> Scale:
    definition = DEFINITIONS.get(scale)
    direction = direction_words(scale) if scale in MORE_IS_BETTER else ""
    meaning, _, also = SKY_SCALE_MEANING[scale].partition("; ")
    return Scale(
        name=scale,
        meaning=meaning if direction.startswith(also) else SKY_SCALE_MEANING[scale],
        direction=direction,
        steps=tuple((f"{step.value}", _meaning(step)) for step in definition.steps) if definition else (),
    )


def _meaning(step: Step) -> str:
    if step.naked_eye_faint_mag is None:
        return step.meaning
    bright = "" if step.naked_eye_bright_mag is None else f"{step.naked_eye_bright_mag:g} to "
    return f"{step.meaning} (faintest star {bright}{step.naked_eye_faint_mag:g})"
