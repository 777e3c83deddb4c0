"""The invented club: its sites, members and equipment. Field names are those of the commands' options."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Site:
    name: str
    lat_deg: float
    lon_deg: float
    elevation_m: float
    zone: str


@dataclass(frozen=True, slots=True)
class Member:
    name: str
    about: str


@dataclass(frozen=True, slots=True)
class Mount:
    name: str
    mount_type: str
    controller: str
    refraction: bool
    about: str


@dataclass(frozen=True, slots=True)
class Tube:
    name: str
    aperture_mm: float
    focal_mm: float


@dataclass(frozen=True, slots=True)
class Eyepiece:
    """`field_stop_mm` is None where nobody has measured it."""

    name: str
    focal_mm: float
    field_deg: float
    field_stop_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Item:
    name: str
    kind: str


CLUB_NAME = "Lantern Ford Star Circle"

SITES = (
    Site("Lantern Ford green", 52.47, -2.96, 165, "Europe/London"),
    Site("Owlpenny Edge", 53.31, -1.94, 430, "Europe/London"),
    Site("Terraço dos Furtado", 37.64, -7.83, 215, "Europe/Lisbon"),
    Site("Whistlebark Bend", -45.12, 169.74, 340, "Pacific/Auckland"),
)
SOUTHERN_SITE = "Whistlebark Bend"

MEMBERS = (
    Member("Maud Ellery", "founder; sets up slowly, by torch and by heart"),
    Member("Tomasz Wilga", "watchmaker; has never left a polar axis alone"),
    Member("Priya Raghunath", "nurse; observes after late shifts"),
    Member("Idris Penhallow", "new last winter, and in a hurry"),
    Member("Amara Nwosu-Bell", "teaches; brings half a class"),
    Member("Sven Aklestad", "retired ferry pilot; never trusts a clock he has not set himself"),
    Member("Leocadia Furtado", "keeps the house with the terrace in the south of Portugal"),
    Member("Hamish Dunbar-Voss", "equipment officer; writes everything down"),
    Member("Noor El-Tayeb", "student; doubles and planetary nebulae"),
    Member("Jun Kitaoka", "violin maker; sketches clusters"),
    Member("Beatrix Oomen", "baker; observes before work"),
    Member("Caspian Rook", "cheerful, careless, always lends a hand"),
    Member("Ngaire Holloway", "moved to Otago and took two mounts along"),
    Member("Mateo Luz-Ibarra", "Ngaire's neighbour; sheep, and galaxies"),
    Member("Fenella Quayle", "bus driver; owns the warmest flask in the club"),
)

MOUNTS = (
    Mount("Old Grumble", "german", "shift", False, "blamed for every lost evening since it came"),
    Mount("Silver Heron", "german", "shift", False, "everybody's favourite"),
    Mount("Bramble", "german", "shift", False, "the workhorse, out on every clear night for nine years"),
    Mount("Anvil", "german", "shift", False, "carried the big tube until it was knocked over"),
    Mount("Thistledown", "german", "model", False, "light enough for one person"),
    Mount("Harbour Light", "german", "model", True, "bought from a legacy"),
    Mount("Tortoise", "fork", "shift", False, "slow to set up and slow to complain"),
    Mount("Marigold", "fork", "model", False, "painted with flowers by the school"),
    Mount("Pepperpot", "altaz", "shift", False, "the beginners' mount"),
    Mount("Nightjar", "altaz", "model", True, "fits in a rucksack"),
    Mount("Long Paddock", "german", "shift", False, "lives at Whistlebark Bend"),
    Mount("Kelp", "altaz", "model", False, "lives at Whistlebark Bend"),
)

# Sizes that nobody sells, so that no record looks like a product.
TUBES = (
    Tube("Patched eight", 207, 1222),
    Tube("Grandmother's refractor", 97, 1019),
    Tube("Short six", 155, 917),
    Tube("Big ten", 259, 1273),
    Tube("Feather", 77, 489),
    Tube("Legacy seven", 176, 1834),
    Tube("Fork nine", 226, 2394),
    Tube("School five", 124, 1528),
    Tube("Pepper five", 133, 662),
    Tube("Rucksack four", 103, 509),
    Tube("Paddock eight", 196, 1019),
    Tube("Kelp six", 147, 764),
    Tube("Porch refractor", 118, 917),
)

EYEPIECES = (
    Eyepiece("Window 33", 33, 51, 27.5),
    Eyepiece("Workaday 26", 26, 49, 21.6),
    Eyepiece("Wide 23", 23, 72, 27.7),
    Eyepiece("Lantern 21", 21, 58.2),
    Eyepiece("Eighteen", 18.3, 62, 19.5),
    Eyepiece("Crosshair 13", 13, 42.3),
    Eyepiece("Tomasz's ten", 10.4, 58.8),
    Eyepiece("Far south 29", 29, 54, 26.9),
)

ITEMS = (
    Item("Red-dot finder A", "finder"),
    Item("Fifty-millimetre finder", "finder"),
    Item("Right-angle finder", "finder"),
    Item("Battery grey", "battery"),
    Item("Battery yellow", "battery"),
    Item("Battery south", "battery"),
    Item("Nebula filter", "filter"),
    Item("Dew belt pair", "accessory"),
    Item("Long spirit level", "accessory"),
    Item("Tripod pads", "accessory"),
    Item("Green case", "case"),
    Item("Star-cloth bag", "case"),
)


def true_field_arcmin(eyepiece: Eyepiece, tube: Tube) -> float:
    """The field's diameter on the sky: from the field stop where it is known, else the apparent field."""
    if eyepiece.field_stop_mm is not None:
        return eyepiece.field_stop_mm / tube.focal_mm * 3437.75
    return eyepiece.field_deg * 60.0 * eyepiece.focal_mm / tube.focal_mm
