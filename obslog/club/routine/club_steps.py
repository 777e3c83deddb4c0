"""The steps in force: those that ship, or the club's own order of them with its own words and steps of its own.

A step is known by its key. What a club leaves out of its checklist stays known, for what is on record at it counts.
"""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.routine.step_guides import EQUATORIAL, StepGuide, steps_for
from obslog.errors import UnknownName
from obslog.grammar.name_choice import chosen_name
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import ClubStep
from obslog.vocabulary.cautions import BATTERY_CAUTION, COLLIMATION_LASER_CAUTION, LASER_CAUTION
from obslog.vocabulary.mounts import Controller, MountType
from obslog.vocabulary.steps import PEOPLE_DO, Step, StepKey

LEFT_OUT = "left out of the club's checklist"
CAUTIONS = (LASER_CAUTION, COLLIMATION_LASER_CAUTION, BATTERY_CAUTION)
_SHIPPED: dict[StepKey, StepGuide] = {guide.step: guide for guide in EQUATORIAL}


@dataclass(frozen=True, slots=True, kw_only=True)
class StepEntry:
    """A step at its place in the club's order; of one that ships, words are None where they stay as shipped.

    `mounts` are the types of mounts that have a step of the club's own; empty: all of them. What goes wrong at a step
    `about_the_mount` speaks of the mount; at any other of the club's own it speaks of people.
    """

    step: StepKey
    left_out: bool = False
    title: str | None = None
    do: str | None = None
    tolerance: str | None = None
    why: str | None = None
    mounts: tuple[MountType, ...] = ()
    about_the_mount: bool = False

    @property
    def ships(self) -> bool:
        return self.step in _SHIPPED

    def guide(self, base: StepGuide | None) -> StepGuide:
        """The step as it is read to a person: the club's words where it has any, else those of `base`.

        A caution about lasers or batteries stays, whatever the club puts in place of the words around it.
        """
        base = base or StepGuide(step=self.step, title=own_title(self.step), do="", tolerance="", why="")
        do = self.do
        if do is not None:
            do = " ".join((do, *(one for one in CAUTIONS if one in base.do and one not in do)))
        own = {"title": self.title, "do": do, "tolerance": self.tolerance, "why": self.why}
        return replace(base, **{name: words for name, words in own.items() if words is not None})


def own_title(step: StepKey) -> str:
    """What a step is called of which only the key is known: `dew heaters`."""
    return step.replace("-", " ")


SHIPPED_STEPS = tuple(StepEntry(step=Step(guide.step).value) for guide in EQUATORIAL)


class Steps:
    """The steps in the club's order, then those that it has left out."""

    def __init__(self, entries: Sequence[StepEntry] = SHIPPED_STEPS) -> None:
        self.entries = tuple(entries)
        self._by_key = {entry.step: entry for entry in self.entries}

    @property
    def own(self) -> bool:
        """Whether the club has made any of it its own."""
        return self.entries != SHIPPED_STEPS

    @cached_property
    def keys(self) -> list[StepKey]:
        """The keys of the steps that are on a checklist, in order."""
        return [entry.step for entry in self.entries if not entry.left_out]

    @cached_property
    def known(self) -> list[StepKey]:
        """The keys of all steps, those that are left out last."""
        return [entry.step for entry in self.entries]

    def guides(
        self, mount_type: MountType | None, controller: Controller | None = None
    ) -> tuple[StepGuide, ...]:
        """The steps in order for a mount of that type; those of an equatorial one where the type is unknown."""
        if not self.own:
            return steps_for(mount_type, controller)
        return tuple(self._guides(mount_type, controller, left_out=False))

    def left_out(
        self, mount_type: MountType | None, controller: Controller | None = None
    ) -> tuple[StepGuide, ...]:
        """The steps that such a mount would have if the club had not left them out; their titles say so."""
        return tuple(
            replace(guide, title=f"{guide.title} ({LEFT_OUT})")
            for guide in self._guides(mount_type, controller, left_out=True)
        )

    def to_learn_from(
        self, mount_type: MountType | None, controller: Controller | None = None
    ) -> tuple[StepGuide, ...]:
        """The steps of a mount, and those left out: what went wrong at them counts all the same."""
        return self.guides(mount_type, controller) + self.left_out(mount_type, controller)

    def title(self, step: StepKey, mount_type: MountType | None = None) -> str:
        """What a step is called; of one that is not known any more its key in words."""
        of_mount = {guide.step: guide for guide in steps_for(mount_type)}
        entry = self._by_key.get(step, StepEntry(step=step))
        words = entry.guide(of_mount.get(step) or _SHIPPED.get(step)).title
        return f"{words} ({LEFT_OUT})" if entry.left_out else words

    def in_order(self, steps: Collection[StepKey]) -> list[StepKey]:
        """The steps in the order of the checklist, then those left out, then those not known any more."""
        return [step for step in self.known if step in steps] + sorted(set(steps) - set(self.known))

    def of_people(self, step: StepKey) -> bool:
        """Whether what goes wrong at a step speaks of people, whatever the mount."""
        if step in _SHIPPED:
            return step in PEOPLE_DO
        return not self._by_key.get(step, StepEntry(step=step)).about_the_mount

    @cached_property
    def people_do(self) -> frozenset[StepKey]:
        """The steps that people do whatever the mount."""
        return frozenset(step for step in self.known if self.of_people(step))

    def beside(self, step: StepKey) -> StepKey | None:
        """The step that ships and comes before this one, or the first after it: by it is known when its turn is."""
        if step in _SHIPPED or step not in self.keys:
            return step if step in _SHIPPED else None
        place = self.keys.index(step)
        near = (*reversed(self.keys[:place]), *self.keys[place:])
        return next((key for key in near if key in _SHIPPED), None)

    def meant(self, typed: str) -> StepKey:
        """The step of that key, or of the one beginning that only it has. Raises UnknownName, SeveralNamesFit."""
        found = chosen_name(typed, self.known)
        if found is None:
            raise no_such_step(typed, self.known)
        return found

    def _guides(
        self, mount_type: MountType | None, controller: Controller | None, *, left_out: bool
    ) -> Iterator[StepGuide]:
        shipped = {guide.step: guide for guide in steps_for(mount_type, controller)}
        for entry in self.entries:
            base = shipped.get(entry.step)
            elsewhere = bool(entry.mounts) and mount_type is not None and mount_type not in entry.mounts
            if entry.left_out is left_out and not elsewhere and (base is not None or not entry.ships):
                yield entry.guide(base)


def no_such_step(typed: str, known: Sequence[StepKey]) -> UnknownName:
    """For a word that is no step; the hint lists them."""
    return UnknownName("step", typed, known, see=f"Steps: {', '.join(known)}.")


def steps_in_force(session: Session) -> Steps:
    """The club's steps, or where it has none of its own those that ship."""
    rows = session.scalars(select(ClubStep).order_by(ClubStep.left_out, ClubStep.place)).all()
    if not rows:
        return Steps()
    entries = [_entry(row) for row in rows]
    known = {entry.step for entry in entries}
    entries += [replace(entry, left_out=True) for entry in SHIPPED_STEPS if entry.step not in known]
    return Steps(entries)


def read_steps(database: Database) -> Steps:
    """The steps in force, in a session of their own."""
    with database.read() as session:
        return steps_in_force(session)


def _entry(row: ClubStep) -> StepEntry:
    return StepEntry(
        step=row.step,
        left_out=row.left_out,
        title=row.title,
        do=row.what_to_do,
        tolerance=row.tolerance,
        why=row.why,
        mounts=tuple(MountType(word) for word in (row.mounts or "").split(",") if word),
        about_the_mount=row.about_the_mount,
    )
