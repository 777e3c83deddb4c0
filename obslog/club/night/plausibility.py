"""What of an observation is doubtful when it is typed, and is questioned before it goes on record."""

from collections.abc import Callable
from datetime import datetime, timedelta

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.register.observing_site import place_of, zone_or_none
from obslog.club.sky.altitudes import alt_az_deg
from obslog.errors import WrongInput, quoted
from obslog.fields import MAGNIFICATION
from obslog.grammar.target_names import Target
from obslog.horizon import hidden_alt_deg, read_horizon
from obslog.records.tables.logbook_tables import Eyepiece, Observation, Setup, Site, Tube
from obslog.times import shown_local
from obslog.vocabulary.mounts import MountType, PierSide

TYPED_LATE = timedelta(minutes=30)  # a set-up is often typed in when its first stars are done; judged
WORTH_A_LOOK_ARCMIN = 60.0
"""What a first star is off at least before more is loaded to look for a mistake of the time or the place."""
LOWEST_ALT_DEG = -1.0  # what mist, hills and a rough clock leave in doubt
SAME_MAGNIFICATION, SAME_LENS = 0.1, 0.05
# Common practice: how far past it mounts follow before they turn over.
NEAR_MERIDIAN_HOURS, OVER_PIER_HOURS = 1.0, 6.0
# Common practice: the factors of Barlow lenses and focal reducers on the market, from memory.
LENS_FACTORS = (0.5, 0.63, 0.8, 1.5, 1.6, 2.0, 2.25, 2.5, 3.0, 4.0, 5.0)
_WITHOUT_PIER = {MountType.FORK: "a fork", MountType.ALTAZ: "an altaz"}


class Doubtful(WrongInput):
    """Something that may be meant, but is more likely a slip; `--sure` takes it as it is.

    `details` is what else is doubtful about it: who says that the one is right has been told of the others.
    """

    details: tuple[str, ...] = ()


def question_all(*questions: Callable[[], object]) -> None:
    """Ask all the questions, and raise the first Doubtful with what the others say."""
    doubts: list[Doubtful] = []
    for question in questions:
        try:
            question()
        except Doubtful as doubt:
            doubts.append(doubt)
    if doubts:
        doubts[0].details += tuple(
            detail for doubt in doubts[1:] for detail in (f"Besides: {doubt.message}", *doubt.details)
        )
        raise doubts[0]


class BelowHorizon(Doubtful):
    def __init__(self, target: str, alt_deg: float, at: str, site: str) -> None:
        super().__init__(
            f"{target} stood {-alt_deg:.0f}° below the horizon of {site} at {at}.",
            "Check the time, the date of the evening and the object. If all are right, add --sure.",
        )


class BehindHorizon(Doubtful):
    def __init__(self, target: str, alt_deg: float, hidden_deg: float, at: str, site: str) -> None:
        super().__init__(
            f"{target} stood {alt_deg:.0f}° up at {at}, where the horizon of {site} hides {hidden_deg:.0f}°.",
            f"Check time, object and horizon (obslog site show {quoted(site)}). If all are right, add --sure.",
        )


class BeforeItsSetup(Doubtful):
    def __init__(self, at: str, begun: str) -> None:
        super().__init__(
            f"The set-up began at {begun}, after {at}.",
            "Check the time, or correct the set-up: obslog setup edit --start TIME. If both are right, add --sure.",
        )


class OtherSideOfPier(Doubtful):
    def __init__(
        self, target: str, at: str, hour_angle_hours: float, told: PierSide, ordinary: PierSide
    ) -> None:
        where = "west" if hour_angle_hours > 0 else "east"
        super().__init__(
            f"{target} stood {abs(hour_angle_hours):.1f} h {where} of the meridian at {at}: the tube is then on the "
            f"{ordinary} side of the pier, not on the {told}.",
            f"The side is the TUBE's, not the counterweight's: pier {ordinary}. If it is right, add --sure.",
        )


class OtherMagnification(Doubtful):
    def __init__(self, magnification: float, tube: str, eyepiece: str, expected: float) -> None:
        super().__init__(
            f"{tube} with {eyepiece} gives {expected:.0f}x, and no usual lens makes that {magnification:g}x.",
            "Check both, or name another eyepiece with --eyepiece. If it is right, add --sure.",
        )


def altitude_deg(target: Target, at_utc: datetime, site: Site) -> float | None:
    """How high the target stood, to a tenth of a degree; None where its place or the site's is unknown."""
    stood = alt_az_deg(target, at_utc, place_of(site))
    return None if stood is None else round(stood[0], 1)


def question_altitude(target: Target, at_utc: datetime, site: Site) -> None:
    """Raises BelowHorizon; BehindHorizon where trees or houses on record hide what is above it."""
    stood = alt_az_deg(target, at_utc, place_of(site))
    if stood is None:
        return
    alt_deg, az_deg = stood
    at = shown_local(at_utc, zone_or_none(site))
    if alt_deg < LOWEST_ALT_DEG:
        raise BelowHorizon(target.name, alt_deg, at, site.name)
    hidden_deg = hidden_alt_deg(read_horizon(site.horizon or ""), az_deg)
    if alt_deg < hidden_deg + LOWEST_ALT_DEG:
        raise BehindHorizon(target.name, alt_deg, hidden_deg, at, site.name)


def question_pier(
    side: PierSide | None, target: Target, at_utc: datetime, site: Site, mount_type: MountType | None
) -> None:
    """Raises OtherSideOfPier where a German mount has its tube on the side of the target.

    Near the meridian mounts turn over at hour angles of their own, and more than 6 h from it the tube has swung over
    the pier: there nothing is questioned, nor where the place of the target or the site is unknown.
    """
    hours = _hour_angle_hours(target, at_utc, site) if side and mount_type == MountType.GERMAN else None
    if side is None or hours is None:
        return
    ordinary = PierSide.EAST if hours > 0 else PierSide.WEST
    if NEAR_MERIDIAN_HOURS < abs(hours) < OVER_PIER_HOURS and side != ordinary:
        raise OtherSideOfPier(target.name, shown_local(at_utc, zone_or_none(site)), hours, side, ordinary)


def over_pier_remark(
    side: PierSide | None, target: Target, at_utc: datetime, site: Site, mount_type: MountType | None
) -> str | None:
    """Says so where a side is told of a star so far from the meridian that it does not count."""
    hours = _hour_angle_hours(target, at_utc, site) if side and mount_type == MountType.GERMAN else None
    if hours is None or abs(hours) < OVER_PIER_HOURS:
        return None
    return (
        f"{target.name} stood {abs(hours):.1f} h from the meridian: the tube has swung over the pier by then, and its "
        "side does not count."
    )


def _hour_angle_hours(target: Target, at_utc: datetime, site: Site) -> float | None:
    """None where the place of the target or the site is unknown."""
    place = place_of(site)
    stood = alt_az_deg(target, at_utc, place)
    if stood is None or place is None:
        return None
    from obslog.sky.places.quick_altitude import hour_angle_hours

    return hour_angle_hours(*stood, place)


def pier_remark(side: PierSide | None, mount: str, mount_type: MountType | None) -> str | None:
    """Says so where a side of the pier is told of a mount that has none."""
    if side is None or mount_type not in _WITHOUT_PIER:
        return None
    return f"{mount} is {_WITHOUT_PIER[mount_type]} mount: a side of the pier means nothing for it."


def question_time(at_utc: datetime, setup: Setup, site: Site) -> None:
    """Raises BeforeItsSetup for what is said to be from more than half an hour before the set-up was begun."""
    if setup.started_utc is None or at_utc >= setup.started_utc - TYPED_LATE:
        return
    zone = zone_or_none(site)
    raise BeforeItsSetup(shown_local(at_utc, zone), shown_local(setup.started_utc, zone))


def magnification_of(tube: Tube | None, eyepiece: Eyepiece | None) -> float | None:
    """The magnification that a tube and an eyepiece give; None where a focal length is unknown, or cannot be right."""
    if tube is None or eyepiece is None or tube.focal_mm is None or eyepiece.focal_mm is None:
        return None
    magnification = round(tube.focal_mm / eyepiece.focal_mm, 1)
    return magnification if MAGNIFICATION.holds(magnification) else None


def question_magnification(magnification: float, tube: Tube | None, eyepiece: Eyepiece | None) -> str | None:
    """A remark where a Barlow lens or reducer explains it; raises OtherMagnification where nothing does."""
    expected = magnification_of(tube, eyepiece)
    if expected is None or tube is None or eyepiece is None:
        return None
    if abs(magnification / expected - 1) <= SAME_MAGNIFICATION:
        return None
    factor = min(LENS_FACTORS, key=lambda known: abs(magnification / expected / known - 1))
    if abs(magnification / expected / factor - 1) > SAME_LENS:
        raise OtherMagnification(magnification, tube.name, eyepiece.name, expected)
    lens = "a Barlow lens" if factor > 1 else "a reducer"
    gives = f"{tube.name} with {eyepiece.name} gives {expected:.0f}x"
    return f"{magnification:g}x: {gives}; taken as through {lens} of {factor:g}x."


def same_entry(session: Session, record: Observation) -> Observation | None:
    """Another entry of the same object by the same observer in the same minute."""
    minute = record.at_utc.replace(second=0, microsecond=0)
    query = select(Observation).where(
        Observation.night_id == record.night_id,
        Observation.target == record.target,
        Observation.member_id == record.member_id if record.member_id else Observation.member_id.is_(None),
        Observation.id != record.id,
    )
    return next(
        (o for o in session.scalars(query) if o.at_utc.replace(second=0, microsecond=0) == minute), None
    )


def tube_of(session: Session, setup: Setup | None) -> Tube | None:
    return session.get(Tube, setup.tube_id) if setup is not None and setup.tube_id else None
