"""The snags of a mount, step by step of the checklist."""

from dataclasses import dataclass
from datetime import date

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.night.snags import SnagLine, snag_lines
from obslog.club.routine.club_steps import steps_in_force
from obslog.records.tables.logbook_tables import Mount, Snag
from obslog.vocabulary.steps import StepKey


@dataclass(frozen=True, slots=True, kw_only=True)
class StepSnags:
    """How many snags a step had, how many of them nobody has mended, and the newest of all."""

    step: StepKey
    title: str
    count: int
    not_mended: int
    last: date
    last_text: str
    last_remedy: str | None


def snags_by_step(session: Session, mount: Mount) -> list[StepSnags]:
    """The steps that had any, in the order of the checklist."""
    keys = list(session.scalars(select(Snag.id).where(Snag.equipment_id == mount.id)))
    lines: dict[StepKey, list[SnagLine]] = {}
    for line in snag_lines(session, keys):
        lines.setdefault(line.step, []).append(line)
    steps = steps_in_force(session)
    titles = {guide.step: guide.title for guide in steps.to_learn_from(mount.mount_type, mount.controller)}
    return [_of_step(step, titles.get(step, step), lines[step]) for step in steps.in_order(lines)]


def _of_step(step: StepKey, title: str, newest_first: list[SnagLine]) -> StepSnags:
    newest = newest_first[0]
    return StepSnags(
        step=step,
        title=title,
        count=len(newest_first),
        not_mended=sum(line.fixed_utc is None for line in newest_first),
        last=newest.day,
        last_text=newest.text,
        last_remedy=newest.remedy,
    )
