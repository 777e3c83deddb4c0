"""What observing programmes ask of each entry, as plain data with its source.

A programme is named by what it asks for; whose it is stands in its source. Its own pages come first: rules change,
and what is here was read from the pages named.
"""

from dataclasses import dataclass
from enum import StrEnum

from obslog.errors import UnknownName
from obslog.sky.names.object_types import ObjectType

WELL_KNOWN_LISTS = ("messier", "caldwell", "doubles")


class Needed(StrEnum):
    """What an entry may have to hold; date, time and object are in every entry."""

    PLACE = "latitude and longitude"
    SEEING = "seeing"
    TRANSPARENCY = "transparency"
    APERTURE = "aperture"
    FOCAL_LENGTH = "focal length"
    EYEPIECE = "eyepiece"
    POWER = "magnification"
    DESCRIPTION = "description"
    SKETCH = "sketch"


@dataclass(frozen=True, slots=True)
class Quota:
    """So many objects of some kinds."""

    what: str
    types: frozenset[str]
    number: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Programme:
    """A programme: its list, what each entry needs, how many objects for each step, and who says so."""

    name: str
    title: str
    listed: str | None
    needs: tuple[Needed, ...]
    steps: dict[str, int]
    source: str
    quotas: tuple[Quota, ...] = ()
    remark: str = ""


_CLUSTERS_WITH_NEBULA = ObjectType.CLUSTER_WITH_NEBULA
_NEBULAE = frozenset(
    (
        ObjectType.PLANETARY_NEBULA, ObjectType.HYDROGEN_REGION, ObjectType.EMISSION_NEBULA, ObjectType.NEBULA,
        ObjectType.REFLECTION_NEBULA, ObjectType.SUPERNOVA_REMNANT, _CLUSTERS_WITH_NEBULA,
    )
)  # fmt: skip

PROGRAMMES = (
    Programme(
        name="messier-described",
        title="Messier objects, described",
        listed="messier",
        needs=(Needed.SEEING, Needed.APERTURE, Needed.POWER, Needed.DESCRIPTION),
        steps={"basic certificate": 70, "all": 110},
        source="Astronomical League, as told at tristateastronomers.org/messier.htm",
        remark="The description is in your own words; one copied from a book is not accepted.",
    ),
    Programme(
        name="messier-in-full",
        title="Messier objects, with place, sky and optics in full",
        listed="messier",
        needs=(
            Needed.PLACE,
            Needed.SEEING,
            Needed.TRANSPARENCY,
            Needed.APERTURE,
            Needed.FOCAL_LENGTH,
            Needed.EYEPIECE,
            Needed.POWER,
            Needed.DESCRIPTION,
        ),
        steps={"silver": 75, "gold": 110},
        source="Hamilton Amateur Astronomers, amateurastronomy.org/?p=4924",
        remark="Filters are told where they were used; the type of the telescope where its go-to was.",
    ),
    Programme(
        name="messier-drawn",
        title="Messier objects, drawn and described, so many of each kind",
        listed="messier",
        needs=(
            Needed.PLACE,
            Needed.APERTURE,
            Needed.FOCAL_LENGTH,
            Needed.POWER,
            Needed.DESCRIPTION,
            Needed.SKETCH,
        ),
        steps={"basic certificate": 70},
        source="Vermont Astronomical Society, vtastro.org messier-tele-cert-basic",
        quotas=(
            Quota("open clusters", frozenset((ObjectType.OPEN_CLUSTER,)), 10),
            Quota("globular clusters", frozenset((ObjectType.GLOBULAR_CLUSTER,)), 10),
            Quota("galaxies", frozenset((ObjectType.GALAXY,)), 15),
            Quota("nebulae", _NEBULAE, 3),
        ),
        remark="Each object is drawn and described; a cluster with nebula is counted among the nebulae here.",
    ),
    Programme(
        name="double-stars-drawn",
        title="Double stars, drawn",
        listed=None,
        needs=(
            Needed.PLACE,
            Needed.SEEING,
            Needed.TRANSPARENCY,
            Needed.APERTURE,
            Needed.POWER,
            Needed.SKETCH,
        ),
        steps={},
        source="Astronomical League, as quoted at sites.google.com/view/observing-logs-new",
        remark="60 mm or more is advised; go-to is tolerated where the entries are clear and unhurried.",
    ),
)

GOOD_ENTRY = Programme(
    name="good-entry",
    title="What nearly all programmes ask for",
    listed=None,
    needs=(Needed.SEEING, Needed.TRANSPARENCY, Needed.APERTURE, Needed.POWER, Needed.DESCRIPTION),
    steps={},
    source="what the rules of the programmes above have in common",
)


def programme_named(name: str | None) -> Programme:
    """The programme of that name; without a name, what nearly all ask for. Raises UnknownName."""
    if name is None:
        return GOOD_ENTRY
    known = {programme.name: programme for programme in (*PROGRAMMES, GOOD_ENTRY)}
    if name.casefold() not in known:
        raise UnknownName("programme", name, list(known), see=f"Programmes: {', '.join(known)}.")
    return known[name.casefold()]
