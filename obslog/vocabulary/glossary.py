"""The words of the trade and of this program, each with one meaning: `obslog words` and docs/glossary.md show them."""

from collections.abc import Mapping
from difflib import get_close_matches

from obslog.errors import WrongInput, nearest_names

_MOST = 3
_ALIKE = 0.7  # a slip in a word of four letters still is; judged

WORDS: Mapping[str, str] = {
    "airless altitude": "The altitude that an object would have if the air bent no light; the one seen is higher.",
    "alarm": "A night on which a mount landed beyond the limits of its control chart: a reason to look, not a verdict.",
    "altaz mount": "A mount that turns about an upright axis and a level one: azimuth and altitude.",
    "altitude": "How high an object stands above the horizon, in degrees; 90° is overhead.",
    "altitude scale": "The scale on a mount's head by which its axis is tilted to the site's latitude.",
    "aperture": "The width of the tube's front lens or mirror, in mm: how much light it gathers.",
    "apparent field": "The angle that an eyepiece seems to open to the eye, in degrees; it is written on most of them.",
    "arcminute": "A sixtieth of a degree, written '. The Moon is about 31' across.",
    "arcsecond": 'A sixtieth of an arcminute, written ". A star shimmers over one to four of them.',
    "arrival": "A star or object come to with the mount: by a sync, a check or a go-to.",
    "arrival offset": "Where the object stood from the field's centre on arrival, in arcminutes on the sky: 3E 2N is "
    "three east and two north.",
    "averted vision": "Looking a little beside a faint object, where the eye is more sensitive.",
    "azimuth": "The direction along the horizon, in degrees from north through east.",
    "brief": "Tonight on one screen, to be read before one goes: `obslog brief`.",
    "category": "What an item is: finder, filter, battery, case.",
    "check": "A star gone to and measured, but not accepted by the controller.",
    "checklist": "The steps of a set-up in their order, with what went wrong at each before.",
    "cone error": "The tube is not at right angles to the declination axis. + leans outward, away from the pier (fork: "
    "east on the meridian; altaz: left along the tube).",
    "control chart": "A running average of a mount's landing errors with limits; a night beyond them is an alarm.",
    "controller": "The mount's computer. At a second sync one kind shifts its zero points, the other feeds a model.",
    "declination": "How far north (+) or south (-) of the celestial equator an object stands, in degrees.",
    "determined": "Said of a value that the observations really settle; others are shown in parentheses.",
    "doubtful": "Said of an arrival that fits the rest so badly that a wrong star or a slip is likely.",
    "drift": "How a star slides north or south while the mount follows it; timed, it tells the polar axis error.",
    "dusk": "Civil, nautical or astronomical: when the Sun is 6°, 12° or 18° down. After the last it is fully dark.",
    "era": "The time of a mount between two mechanical services or changes; its own errors stay the same within one.",
    "error budget": "What each cause adds to how far a mount misses, and how well it would land without it.",
    "exit pupil": "The width of the beam that leaves the eyepiece, in mm: aperture divided by magnification.",
    "eyepiece": "The lens that one looks into; with the tube it sets magnification and true field.",
    "field stop": "The ring inside an eyepiece that bounds the field; its width tells the true field best.",
    "flip": "To turn a german mount's tube to the other side of the pier.",
    "focal length": "The distance from a lens or mirror to the image it makes of a star, in mm; tube and "
    "eyepiece have one each.",
    "fork mount": "An equatorial mount whose tube swings between two arms; it needs no change of side. "
    "Without a wedge it is an altaz mount.",
    "german mount": "An equatorial mount with a counterweight; its tube changes sides at the meridian.",
    "go-to": "A target gone to in ordinary use, neither synced on nor measured as a check.",
    "half": "The radius, in arcminutes, inside which half of the go-tos land.",
    "hour angle": "How long ago an object crossed the meridian, in hours; positive in the west.",
    "interval": "From and to: the range that holds the true value in 95 of 100 cases.",
    "item": "Anything on record: a mount, tube, eyepiece or kit; with `obslog item`, any other piece of equipment.",
    "kit": "Items that are lent together.",
    "landing": "An arrival judged by eye: centred, in (the field), edge, finder (only in the finder) or lost.",
    "landing error": "How far from the centre a mount lands after its last sync; half the go-tos land inside it.",
    "limiting magnitude": "The faintest star that can just be seen, by eye or through a tube.",
    "loan": "A kit or an item that a member has out, from a day until it is due and back.",
    "look first": "The block above a checklist: at most five steps that went wrong often.",
    "magnification": "How many times larger the eye sees: the tube's focal length divided by the eyepiece's.",
    "magnitude": "How bright a star is; larger is fainter. By eye one sees to about 6, near a town to 3 or 4.",
    "mechanical service": "A service that may have changed the axes; the mount's mechanical history restarts with it.",
    "median": "The middle one of values in their order: half are smaller, half larger.",
    "member": "A person of the club; observer, borrower and officer are what members do.",
    "meridian": "The line from north to south through overhead; objects stand highest on it.",
    "mount": "The machine that carries and points a tube.",
    "night": "One evening to morning at a site, noon to noon, named by the date of its evening.",
    "observation": "An object looked at, whether it was seen or not, in the observer's own words.",
    "officer": "The equipment officer: lends, has things mended, reports to the annual meeting.",
    "p": "How often chance alone would show as much; under 0.05 it is hardly chance.",
    "pier side": "The side of the pier on which the tube is. East, looking west, is the ordinary one.",
    "pointing run": "A planned series for judging a mount: one sync, then many checks without another.",
    "polar axis error": "How far the mount's axis stands from the pole: in altitude (+ too high) and in azimuth "
    "(+ too far east).",
    "programme": "The rules by which a list of objects is worked through for a certificate.",
    "reference": "The short code by which commands name a snag, a loan, an act of the history, or a conflict of two "
    "laptops: 4f2c1a.",
    "refraction": "The bending of light in the air, which lifts what is low: 10' at 5° of altitude.",
    "right ascension": "An object's place along the celestial equator, in hours, counted eastward.",
    "rms": "Root mean square: a kind of average that counts large misses more.",
    "sag": "The tube points lower than it should because it bends under its weight; + is lower.",
    "scatter": "What is left of the arrival offsets when everything that repeats is taken off.",
    "seeing": "How steady the air is. Scales run in different directions, so a number is kept with its scale.",
    "service": "Work done on an item: cleaning, mending, testing.",
    "set-up": "One mount and tube aligned once: from unfolding the tripod until it is moved, reset or packed away.",
    "shim": "A thin piece put under a tube ring to take a cone error away.",
    "site": "A place that one observes from: latitude, longitude (east positive), elevation, time zone.",
    "sky meter": "An instrument that tells how dark the sky is, in magnitudes per square arcsecond; more is darker.",
    "slack": "Play in the gears: a star is reached a little differently from one side and from the other.",
    "snag": "Something that went wrong, tied to a step of the checklist.",
    "squareness": "The two axes are not at right angles to each other. + leans toward the visible pole.",
    "standard deviation": "How far off a value may well be, written after ±; twice it holds the truth 19 times in 20.",
    "store-room": "All items of the club, wherever they are: in, on loan, missing, retired, written off.",
    "surface brightness": "How bright an object is for its size, in magnitudes per square arcsecond; more is fainter.",
    "sync": "A star centred and accepted by the controller as where it points.",
    "tick": "To note that a step of the checklist is done, with what was read, or that it went wrong.",
    "transparency": "How clear the air is; haze and thin cloud lower it.",
    "true field": "The piece of sky that an eyepiece shows in a tube, in arcminutes or degrees.",
    "tube": "The telescope itself, without its mount.",
    "UTC": "Universal time, the same everywhere; times are stored in it, and typed with a Z: 20:40Z.",
    "verdict": "What the evidence says: a mount is worsening, improving or steady, or it cannot be told; an item is "
    "ready, watch, service, out or retired.",
    "zero point": "What the controller adds to its counts to know where it points; a sync sets it.",
}


class NoSuchWord(WrongInput):
    def __init__(self, word: str) -> None:
        near = nearest_words(word)
        hint = f"Did you mean {' or '.join(near)}? " if near else ""
        super().__init__(f"There is no word named {word!r}.", f"{hint}See them all: obslog words")


def near_words(text: str) -> list[str]:
    """The words that are meant by a text: the one of that name, or else all that hold it."""
    typed = " ".join(text.split()).casefold()
    exact = [word for word in WORDS if word.casefold() == typed]
    return exact or [word for word in WORDS if typed and typed in word.casefold()]


def nearest_words(text: str) -> list[str]:
    """The words that look most like a text that is none; else those of several words of which one looks like it."""
    alike = nearest_names(text, list(WORDS), _MOST)
    if alike:
        return alike
    parts = [part for word in WORDS for part in word.casefold().split()]
    near = get_close_matches(text.casefold(), parts, n=_MOST, cutoff=_ALIKE)
    return [word for word in WORDS if set(word.casefold().split()) & set(near)][:_MOST]
