"""The verbs of the evening: what each is for, how a line of it is written, and what may stand behind it.

At the prompt any beginning that only one verb has is enough: `sy vega 3E2N`, `u`. Where one verb is the beginning of
the others that fit, it is meant: `ch` is check, and checklist begins with `checkl`.
"""

from dataclasses import dataclass

STAR, STEP, WHERE, SITE, MOUNT, TUBE, EYEPIECE, MEMBER, BATTERY, SCALE, SIDE, VERB = (
    "star", "step", "where", "site", "mount", "tube", "eyepiece", "member", "item", "scale", "side", "verb",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Verb:
    """A verb of the evening. `takes` says what may stand behind it, for completion; `words` are its own words."""

    name: str
    summary: str
    written: str
    examples: tuple[str, ...] = ()
    changes: bool = False
    takes: tuple[str, ...] = ()
    words: tuple[str, ...] = ()


_ALL = (
    Verb(
        name="sync",
        summary="A sync star, and where it stood before you centred it.",
        written="sync STAR [WHERE] [pw or pe] [; note]",
        examples=("sync vega 3E2N pw", "21:05 sy capella centred"),
        changes=True,
        takes=(STAR, WHERE),
    ),
    Verb(
        name="check",
        summary="A check star: measured, not synced on.",
        written="check STAR [WHERE] [pw or pe] [; note]",
        examples=("ch procyon 1E 4N",),
        changes=True,
        takes=(STAR, WHERE),
    ),
    Verb(
        name="goto",
        summary="An ordinary go-to, and where it landed.",
        written="goto OBJECT [WHERE] [pw or pe] [; note]",
        examples=("g m31 edge",),
        changes=True,
        takes=(STAR, WHERE),
    ),
    Verb(
        name="saw",
        summary="Something seen.",
        written="saw OBJECT [; what it looked like]",
        examples=("sa m81; oval glow, brighter middle",),
        changes=True,
        takes=(STAR,),
    ),
    Verb(
        name="suspected",
        summary="Something of which you are not sure that you saw it.",
        written="suspected OBJECT [; words]",
        changes=True,
        takes=(STAR,),
    ),
    Verb(
        name="not-seen",
        summary="Something looked for and not seen: that counts too.",
        written="not-seen OBJECT [; words]",
        changes=True,
        takes=(STAR,),
    ),
    Verb(
        name="snag",
        summary="What went wrong, and at which step.",
        written="snag STEP WORDS",
        examples=("sn key-in summer time was off",),
        changes=True,
        takes=(STEP,),
    ),
    Verb(
        name="edit",
        summary="Correct an arrival, the last typed in or that of the number, or what was seen.",
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
        takes=(STAR, WHERE),
        words=("remove",),
    ),
    Verb(
        name="undo",
        summary="Take the last change back; again to go further back.",
        written="undo",
        changes=True,
    ),
    Verb(name="redo", summary="Do again what was undone last.", written="redo", changes=True),
    Verb(
        name="tick",
        summary="A step of the checklist is done, with what was read or set.",
        written="tick STEP [VALUE] [wrong]",
        examples=("tick power 12.6 12.1", "ti level wrong"),
        changes=True,
        takes=(STEP,),
        words=("wrong",),
    ),
    Verb(
        name="battery",
        summary="The volts of a battery, at rest and then under load; alone, its tests.",
        written="battery [NAME] [VOLTS AT REST] [VOLTS UNDER LOAD]",
        examples=("battery 12.6 12.1",),
        changes=True,
        takes=(BATTERY,),
    ),
    Verb(
        name="sky",
        summary="What the sky is like: a scale and a number.",
        written="[time] sky SCALE NUMBER",
        examples=("sky meter 20.9", "sky antoniadi 2"),
        changes=True,
        takes=(SCALE,),
    ),
    Verb(
        name="eyepiece",
        summary="Change the eyepiece, for what follows.",
        written="eyepiece NAME",
        changes=True,
        takes=(EYEPIECE,),
    ),
    Verb(
        name="pier",
        summary="The side of the pier the tube is on, for the arrivals that follow.",
        written="[time] pier east, or pier west; alone, show it",
        changes=True,
        takes=(SIDE,),
    ),
    Verb(
        name="flip",
        summary="The tube goes to the other side of the pier.",
        written="[time] flip",
        changes=True,
    ),
    Verb(name="next", summary="What to do next, or which stars to sync on.", written="next"),
    Verb(
        name="where",
        summary="Where something stands now.",
        written="[time] where OBJECT",
        examples=("wher m13",),
        takes=(STAR,),
    ),
    Verb(
        name="when",
        summary="When something rises, sets and is best seen tonight.",
        written="when OBJECT",
        takes=(STAR,),
    ),
    Verb(name="list", summary="The arrivals of this set-up and what was seen tonight.", written="list"),
    Verb(name="brief", summary="Tonight on one screen.", written="[time] brief"),
    Verb(
        name="checklist",
        summary="The steps of a set-up in order; short: titles, values and snags only.",
        written="checklist [short]",
        words=("short",),
    ),
    Verb(name="pole", summary="Where the pole star stands about the pole now.", written="[time] pole"),
    Verb(
        name="targets",
        summary="What to look at tonight, from west to east.",
        written="targets [messier, caldwell or doubles]",
        words=("messier", "caldwell", "doubles"),
    ),
    Verb(name="note", summary="A note on the night.", written="note WORDS", changes=True),
    Verb(
        name="night",
        summary="Start or end the night; alone, show it.",
        written="night start SITE [with NAMES], night end [; note], or night",
        examples=("night start mill with ines, bram",),
        changes=True,
        takes=(SITE, MEMBER),
        words=("start", "end"),
    ),
    Verb(
        name="setup",
        summary="Start or end a set-up, or go on with another that is open; alone, show it.",
        written="setup start MOUNT [TUBE] [EYEPIECE] [OBSERVER], setup end, setup MOUNT, or setup",
        examples=("setup start heron, long tube, wide 25, ines",),
        changes=True,
        takes=(MOUNT, TUBE, EYEPIECE, MEMBER),
        words=("start", "end"),
    ),
    Verb(
        name="quiet",
        summary="Say less of your own accord, cautions excepted; again, or quiet off, to say it again.",
        written="quiet [on or off]",
        words=("on", "off"),
    ),
    Verb(
        name="help",
        summary="The verbs, or how a line of one is written.",
        written="help [VERB]",
        takes=(VERB,),
    ),
    Verb(name="quit", summary="Leave the prompt; night and set-up stay open.", written="quit"),
)
VERBS = {verb.name: verb for verb in _ALL}
