"""The cautions of a sheet, each said once: the Sun first, then lasers, weights and batteries where they are handled."""

from collections.abc import Iterable

from obslog.club.forms.blocks import Caution
from obslog.vocabulary.cautions import BATTERY_CAUTION, FOLLOW_RULES, LASER_CAUTION, SUN_CAUTION

HEAVY_CAUTION = (
    "Two people lift what is heavy; bend the knees. Counterweights go on before the tube, and the tube comes off "
    "before the counterweights."
)
CAP_CAUTION = "Cap tube and finder before the Sun is up, and park away from where the Sun will rise."


def outdoors(*also: str | None) -> Caution:
    """For work under the sky; `also` is what tonight's Sun makes worse, and comes first."""
    return _caution([*also, SUN_CAUTION, CAP_CAUTION, LASER_CAUTION])


def setting_up(*also: str | None) -> Caution:
    """For a set-up from the bag to the first star."""
    return _caution([*also, SUN_CAUTION, HEAVY_CAUTION, BATTERY_CAUTION, LASER_CAUTION])


def indoors() -> Caution:
    """For the store-room, where nothing is pointed at the sky."""
    return _caution([HEAVY_CAUTION, BATTERY_CAUTION, FOLLOW_RULES])


def _caution(sentences: Iterable[str | None]) -> Caution:
    return Caution(tuple(dict.fromkeys(sentence for sentence in sentences if sentence)))
