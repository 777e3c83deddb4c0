"""The steps of a set-up in their order, each with what to do, how well, and why.

The numbers follow from spherical astronomy unless a step says "common practice".
"""

from dataclasses import dataclass, replace

from obslog.vocabulary.cautions import BATTERY_CAUTION, COLLIMATION_LASER_CAUTION, LASER_CAUTION
from obslog.vocabulary.mounts import Controller, MountType
from obslog.vocabulary.steps import Step, StepKey


@dataclass(frozen=True, slots=True, kw_only=True)
class StepGuide:
    """One step as it is read to a person."""

    step: StepKey
    title: str
    do: str
    tolerance: str
    why: str


EQUATORIAL = (
    StepGuide(
        step=Step.PACK,
        title="Pack box by box",
        do="Check against the list, not from memory: eyepieces, hand controller, battery, counterweight, power lead, pencil. "
        "Dress for a colder night than forecast and take a charged phone. Whoever goes alone tells somebody where, and when "
        "to expect them back.",
        tolerance="nothing missing; battery charged",
        why="These are what is usually left at home (common practice).",
    ),
    StepGuide(
        step=Step.GROUND,
        title="Choose the ground",
        do="Firm ground, the pole in view, no iron near a compass. One tripod leg toward the pole. Mark or light the legs.",
        tolerance="feet do not sink",
        why="A sinking leg looks like a polar axis that drifts all night. Tripods and cables are what people fall over.",
    ),
    StepGuide(
        step=Step.LEVEL,
        title="Level the tripod",
        do="Level it with a bubble that reads the same when turned end for end.",
        tolerance="0.5° if the altitude scale or the home position is used; else it need not be level",
        why="1° of tilt east or west throws an axis set by the scale 46' sideways at latitude 50.",
    ),
    StepGuide(
        step=Step.ASSEMBLE,
        title="Head, weights, then tube",
        do="Counterweights on before the tube, tube off before the weights, safety stop on the bar. Two people lift what is "
        "heavy; bend the knees.",
        tolerance="every lock tight",
        why="A tube without its weights tips the mount. Weights and bars at head height hurt people.",
    ),
    StepGuide(
        step=Step.BALANCE,
        title="Balance both axes",
        do="Declination first, then right ascension, with the eyepiece you will use.",
        tolerance="stays where it is put, clutches loose",
        why="An axis out of balance slips or stalls late at night, when the battery sags.",
    ),
    StepGuide(
        step=Step.HOME,
        title="Home position",
        do="Counterweight down, tube toward the pole: the declination circle reads 90°, in the south on some -90°. Clutches "
        "are not touched after this.",
        tolerance="declination circle within 0.5°",
        why="A home position 15' off puts every declination 15' wrong, the other way after the meridian flip.",
    ),
    StepGuide(
        step=Step.FINDER,
        title="Align the finder",
        do=f"On a distant thing before dark, or on a bright star. Never toward the Sun. {LASER_CAUTION}",
        tolerance="a quarter of the eyepiece's field",
        why="A star in the finder that is not in the eyepiece costs more time than any other mistake.",
    ),
    StepGuide(
        step=Step.CABLES,
        title="Run the cables",
        do="Slack for both sides of the meridian; walk the mount through its range by hand; tie the power plug.",
        tolerance="nothing catches",
        why="A plug that works loose loses the position; a cable that catches stalls a motor.",
    ),
    StepGuide(
        step=Step.POWER,
        title="Power",
        do="Run one axis at full speed, add the other: the pitch must not fall. Note the volts at rest and slewing. Fuse at the "
        f"battery; mains only through a residual-current device. {BATTERY_CAUTION}",
        tolerance="within the maker's limits while both axes slew",
        why="Low volts are the commonest cause of strange motion. 3 A over a thin 3 m lead loses 0.4 to 1 V.",
    ),
    StepGuide(
        step=Step.COOL,
        title="Let the tube cool",
        do=f"Outside; caps stay on until the Sun has set. Collimate when it has cooled. {COLLIMATION_LASER_CAUTION}",
        tolerance="30 to 45 minutes (common practice)",
        why="Warm air in the tube looks like bad seeing and bad collimation.",
    ),
    StepGuide(
        step=Step.KEY_IN,
        title="Key in place and time",
        do="Type them in, then read them ALOUD from the display to somebody: place, date, time, zone, summer time.",
        tolerance="time to 1 minute, place to a few arcminutes",
        why="An hour of summer time is 15°; a minute is 15'. Day and month swapped puts everything off by tens of degrees.",
    ),
    StepGuide(
        step=Step.POLAR_AXIS,
        title="Set the polar axis",
        do="With the polar scope or by drift; tighten, and look again after tightening.",
        tolerance="30' for looking, 10' if only one star will be synced, 5' for guided photographs",
        why="An axis 30' off lets a star drift 15' in about two hours, and go-tos miss by up to 30' from one sync.",
    ),
    StepGuide(
        step=Step.SYNC_STARS,
        title="Choose and sync the stars",
        do="Two on one side of the meridian, 3 h or more apart; the third on the other side. Altitude over 20°, declination "
        "within 70° of the equator. Say each name aloud and check it on a chart.",
        tolerance="the second lands within a field",
        why="A wrong star is the commonest reason for a failed alignment. The third star shows the cone error.",
    ),
    StepGuide(
        step=Step.CENTRE,
        title="Centre with care",
        do="High magnification or a cross-hair; always finish with the same two keys.",
        tolerance="1/10 of the field or better",
        why="Finishing from one side keeps the slack of the gears always on the same side.",
    ),
    StepGuide(
        step=Step.VERIFY,
        title="Verify on a star not used",
        do="One on each side of the meridian. Write down how far off it was, and which way, before centring it.",
        tolerance="inside the field of the lowest magnification",
        why="What you write here is what tells a bad mount from a bad night.",
    ),
    StepGuide(
        step=Step.WRITE_DOWN,
        title="Write it down",
        do="Values keyed in, stars synced, how far each was off, side of the pier, volts, who was there.",
        tolerance="before the first target",
        why="By morning nobody remembers.",
    ),
    StepGuide(
        step=Step.FINISH,
        title="Finish",
        do="Note how far the home position has drifted. Cap everything before sunrise and park away from where the Sun will "
        "rise. The tube goes on last and comes off first. If you are tired, sleep before you drive.",
        tolerance="capped before the Sun is up",
        why="A tube left open finds the Sun by itself. Never look toward the Sun without a proper front filter.",
    ),
)

_OF = {guide.step: guide for guide in EQUATORIAL}


def _without(guide: StepGuide, words: str) -> StepGuide:
    """The same where a mount has no such part."""
    return replace(guide, do=guide.do.replace(words, ""))


_NO_PIER: dict[StepKey, StepGuide] = {
    Step.PACK: _without(_OF[Step.PACK], "counterweight, "),
    Step.WRITE_DOWN: _without(_OF[Step.WRITE_DOWN], "side of the pier, "),
}
_FORK: dict[StepKey, StepGuide] = {
    **_NO_PIER,
    Step.ASSEMBLE: replace(
        _OF[Step.ASSEMBLE],
        title="Wedge, fork, then tube",
        do="Hold the tube until the screws are tight. Two people lift what is heavy; bend the knees.",
        why="A tube that is not held drops.",
    ),
    Step.HOME: replace(
        _OF[Step.HOME],
        do="As the controller asks: as a rule the tube along the polar axis. Clutches are not touched after this.",
        why="A home position 15' off puts every declination 15' wrong.",
    ),
    Step.SYNC_STARS: replace(
        _OF[Step.SYNC_STARS], why="A wrong star is the commonest reason for a failed alignment."
    ),
}
_ALTAZ: dict[StepKey, StepGuide] = {
    **_NO_PIER,
    Step.GROUND: replace(
        _OF[Step.GROUND],
        do="Firm ground, an open sky, no iron near a compass. Mark or light the legs.",
        why="A sinking leg tilts the base, and everything with it. Tripods and cables are what people fall over.",
    ),
    Step.LEVEL: replace(
        _OF[Step.LEVEL],
        title="Level the base",
        do="Level it with a bubble that reads the same when turned end for end; turn the head through a circle and look again.",
        tolerance="0.5°; better if only one star will be synced",
        why="The tilt of the base is this mount's polar axis error: after one sync, 1° of tilt can miss by 1° elsewhere.",
    ),
    Step.ASSEMBLE: replace(
        _OF[Step.ASSEMBLE],
        title="Base, arm, then tube",
        do="Hold the tube until the screw is tight. Two people lift what is heavy; bend the knees.",
        why="A tube that is not held drops.",
    ),
    Step.BALANCE: replace(
        _OF[Step.BALANCE],
        title="Balance the tube",
        do="In altitude, with the eyepiece you will use.",
        tolerance="stays where it is put",
        why="A heavy eyepiece end lets the tube creep down.",
    ),
    Step.HOME: replace(
        _OF[Step.HOME],
        do="As the controller asks: as a rule the tube level, and toward true north; never where the Sun stands or will rise.",
        tolerance="1°; magnetic declination allowed for",
        why="The compass shows magnetic north; iron and speakers turn it further.",
    ),
    Step.CABLES: replace(
        _OF[Step.CABLES],
        do="Slack for a whole turn in azimuth; untwist them before the night. Walk the mount through its range by hand; tie "
        "the power plug.",
    ),
    Step.SYNC_STARS: replace(
        _OF[Step.SYNC_STARS],
        do="Two of them 90° or more apart in azimuth; all between 20° and 70° high. Say each name aloud and check it on a "
        "chart.",
        why="A wrong star is the commonest reason for a failed alignment. Near the zenith the azimuth is poorly known.",
    ),
}
_OTHERWISE = {MountType.FORK: _FORK, MountType.ALTAZ: _ALTAZ}
_BY_HAND = "What was set and how, what did not go well, volts, who was there."
_CONTROLLERS = (Step.HOME, Step.KEY_IN, Step.SYNC_STARS, Step.CENTRE, Step.VERIFY)


def steps_for(mount_type: MountType | None, controller: Controller | None = None) -> tuple[StepGuide, ...]:
    """The steps in order for a mount of that type; those of a german one where the type is unknown.

    An alt-azimuth mount has no polar axis to set: levelling takes its place. One without a controller has nothing to
    key in and no stars to sync.
    """
    otherwise = _OTHERWISE.get(mount_type, {}) if mount_type else {}
    left_out = {Step.POLAR_AXIS} if mount_type is MountType.ALTAZ else set()
    guides = [otherwise.get(guide.step, guide) for guide in EQUATORIAL if guide.step not in left_out]
    if controller is not Controller.NONE:
        return tuple(guides)
    by_hand = [guide for guide in guides if guide.step not in _CONTROLLERS]
    return tuple(replace(g, do=_BY_HAND) if g.step == Step.WRITE_DOWN else g for g in by_hand)
