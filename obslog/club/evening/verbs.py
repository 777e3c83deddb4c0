"""The verbs of the evening: what each is for, how a line of it is written, and what may stand behind it.

At the prompt any beginning that only one verb has is enough: `sy vega 3E2N`, `u`. Where one verb is the beginning of
the others that fit, it is meant: `ch` is check, and checklist begins with `checkl`.
"""

from dataclasses import dataclass
from enum import StrEnum


class Takes(StrEnum):
    """What may stand behind a verb; of a kind that has names, its name in the records."""

    STAR = "star"
    STEP = "step"
    WHERE = "where"
    SITE = "site"
    MOUNT = "mount"
    TUBE = "tube"
    EYEPIECE = "eyepiece"
    MEMBER = "member"
    BATTERY = "item"
    SCALE = "scale"
    SIDE = "side"
    VERB = "verb"
    TAG = "tag"


@dataclass(frozen=True, slots=True, kw_only=True)
class Verb:
    """A verb of the evening.

    `summary` is its line in `help`, short enough for 40 columns, and `more` is said with it in the help of the verb
    itself. `takes` says what may stand behind it, for completion; `words` are its own words.
    """

    name: str
    summary: str
    written: str
    more: str = ""
    examples: tuple[str, ...] = ()
    changes: bool = False
    takes: tuple[Takes, ...] = ()
    words: tuple[str, ...] = ()


_ALL = (
    Verb(
        name="sync",
        summary="A star centred and accepted.",
        more="Where it stood before you centred it is what tells.",
        written="sync STAR [WHERE] [pw or pe] [; note]",
        examples=("sync vega 3E2N pw", "21:05 sy capella centred"),
        changes=True,
        takes=(Takes.STAR, Takes.WHERE),
    ),
    Verb(
        name="check",
        summary="A star measured, not synced.",
        written="check STAR [WHERE] [pw or pe] [; note]",
        examples=("ch procyon 1E 4N",),
        changes=True,
        takes=(Takes.STAR, Takes.WHERE),
    ),
    Verb(
        name="goto",
        summary="An ordinary go-to.",
        more="Where it landed is worth a word: edge, in, lost.",
        written="goto OBJECT [WHERE] [pw or pe] [; note]",
        examples=("g m31 edge",),
        changes=True,
        takes=(Takes.STAR, Takes.WHERE),
    ),
    Verb(
        name="saw",
        summary="Something seen.",
        written="saw OBJECT [; what it looked like]",
        examples=("sa m81; oval glow, brighter middle",),
        changes=True,
        takes=(Takes.STAR,),
    ),
    Verb(
        name="suspected",
        summary="Perhaps seen.",
        more="You are not sure that you saw it.",
        written="suspected OBJECT [; words]",
        changes=True,
        takes=(Takes.STAR,),
    ),
    Verb(
        name="not-seen",
        summary="Looked for in vain.",
        more="That counts too.",
        written="not-seen OBJECT [; words]",
        changes=True,
        takes=(Takes.STAR,),
    ),
    Verb(
        name="snag",
        summary="What went wrong.",
        more="The step comes first, then your words.",
        written="snag STEP WORDS",
        examples=("sn key-in summer time was off",),
        changes=True,
        takes=(Takes.STEP,),
    ),
    Verb(
        name="edit",
        summary="Correct what was typed.",
        more="An arrival, the last or that of the number, or what was seen.",
        written="[new time] edit [NUMBER] [ROLE] [STAR] [WHERE] [; note], or edit [NUMBER] remove; "
        "edit saw [NUMBER] [OBJECT] [rating 4, not seen...] [; words], or edit saw [NUMBER] remove",
        examples=(
            "edit 3 3W 2N",
            "21:05 edit 3",
            "edit 3 capella",
            "edit remove",
            "edit saw 2 rating 4; round",
        ),
        changes=True,
        takes=(Takes.STAR, Takes.WHERE),
        words=("remove",),
    ),
    Verb(
        name="undo",
        summary="Take the last change back.",
        more="Again to go further back; with the reference of an act, that one.",
        written="undo [REFERENCE]",
        examples=("undo 3fa92c",),
        changes=True,
    ),
    Verb(name="redo", summary="Do again what was undone.", written="redo", changes=True),
    Verb(
        name="tick",
        summary="A checklist step is done.",
        more="With what was read or set.",
        written="tick STEP [VALUE] [wrong]",
        examples=("tick power 12.6 12.1", "ti level wrong"),
        changes=True,
        takes=(Takes.STEP,),
        words=("wrong",),
    ),
    Verb(
        name="battery",
        summary="A battery's volts.",
        more="At rest and then under load; alone, its tests.",
        written="battery [NAME] [VOLTS AT REST] [VOLTS UNDER LOAD]",
        examples=("battery 12.6 12.1",),
        changes=True,
        takes=(Takes.BATTERY,),
    ),
    Verb(
        name="sky",
        summary="What the sky is like.",
        more="A scale and a number.",
        written="[time] sky SCALE NUMBER",
        examples=("sky meter 20.9", "sky antoniadi 2"),
        changes=True,
        takes=(Takes.SCALE,),
    ),
    Verb(
        name="eyepiece",
        summary="Change the eyepiece.",
        more="For what follows; alone, show it.",
        written="eyepiece NAME",
        changes=True,
        takes=(Takes.EYEPIECE,),
    ),
    Verb(
        name="pier",
        summary="The side the tube is on.",
        more="East or west of the pier, for the arrivals that follow.",
        written="[time] pier east, or pier west; alone, show it",
        changes=True,
        takes=(Takes.SIDE,),
    ),
    Verb(
        name="flip",
        summary="The tube changes sides.",
        more="To the other side of the pier.",
        written="[time] flip",
        changes=True,
    ),
    Verb(name="next", summary="What to do, or sync, next.", written="next"),
    Verb(
        name="where",
        summary="Where something is now.",
        written="[time] where OBJECT",
        examples=("wher m13",),
        takes=(Takes.STAR,),
    ),
    Verb(
        name="when",
        summary="When it is up tonight.",
        more="When it rises and sets, and when it is best seen.",
        written="when OBJECT",
        takes=(Takes.STAR,),
    ),
    Verb(
        name="list",
        summary="What is on record.",
        more="The arrivals of this set-up and what was seen tonight.",
        written="list",
    ),
    Verb(
        name="history",
        summary="Who did what, and when.",
        more="The newest acts; or all that an act did, or the life of a record.",
        written="history [NAME or REFERENCE] [most NUMBER]",
        examples=("history heron", "history most 40"),
        takes=(Takes.MOUNT, Takes.TUBE, Takes.EYEPIECE, Takes.MEMBER, Takes.SITE),
        words=("most",),
    ),
    Verb(name="brief", summary="Tonight on one screen.", written="[time] brief"),
    Verb(
        name="checklist",
        summary="The steps of a set-up.",
        more="In their order; short: titles, values and snags only.",
        written="checklist [short]",
        words=("short",),
    ),
    Verb(
        name="pole",
        summary="The pole star's place.",
        more="Where it stands about the pole now, in each view.",
        written="[time] pole",
    ),
    Verb(
        name="targets",
        summary="What to look at next.",
        more="From west to east.",
        written="targets [messier, caldwell or doubles]",
        words=("messier", "caldwell", "doubles"),
    ),
    Verb(name="note", summary="A note on the night.", written="note WORDS", changes=True),
    Verb(
        name="night",
        summary="Start or end the night.",
        more="Alone, show it.",
        written="night start [SITE] [with NAMES], night end [; note], or night",
        examples=("night start mill with ines, bram",),
        changes=True,
        takes=(Takes.SITE, Takes.MEMBER),
        words=("start", "end"),
    ),
    Verb(
        name="setup",
        summary="Start or end a set-up.",
        more="Or go on with another that is open; alone, show it.",
        written="setup start MOUNT[, TUBE][, EYEPIECE][, OBSERVER], setup end, setup MOUNT, or setup",
        examples=("setup start heron, long tube, wide 25, ines",),
        changes=True,
        takes=(Takes.MOUNT, Takes.TUBE, Takes.EYEPIECE, Takes.MEMBER),
        words=("start", "end"),
    ),
    Verb(
        name="stocktake",
        summary="Count what is on the shelves.",
        more="Once it is started each line is a tag or a whole name, until done.",
        written="stocktake start [NAME], stocktake saw [TAG or NAME] [without PART, PART] [; note], "
        "stocktake at [PLACE], stocktake done, stocktake show or stocktake, stocktake finish",
        examples=(
            "stocktake start ines",
            "stocktake at shelf 2",
            "stocktake saw evening kit without dew cap",
        ),
        changes=True,
        takes=(Takes.TAG, Takes.MOUNT, Takes.TUBE, Takes.EYEPIECE, Takes.BATTERY, Takes.MEMBER),
        words=("start", "saw", "at", "show", "done", "finish"),
    ),
    Verb(
        name="quiet",
        summary="Cautions only.",
        more="Again, or quiet off, to hear the rest again.",
        written="quiet [on or off]",
        words=("on", "off"),
    ),
    Verb(
        name="help",
        summary="These lines; or help VERB.",
        more="How a line of the verb is written.",
        written="help [VERB]",
        takes=(Takes.VERB,),
    ),
    Verb(name="quit", summary="Leave the prompt.", more="Night and set-up stay open.", written="quit"),
)
VERBS = {verb.name: verb for verb in _ALL}

_BEGIN, _END = ("start", "begin"), ("end", "finish", "close")
ALSO_SAID: dict[tuple[str, ...], tuple[str, ...]] = {
    ("exit",): ("quit",),
    ("bye",): ("quit",),
    ("?",): ("help",),
    ("seen",): ("saw",),
    ("not", "seen"): ("not-seen",),
    ("tonight",): ("brief",),
    ("set", "up"): ("setup",),
    **{(word, thing): (thing, "start") for word in _BEGIN for thing in ("night", "setup")},
    **{(word, thing): (thing, "end") for word in _END for thing in ("night", "setup")},
    **{(word, "set-up"): ("setup", "start") for word in _BEGIN},
    **{(word, "set-up"): ("setup", "end") for word in _END},
}
"""What people type in place of a verb, and what is meant by it."""

INSTEAD = {
    **dict.fromkeys(_BEGIN, "The night: night start. A set-up: setup start MOUNT"),
    **dict.fromkeys((*_END, "stop"), "The set-up: setup end. The night: night end. The prompt: quit"),
    **dict.fromkeys(("delete", "remove", "del"), "An arrival: edit 4 remove. What was typed last: undo"),
    **dict.fromkeys(("show", "print"), "What is on record: list. One set-up: setup. The night: night"),
    **dict.fromkeys(("look", "observed", "observe", "view"), "What you saw: saw m42; WORDS"),
    "me": "Who you are is said outside the prompt: obslog member me NAME",
}
"""What to do for words that begin no line and may be meant in several ways."""
