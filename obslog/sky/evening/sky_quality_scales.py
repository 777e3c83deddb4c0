"""What the steps of the seeing and sky scales mean, in the words of those who defined them.

Plain data. The scales are never turned into one another, and the seeing scales run in opposite senses: the
first step of Antoniadi's is the best, the first of Pickering's the worst.
"""

from dataclasses import dataclass

from obslog.vocabulary.sky_scales import SKY_SCALE_RANGE, SkyScale


@dataclass(frozen=True, slots=True)
class Step:
    """One step of a scale; a naked-eye limit is a magnitude, and None where the class has no bound."""

    value: int
    meaning: str
    naked_eye_bright_mag: float | None = None
    naked_eye_faint_mag: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ScaleDefinition:
    scale: SkyScale
    steps: tuple[Step, ...]
    best: int
    source: str
    remark: str = ""


ANTONIADI = ScaleDefinition(
    scale=SkyScale.ANTONIADI,
    steps=(
        Step(1, "perfect seeing, without a quiver"),
        Step(2, "slight undulations, with moments of calm lasting several seconds"),
        Step(3, "moderate seeing, with larger tremors"),
        Step(4, "poor seeing, with constant troublesome undulations"),
        Step(5, "very bad seeing, scarcely allowing the making of a rough sketch"),
    ),
    best=1,
    source="E. M. Antoniadi's scale, as given in D. Darling's encyclopedia",
)

PICKERING = ScaleDefinition(
    scale=SkyScale.PICKERING,
    steps=(
        Step(1, 'image usually about twice the diameter of the third diffraction ring (13")'),
        Step(2, "image occasionally twice the diameter of the third ring"),
        Step(3, 'image about the diameter of the third ring (6.7"), brighter at the centre'),
        Step(4, "central disk often visible; arcs of rings sometimes seen"),
        Step(5, "central disk always visible; arcs frequently seen"),
        Step(6, "central disk always visible; short arcs constantly seen"),
        Step(7, "disk sometimes sharp; rings seen as long arcs or complete circles"),
        Step(8, "disk always sharp; rings complete or long arcs, in motion"),
        Step(9, "inner ring stationary"),
        Step(10, "complete diffraction pattern stationary"),
    ),
    best=10,
    source="W. H. Pickering, Harvard, with a refractor of 5 inches",
    remark="1-3 very bad, 4-5 poor, 6-7 good, 8-10 excellent. It changes with aperture.",
)

BORTLE = ScaleDefinition(
    scale=SkyScale.BORTLE,
    steps=(
        Step(1, "Excellent dark-sky site", 7.6, 8.0),
        Step(2, "Typical truly dark site", 7.1, 7.5),
        Step(3, "Rural sky", 6.6, 7.0),
        Step(4, "Rural/suburban transition", 6.1, 6.5),
        Step(5, "Suburban sky", 5.6, 6.0),
        Step(6, "Bright suburban sky", 5.1, 5.5),
        Step(7, "Suburban/urban transition", 4.6, 5.0),
        Step(8, "City sky", 4.1, 4.5),
        Step(9, "Inner-city sky", None, 4.0),
    ),
    best=1,
    source="J. E. Bortle, Sky & Telescope, February 2001, page 126",
    remark="Pages that repeat the scale differ at class 4 (6.1-6.5 or 6.3-6.5).",
)

TRANSPARENCY = ScaleDefinition(
    scale=SkyScale.TRANSPARENCY_1_7,
    steps=(
        Step(1, "mostly cloudy"),
        Step(2, "one or two stars of the Little Dipper"),
        Step(3, "three or four stars of the Little Dipper"),
        Step(4, "five or six stars of the Little Dipper"),
        Step(5, "six stars of the Little Dipper, and the Milky Way with averted vision"),
        Step(6, "the Milky Way, M 31 and all seven stars of the Little Dipper"),
        Step(7, "M 33 or M 81 with the naked eye"),
    ),
    best=7,
    source="deepskies.com, seeing and transparency scales",
    remark="The stars of the Little Dipper's bowl are of magnitude 2.2, 3.1, 4.3 and 5.0.",
)

DEFINITIONS = {definition.scale: definition for definition in (ANTONIADI, PICKERING, TRANSPARENCY, BORTLE)}

REMARKS = {
    SkyScale.SEEING_0_10: "Most nights are 3 to 4, above 6 is rare, 10 never comes (Royal Astronomical Society of "
    "Canada, instructions for planetary observers).",
    SkyScale.NAKED_EYE_LIMIT: "Say in the note where in the sky, direct or averted; stop after five minutes of search.",
    **{definition.scale: definition.remark for definition in DEFINITIONS.values() if definition.remark},
}

MORE_IS_BETTER = {
    SkyScale.SEEING_0_10: True,
    SkyScale.NAKED_EYE_LIMIT: True,
    SkyScale.SKY_METER: True,
    SkyScale.CLOUD_EIGHTHS: False,
    **{scale: definition.best == definition.steps[-1].value for scale, definition in DEFINITIONS.items()},
}
"""Which way a scale runs; those that are not here measure the weather and have no better end."""


def direction_words(scale: SkyScale) -> str:
    """Which end is the best: `1 is best, 5 is worst`; without an end, what more of it means."""
    if scale not in MORE_IS_BETTER:
        return "neither end is better"
    low, high = SKY_SCALE_RANGE[scale]
    if scale in (SkyScale.NAKED_EYE_LIMIT, SkyScale.SKY_METER):
        return "more is darker, and better"
    best, worst = (high, low) if MORE_IS_BETTER[scale] else (low, high)
    return f"{best:g} is best, {worst:g} is worst"
