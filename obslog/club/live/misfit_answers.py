"""An arrival that does not fit the others: what would explain it, how to mend it, and whether to keep it."""

from dataclasses import dataclass, replace

import numpy as np

from obslog.club.live.answers import LiveAnswer, LiveKind
from obslog.club.live.situation import Situation
from obslog.english import counted
from obslog.errors import quoted
from obslog.estimate_words import chance_words
from obslog.grammar.target_names import target_named
from obslog.offsets import offset_words
from obslog.pointing.joint_fit.arrivals import Arrivals, Machine
from obslog.pointing.joint_fit.suspects import NEAR_SD, SLIPS, Turn
from obslog.pointing.model.frames import BoolArray
from obslog.pointing.model.geometry import side_is_seen
from obslog.pointing.tonight.mount_record import MountRecord
from obslog.pointing.tonight.setup_fit import SetupFit, fit_setup
from obslog.records.tables.logbook_tables import Arrival
from obslog.sky.names.star_tables import Star, all_stars
from obslog.vocabulary.arrivals import Role
from obslog.vocabulary.mounts import MountType, PierSide

SURELY_WRONG = 0.9
LEAST_MISS_ARCMIN, LEAST_MISS_SD = 8.0, 4.0
"""What an eye and a loose mount miss by now and then is no mistake that somebody could mend; judged."""
MOST_NOISE_ARCMIN = 10.0
"""A mount that scatters more widely cannot tell a sync on the wrong star from its own play; judged."""
FEWEST_MISFITS, MOST_MISFITS = 2, 0.4
"""Of more arrivals than that it is not they that are wrong, but what they are judged by."""
FITS_AGAIN = 0.3
NEAR_ARCMIN = 6.0


@dataclass(frozen=True, slots=True)
class ArrivalExplanation:
    """What would make an arrival fit, and the command that says so."""

    words: str
    mend: str


def misfit_answers(at: Situation, fit: SetupFit) -> list[LiveAnswer]:
    """The arrivals, and syncs, that are surely wrong: the likeliest mistake of each."""
    if at.arrivals is None or at.machine is None or at.record is None:
        return []
    if not hang_together(fit):
        return [_nothing_fits(fit)]
    wrong, astray = _surely_wrong(fit)
    return [
        _astray_sync(at, place, float(fit.wrong_centring[place]))
        if astray[place]
        else _misfit(at, fit, place, float(fit.wrong_arrival[place]))
        for place in np.flatnonzero(astray | wrong).tolist()
    ]


def hang_together(fit: SetupFit) -> bool:
    """Whether most arrivals agree; else nothing that is computed from them is worth saying."""
    wrong, astray = (int(np.count_nonzero(which)) for which in _surely_wrong(fit))
    rows = np.count_nonzero(np.isfinite([fit.wrong_arrival, fit.wrong_centring]))
    return bool(wrong + astray < FEWEST_MISFITS or wrong + astray <= MOST_MISFITS * rows)


def _surely_wrong(fit: SetupFit) -> tuple[BoolArray, BoolArray]:
    """Which arrivals (n,) are surely wrong, and which syncs were surely of another star."""
    away = np.hypot(fit.residual_east_arcmin, fit.residual_north_arcmin)
    far = away > max(LEAST_MISS_ARCMIN, LEAST_MISS_SD * fit.noise_arcmin)
    astray = (fit.wrong_centring > SURELY_WRONG) & (fit.noise_arcmin < MOST_NOISE_ARCMIN)
    return far & (fit.wrong_arrival > SURELY_WRONG), astray


def _nothing_fits(fit: SetupFit) -> LiveAnswer:
    count = int(np.count_nonzero(np.isfinite(fit.wrong_arrival)))
    return LiveAnswer(
        kind=LiveKind.MISFIT,
        words=(
            f"the {counted(count, 'arrival')} do not fit one another: look at the time, date and place keyed in, "
            "at the clutches, and which stars they were; or align anew"
        ),
        about="all",
    )


def _misfit(at: Situation, fit: SetupFit, place: int, chance: float) -> LiveAnswer:
    arrival, number = at.arrival(place), int(at.numbers[place])
    east, north = float(fit.residual_east_arcmin[place]), float(fit.residual_north_arcmin[place])
    why = _explanation(at, fit, place)
    away = offset_words(round(east), round(north)).replace(".0", "'")
    words = (
        f"{number}. {arrival.target} does not fit ({chance_words(chance)}): {away} of where it should stand"
    )
    remove = f"edit {number} --remove"
    if why is None:
        advice = f"keep it, it hardly counts; or look again, and if it was a slip: {remove}"
    else:
        advice = f"{why.words}: {why.mend}; else keep it, it hardly counts"
    return LiveAnswer(
        kind=LiveKind.MISFIT,
        words=f"{words}; {advice}",
        about=f"{arrival.id}",
        probability=chance,
        mend=(why.mend, remove) if why else (remove,),
    )


def _astray_sync(at: Situation, place: int, chance: float) -> LiveAnswer:
    arrival, number = at.arrival(place), int(at.numbers[place])
    return LiveAnswer(
        kind=LiveKind.MISFIT,
        words=(
            f"{number}. the sync on {arrival.target} does not fit what came after ({chance_words(chance)}): "
            "another star may have been centred; sync again on one you are sure of"
        ),
        about=f"{arrival.id}",
        probability=chance,
        mend=(f"edit {number} --remove",),
    )


def _explanation(at: Situation, fit: SetupFit, place: int) -> ArrivalExplanation | None:
    """The likeliest slip that makes the arrival fit: of the pen, of the side of the pier, of the star."""
    assert at.arrivals is not None
    assert at.machine is not None
    assert at.record is not None
    arrival, number = at.arrival(place), int(at.numbers[place])
    written = np.array([at.arrivals.offset_east_arcmin[place], at.arrivals.offset_north_arcmin[place]])
    away = np.array([fit.residual_east_arcmin[place], fit.residual_north_arcmin[place]])
    reach = NEAR_SD * fit.noise_arcmin
    slip = _slip_of_the_pen(written, written - away, reach)
    if slip is not None:
        words, turned = slip
        return ArrivalExplanation(words, f'edit {number} --where "{offset_words(*turned)}"')
    side = _other_side(at.machine, at.arrivals, at.record, place)
    if side is not None:
        return ArrivalExplanation(
            f"it fits if the tube was {side} of the pier", f"edit {number} --pier {side.value}"
        )
    if arrival.role != Role.SYNC:
        star = _star_there(arrival, away, max(reach, NEAR_ARCMIN))
        if star is not None:
            return ArrivalExplanation(
                f"{star.name} stands just there: if that was the star",
                f"edit {number} --target {quoted(star.name)}",
            )
    return None


def _slip_of_the_pen(
    written: np.ndarray, predicted: np.ndarray, reach_arcmin: float
) -> tuple[str, tuple[float, float]] | None:
    """The slip that brings the offset nearest to where the star was expected, and the offset without it."""
    turned = [
        (words, np.array(turn) @ written) for words, turn in SLIPS if _tells(turn, predicted, reach_arcmin)
    ]
    words, best = min(turned, key=lambda one: float(np.hypot(*(one[1] - predicted))))
    if np.hypot(*(best - predicted)) > reach_arcmin:
        return None
    return words, (float(best[0]), float(best[1]))


def _tells(turn: Turn, predicted: np.ndarray, reach_arcmin: float) -> bool:
    """Whether a slip explains anything: any offset at all, made small enough, fits a star expected in the centre."""
    shrinks = abs(turn[0][0]) + abs(turn[0][1]) < 1.0
    return not shrinks or bool(np.hypot(*predicted) > reach_arcmin)


def _other_side(machine: Machine, arrivals: Arrivals, record: MountRecord, place: int) -> PierSide | None:
    """The other side of the pier, where with it the arrival fits; none where no side that is written counts."""
    if machine.mount_type is not MountType.GERMAN or not side_is_seen(arrivals.stars.hour_angle_deg[place]):
        return None
    west = arrivals.stars.tube_west.copy()
    west[place] = not west[place]
    other = replace(arrivals, stars=replace(arrivals.stars, tube_west=west))
    if fit_setup(machine, other, record).wrong_arrival[place] > FITS_AGAIN:
        return None
    return PierSide.WEST if west[place] else PierSide.EAST


def _star_there(arrival: Arrival, away: np.ndarray, reach_arcmin: float) -> Star | None:
    """The bright star that stands where the one that was seen must have stood."""
    target = target_named(arrival.target)
    ra_hours = arrival.ra_hours if arrival.ra_hours is not None else target.ra_hours
    dec_deg = arrival.dec_deg if arrival.dec_deg is not None else target.dec_deg
    if ra_hours is None or dec_deg is None:
        return None
    stars = all_stars()
    dec = np.array([star.dec_deg for star in stars])
    shrink = np.cos(np.radians(dec))
    turn_deg = (np.array([star.ra_hours for star in stars]) - ra_hours) * 15.0
    east = ((turn_deg + 180.0) % 360.0 - 180.0) * shrink * 60.0
    miss = np.hypot(east - away[0], (dec - dec_deg) * 60.0 - away[1])
    nearest = int(np.argmin(miss))
    star = stars[nearest]
    return star if miss[nearest] < reach_arcmin and star.name != target.name else None
