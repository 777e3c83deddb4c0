"""What people ask for and is not known here, since it wanders or lies on the Moon: told apart from a typing slip."""

import re

from obslog.sky.names.spelling import folded

_COMET = r"comet\b.*|[cpdxai]/-?\d{1,4}\b.*|\d{1,3}[pd](/.*)?"
_MINOR_PLANET = r"\(\d+\).*|(asteroid|minor planet|dwarf planet)\b.*|\d{4} [a-z]{2}\d*"
_NAMES = {
    "comets": (
        "Halley, Encke, Hale-Bopp, Hyakutake, NEOWISE, Tsuchinshan-ATLAS, Pons-Brooks, Swift-Tuttle, Tempel-Tuttle"
    ),
    "minor planets": (
        "Ceres, Pallas, Juno, Vesta, Astraea, Hebe, Iris, Flora, Metis, Hygiea, Parthenope, Victoria, Egeria, Irene, "
        "Eunomia, Psyche, Eros, Apophis, Pluto, Eris, Haumea, Makemake, Sedna, Chiron"
    ),
    "moons of planets": (
        "Phobos, Deimos, Io, Europa, Ganymede, Callisto, Titan, Rhea, Tethys, Dione, Iapetus, Enceladus, Mimas, "
        "Hyperion, Titania, Oberon, Ariel, Umbriel, Miranda, Triton, Charon"
    ),
    "features of the Moon": (
        "Tycho, Plato, Clavius, Kepler, Aristarchus, Theophilus, Ptolemaeus, Alphonsus, Arzachel, "
        "Gassendi, Eratosthenes, Archimedes, Posidonius, Langrenus, Petavius, Grimaldi, Mare Imbrium, Mare Crisium, "
        "Mare Tranquillitatis, Sinus Iridum, Straight Wall, Alpine Valley"
    ),
    "satellites": "ISS, Hubble Space Telescope, Tiangong, Starlink",
}  # fmt: skip
_KIND_BY_NAME = {folded(name): kind for kind, names in _NAMES.items() for name in names.split(", ")}


def kind_not_known(text: str) -> str | None:
    """The kind of thing that a text names and that is not known here; None for any other text."""
    plain = " ".join(text.split())
    if re.fullmatch(_COMET, plain, re.IGNORECASE):
        return "comets"
    if re.fullmatch(_MINOR_PLANET, plain, re.IGNORECASE):
        return "minor planets"
    return _KIND_BY_NAME.get(folded(plain.removeprefix("crater ")))
