"""What went wrong before at each step, with a mount, by a member or at a site."""

from collections import Counter
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any, Literal

from sqlalchemy import ColumnElement, func, select
from sqlalchemy.orm import Session

from obslog.club.register.observing_site import zone_or_utc
from obslog.english import counted, how_often
from obslog.records.lean_reading import bare, columns_of, instant_of
from obslog.records.tables.logbook_tables import Member, Mount, Night, Setup, Site, Snag
from obslog.vocabulary.steps import StepKey

About = Literal["mount", "member", "site"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PastSnags:
    """How often a step went wrong for one mount, member or site, in how many set-ups, and what it was last."""

    about: About
    name: str
    count: int
    setups: int
    last: datetime
    last_text: str
    last_remedy: str | None


def past_snags(
    session: Session,
    about: About,
    record: Mount | Member | Site,
    mine: ColumnElement[bool],
    setups_mine: ColumnElement[bool],
) -> list[tuple[StepKey, PastSnags]]:
    """For each step the snags that are mine: how many, in how many set-ups, and the last."""
    told = (Snag.step, Snag.at_utc, Snag.text, Snag.remedy)
    query = select(*map(bare, told)).where(mine).order_by(Snag.at_utc.desc(), Snag.id.desc())
    steps, *newest_first = columns_of(session, query)
    if not steps:
        return []
    of_setups = (
        select(func.count()).select_from(Setup).join(Night, Setup.night_id == Night.id).where(setups_mine)
    )
    setups = session.scalar(of_setups) or 0
    last: dict[str, tuple[Any, ...]] = {}
    for step, *when_and_what in zip(steps, *newest_first, strict=True):
        last.setdefault(step, tuple(when_and_what))
    how_many = Counter(steps)
    return [
        (
            step,
            PastSnags(
                about=about,
                name=record.name,
                count=how_many[step],
                setups=setups,
                last=instant_of(at_utc),
                last_text=text,
                last_remedy=remedy,
            ),
        )
        for step, (at_utc, text, remedy) in last.items()
    ]


def by_the_clocks_of(site: Site, past: PastSnags) -> PastSnags:
    """So that the day told is that of the site: in universal time an evening far west is the next day."""
    return replace(past, last=past.last.astimezone(zone_or_utc(site.zone)))


def past_snag_words(snag: PastSnags, *, told_already: bool = False) -> str:
    """How often and when last; what it was only once, where mount, member and site share their last snag."""
    words = (
        f"{snag.name}: {how_often(snag.count)} in {counted(snag.setups, 'set-up')}, last {snag.last:%Y-%m-%d}"
    )
    if told_already:
        return words
    remedy = f" (remedy: {snag.last_remedy})" if snag.last_remedy else ""
    return f"{words}: {snag.last_text}{remedy}"
