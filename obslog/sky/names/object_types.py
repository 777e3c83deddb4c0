"""The types of deep-sky objects, and the families of types that one word means: a planetary nebula is a nebula.

Every word that people type for a type is read here. Imports nothing heavy: the help of commands shows the families.
"""

from enum import StrEnum

from obslog.errors import UnknownName


class ObjectType(StrEnum):
    STAR = "star"
    DOUBLE_STAR = "double star"
    ASSOCIATION = "association of stars"
    OPEN_CLUSTER = "open cluster"
    GLOBULAR_CLUSTER = "globular cluster"
    CLUSTER_WITH_NEBULA = "cluster with nebula"
    GALAXY = "galaxy"
    GALAXY_PAIR = "pair of galaxies"
    GALAXY_TRIPLET = "three galaxies"
    GALAXY_GROUP = "group of galaxies"
    PLANETARY_NEBULA = "planetary nebula"
    HYDROGEN_REGION = "ionised hydrogen region"
    DARK_NEBULA = "dark nebula"
    EMISSION_NEBULA = "emission nebula"
    NEBULA = "nebula"
    REFLECTION_NEBULA = "reflection nebula"
    SUPERNOVA_REMNANT = "supernova remnant"
    NOVA = "nova"
    OTHER = "other or unknown"


WANDERING_TYPES = ("planet", "Moon")

_LIT_GAS = frozenset(
    (ObjectType.CLUSTER_WITH_NEBULA, ObjectType.EMISSION_NEBULA, ObjectType.HYDROGEN_REGION)
)  # fmt: skip
_GALAXIES = frozenset(
    (ObjectType.GALAXY, ObjectType.GALAXY_PAIR, ObjectType.GALAXY_TRIPLET, ObjectType.GALAXY_GROUP)
)  # fmt: skip
_CLUSTERS = frozenset(
    (
        ObjectType.OPEN_CLUSTER, ObjectType.GLOBULAR_CLUSTER, ObjectType.CLUSTER_WITH_NEBULA,
        ObjectType.ASSOCIATION,
    )
)  # fmt: skip
_NEBULAE = _LIT_GAS | {
    ObjectType.PLANETARY_NEBULA, ObjectType.NEBULA, ObjectType.REFLECTION_NEBULA,
    ObjectType.SUPERNOVA_REMNANT, ObjectType.DARK_NEBULA,
}  # fmt: skip

FAMILIES: dict[str, frozenset[str]] = {
    "galaxy": _GALAXIES,
    "nebula": _NEBULAE,
    "emission nebula": _LIT_GAS,
    "cluster": _CLUSTERS,
    "open cluster": frozenset((ObjectType.OPEN_CLUSTER, ObjectType.CLUSTER_WITH_NEBULA)),
    "star": frozenset((ObjectType.STAR, ObjectType.DOUBLE_STAR)),
}
"""What a word means that is the name of more than one type. Every other type is a family of its own."""

SHOWN_WORDS = (
    "galaxy", "nebula", "planetary", "emission", "reflection", "dark", "remnant", "cluster", "open", "globular",
    "double", "planet", "Moon",
)  # fmt: skip
"""The words to be named in help, each with `types_named`."""

_PLURALS = {"galaxies": "galaxy", "nebulae": "nebula", "nebulas": "nebula", "novae": "nova"}


def types_named(text: str) -> frozenset[str]:
    """The types that a word means: `nebula` every nebula, `galaxy` pairs and groups too, `globular` one type.

    A family before a type, a whole name before a part of one; plurals as well. Raises UnknownName.
    """
    typed = " ".join(text.casefold().split())
    types = {str(kind).casefold(): frozenset((str(kind),)) for kind in (*ObjectType, *WANDERING_TYPES)}
    known = types | FAMILIES
    wanted = typed if typed in known else _singular(typed)
    if wanted in known:
        return frozenset(map(str, known[wanted]))
    found = [known[word] for word in known if wanted and wanted in word]
    if not found:
        raise UnknownName("type of object", text, list(known), see="See the types: obslog targets --help")
    return frozenset(str(kind) for kinds in found for kind in kinds)


def _singular(text: str) -> str:
    *front, last = text.split() or [""]
    if last in _PLURALS:
        return " ".join((*front, _PLURALS[last]))
    return text.removesuffix("s")
