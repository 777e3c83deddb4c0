"""Everything that is worth saying of a set-up at this moment, in the order in which it matters."""

from datetime import datetime

from sqlalchemy.orm import Session

from obslog.club.live.answers import LiveAnswer, in_order
from obslog.club.live.axis_answers import axis_answers, mechanics_answers
from obslog.club.live.checklist_answers import look_first_answers
from obslog.club.live.first_star import first_star_answers
from obslog.club.live.misfit_answers import hang_together, misfit_answers
from obslog.club.live.next_star_answers import next_star_answers
from obslog.club.live.situation import LiveMemory, no_arrivals, situation_of
from obslog.club.live.sun_answers import sun_answers
from obslog.club.night.open_night import NoOpenSetup, SetupChoice, Where, chosen_setup
from obslog.pointing.joint_fit.arrivals import Arrivals, Machine
from obslog.pointing.tonight.mount_record import MountRecord
from obslog.pointing.tonight.setup_fit import SetupFit, fit_setup
from obslog.records.database import Database
from obslog.vocabulary.mounts import MountType


def answers_now(
    database: Database,
    choice: SetupChoice,
    now: datetime,
    *,
    memory: LiveMemory | None = None,
    quiet: bool = False,
) -> list[LiveAnswer]:
    """The answers for the open set-up, or the one that was chosen. With `quiet` the cautions of the Sun alone.

    A program that goes on running hands in the same `memory` each time: what takes long is then computed once. What
    was given before is left out by `what_is_new`.

    Raises UnknownName, NoOpenSetup, NoSuchNight or WhichOne.
    """
    with database.read() as session:
        where = chosen_setup(session, choice)
        return answers_of(session, where, now, memory=memory, quiet=quiet)


class NoneUnderWay(NoOpenSetup):
    """Asked in the morning, when all is over."""

    def __init__(self) -> None:
        super().__init__()
        self.hint = (
            "Start one: obslog setup start MOUNT. What those before it tell: obslog pointing fit MOUNT"
        )


def answers_of_open_setup(database: Database, mount: str | None, now: datetime) -> list[LiveAnswer]:
    """The answers for the open set-up, of that mount where one is named. Raises UnknownName, NoneUnderWay, WhichOne."""
    try:
        return answers_now(database, SetupChoice(mount=mount), now)
    except NoOpenSetup as error:
        raise NoneUnderWay from error


def answers_of(
    session: Session,
    where: Where,
    now: datetime,
    *,
    memory: LiveMemory | None = None,
    quiet: bool = False,
) -> list[LiveAnswer]:
    """The same within a session, of a set-up that was found already."""
    memory = memory or LiveMemory()
    at = situation_of(session, where, now, memory)
    cautions = sun_answers(at)
    if quiet:
        return cautions
    first = first_star_answers(session, at)
    found = [*cautions, *first, *look_first_answers(session, at, memory)]
    misled = first and at.machine is not None and at.machine.mount_type is MountType.ALTAZ
    if at.machine is not None and at.record is not None and at.view is not None and not misled:
        fit, mechanics = _fitted(at.machine, at.arrivals or no_arrivals(), at.record)
        found += misfit_answers(at, fit)
        if hang_together(fit):
            found += [*mechanics, *axis_answers(fit, at.machine.mount_type, at.view.place.lat_deg)]
            found += [] if first else next_star_answers(session, at, fit, memory)
    return in_order(found)


def _fitted(machine: Machine, arrivals: Arrivals, record: MountRecord) -> tuple[SetupFit, list[LiveAnswer]]:
    """The fit from the mount's record; where tonight's mechanics are unlike it, the fit without it, and the answers."""
    alone = fit_setup(machine, arrivals, record.with_usual_mechanics())
    mechanics = mechanics_answers(alone, record)
    return (alone if mechanics else fit_setup(machine, arrivals, record)), mechanics
