"""Writing a bundle: what this laptop knows, or a part of it, in one file for others to merge."""

from contextlib import suppress
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from uuid import UUID

from obslog.club.night.open_night import NightChoice, chosen_night
from obslog.errors import ObslogError
from obslog.exchange.bundles.manifest import Facts
from obslog.exchange.bundles.writing import write_bundle
from obslog.files.atomic_file import whole_file
from obslog.files.output_files import FileThere, output_in_sentences
from obslog.records.bundles.choosing import all_acts, choose_since, choose_untold, mark_told
from obslog.records.bundles.one_night import choose_night
from obslog.records.bundles.telling import Choice, private_sites, tell
from obslog.records.database import Database
from obslog.records.driver_errors import NotAllowed
from obslog.records.upgrading import SCHEMA_REVISION

_NOBODYS = UUID(int=0)


class NothingToTell(ObslogError):
    def __init__(self) -> None:
        super().__init__(
            "There is nothing new to tell.", "To write all that is on record: obslog bundle write --all FILE"
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatToTell:
    """Everything, where nothing is said; else what is new since a day, or not told yet, or one night."""

    since: date | None = None
    untold: bool = False
    night: date | None = None
    site: str | None = None
    with_private: bool = False

    @property
    def of_a_night(self) -> bool:
        return self.night is not None or self.site is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """What a bundle holds."""

    file: str
    acts: int
    changes: int
    records: int
    bytes: int
    private_kept: bool


def write_bundle_to(database: Database, path: Path, what: WhatToTell, now: datetime) -> Written:
    """Write a bundle into a new file. Raises FileThere, NothingToTell, and what choosing a night raises."""
    if path.exists():
        raise FileThere(path)
    with database.read() as session:
        choice = _choice(database, what)
        if choice.acts is not None and not choice.acts:
            raise NothingToTell
        told = all_acts(session) if choice.whole_acts is None else choice.whole_acts
        facts = Facts(schema=SCHEMA_REVISION, origin=str(database.author.origin or _NOBODYS), written_utc=now)
        with (
            output_in_sentences(path),
            whole_file(path.absolute(), private=True, lasting=True) as draft,
            draft.open("w+b") as stream,
        ):
            manifest = write_bundle(stream, facts, tell(session, choice), called=path.name)
        hidden = bool(private_sites(session)) and not what.with_private
    if not what.of_a_night and not database.only_read:
        with suppress(NotAllowed), database.write(now) as session:  # on a server only officers may
            mark_told(session, told)
    return Written(
        file=str(path),
        acts=manifest.acts,
        changes=manifest.changes,
        records=manifest.records,
        bytes=path.stat().st_size,
        private_kept=hidden,
    )


def _choice(database: Database, what: WhatToTell) -> Choice:
    with database.read() as session:
        if what.of_a_night:
            night, _site = chosen_night(session, NightChoice(what.site, what.night))
            return choose_night(session, str(night.id), with_private=what.with_private)
        if what.since is not None:
            return choose_since(session, what.since, with_private=what.with_private)
        if what.untold:
            return choose_untold(session, with_private=what.with_private)
    return Choice(with_private=what.with_private)
