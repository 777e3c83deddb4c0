"""What was seen: observed objects with descriptions in people's own words."""

from collections.abc import Sequence

from .evenings import Random
from .records import ObservationRecord, SheetRow
from .setups import Setup
from .stories import one_of
from .visits import Visit

FIRST_WORDS = {
    "galaxy": (
        "Soft oval glow", "Small grey smudge", "Elongated mist, brighter in the middle", "Long thin streak",
        "Faint, but there every time", "Round haze with a starlike middle",
    ),
    "open cluster": (
        "Loose handful of stars", "Sparkling heap", "Two curving rows and a gap", "Rich, fills the field",
        "Scattered triangle of white stars", "A few bright stars over a faint crowd",
    ),
    "globular cluster": (
        "Bright ball, grainy at the edge", "Snowball with a dense middle", "Sugar spilled on black cloth",
        "Round glow, a few stars flicker out of it", "Large and loose, resolved halfway in",
    ),
    "nebula": (
        "Wide glow with a dark bay", "Misty wing around the stars", "Grey-green veil",
        "Patchy, brighter on one side",
    ),
    "planetary nebula": (
        "Pale disc, quite unlike a star", "Grey oval", "Even glow with a soft edge",
        "Bluish grey, plain at once",
    ),
}  # fmt: skip
LAST_WORDS = (
    "", "", "better with averted vision", "held steady for minutes", "sketched",
    "the guests saw it too", "drifted out twice", "takes more power well",
    "lovely in the wide field",
)  # fmt: skip
FILTER_WORDS = ("the filter helped", "better without the filter")
HARD_KINDS = ("galaxy", "nebula")
NOT_SEEN_WORDS = (
    "looked for ten minutes, nothing certain",
    "right field by the stars around, but no glow",
    "too low in the murk",
)


def observations_of(
    setups: Sequence[Setup],
    visits: Sequence[Visit],
    rows: Sequence[SheetRow],
    eyepieces: Sequence[str],
    rng: Random,
) -> list[ObservationRecord]:
    """One record for most of the deep-sky go-tos; `eyepieces` has the name used at each set-up."""
    found = []
    for visit, row in zip(visits, rows, strict=True):
        if visit.kind == "star" or rng.random() > 0.8:
            continue
        setup = setups[visit.setup]
        sighting, words = sighting_of(visit.kind, row["landing"], rng)
        method = "star-hop" if row["landing"] in ("finder", "lost") else "goto"
        found.append(
            ObservationRecord(
                setup.truth.key,
                setup.truth.observer,
                visit.utc,
                visit.name,
                visit.kind,
                eyepieces[visit.setup],
                sighting,
                method,
                words,
            )
        )
    return found


def sighting_of(kind: str, landing: str, rng: Random) -> tuple[str, str]:
    luck = rng.random()
    if luck < (0.6 if landing == "lost" else 0.08 if kind in HARD_KINDS else 0.0):
        return "not seen", one_of(NOT_SEEN_WORDS, rng)
    endings = (*LAST_WORDS, *FILTER_WORDS) if "nebula" in kind else LAST_WORDS
    words = ", ".join(text for text in (one_of(FIRST_WORDS[kind], rng), one_of(endings, rng)) if text)
    return ("suspected" if luck > 0.92 and kind in HARD_KINDS else "seen"), words
