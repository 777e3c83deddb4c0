"""What people scribble beside an arrival, a set-up or a night."""

from .evenings import NightPlan, Random
from .seasons import moon_darkness
from .setups import Setup
from .visits import Visit

NOTES_BY_LANDING = {
    "centred": ("spot on", "right on the crosshair, for once", "could not have been better"),
    "in": ("found at once", "a nudge and it was there", "just off centre"),
    "edge": ("hanging on the field stop", "half of it hidden behind the edge", "at the rim, nudged in"),
    "finder": ("had to use the finder", "found it by the red dot", "well out of the field, finder helped"),
    "lost": ("swept for five minutes, gave up", "nothing anywhere near", "not found, moved on"),
    "": ("measured with the crosshair", "gloves off for this one", "stepped over by thirds of the field",
         "steady enough to judge", "cloud came over while judging"),
}  # fmt: skip

SLIP_NOTES = {
    "summer time": (
        "first star nowhere near, an hour's worth of sky off; centred it by hand",
        "swung a good hand-and-a-half away from the star, searched and carried on",
        "missed the first star by about fifteen degrees, pushed across to it",
    ),
    "day and month": (
        "pointed at quite another part of the sky",
        "first star tens of degrees off, odd",
        "controller seemed to think it was another season",
    ),
    "longitude sign": (
        "said the star was below the horizon",
        "wanted to point into the hill",
    ),
}

NIGHT_NOTES = (
    "Dew by ten, everything dripping.",
    "Fox on the far bank, three times.",
    "Wind dropped after dusk and the sky steadied.",
    "Two visitors with a pushchair; the child found the double star first.",
    "Flask empty by midnight.",
    "High haze at first, gone by the second hour.",
    "Owls. No other complaints.",
    "Farmer came by to ask what the red lights were.",
    "Best Milky Way this year.",
    "Thin cloud in strips; waited it out twice.",
    "Someone's headlights at the worst moment.",
    "Quiet night, few words, much seen.",
    "Mist rose from the low ground and ended it early.",
)
WINTER_NOTES = (
    "Frost on the counterweights when we packed.",
    "Ice in the dew shield.",
    "Too cold for pencils after eleven.",
    "Everyone in two hats.",
)
MOONLIT_NOTES = ("Bright Moon, so mostly stars and a few clusters.", "Moonlight enough to write by.")

SETUP_NOTES = (
    "levelled with the long level",
    "polar axis by the scale only, late",
    "polar axis twice, second time better",
    "feet on pads",
    "tube swapped over from the shelf, balance marks were right",
    "set up in the last light",
    "borrowed battery",
)


def one_of(texts: tuple[str, ...], rng: Random) -> str:
    return texts[int(rng.integers(len(texts)))]


def arrival_note(visit: Visit, landing: str, rng: Random) -> str:
    """Most arrivals go without; those lost are remarked on most."""
    chance = 0.5 if landing == "lost" else 0.22 if landing == "finder" else 0.07
    if rng.random() > chance:
        return ""
    if visit.unusual_side and rng.random() < 0.5:
        return "not yet flipped"
    return one_of(NOTES_BY_LANDING[landing], rng)


def slip_note(setup: Setup, rng: Random) -> str:
    return one_of(SLIP_NOTES[setup.truth.slip or ""], rng)


def setup_note(setup: Setup, rng: Random) -> str:
    if setup.given_up:
        return "started again from switching on"
    if setup.truth.key.setup > 1:
        return "second try, keyed in afresh and read aloud"
    return one_of(SETUP_NOTES, rng) if rng.random() < 0.3 else ""


def night_note(plan: NightPlan, rng: Random) -> str:
    if moon_darkness(plan.night) < 0.25 and rng.random() < 0.6:
        return one_of(MOONLIT_NOTES, rng)
    winter = (5, 6, 7, 8) if plan.site.lat_deg < 0 else (11, 12, 1, 2)
    if plan.night.month in winter and rng.random() < 0.2:
        return one_of(WINTER_NOTES, rng)
    return one_of(NIGHT_NOTES, rng) if rng.random() < 0.6 else ""
