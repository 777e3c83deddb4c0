"""What is meant where nothing is named: the only one in use, or the one that was used last. It is said back.

Nothing here decides who lends, leaves or is written off: where a wrong guess does harm, the name is asked for.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from sqlalchemy import Select, select
from sqlalchemy.orm import Session

from obslog.errors import UnknownName, WrongInput, quoted
from obslog.records.database import Database
from obslog.records.name_lookup import by_name, kind_of
from obslog.records.tables.logbook_tables import Eyepiece, Member, Mount, Night, Setup, Site, Tube
from obslog.settings import Person
from obslog.vocabulary.hint_options import MOUNT_OPTIONS, SITE_OPTIONS
from obslog.vocabulary.observations import says_none

Choosable = Site | Member | Mount | Tube | Eyepiece
Say = Callable[[str], None]
Me = Callable[[], Person | None]
_THE_ONLY, _LAST_USED, _OPEN = "the only one", "the last used", "of the open night"
_STILL_TO_TELL = {"site": f" {SITE_OPTIONS}", "mount": f" {MOUNT_OPTIONS}"}


class NoneNamed(WrongInput):
    """Nothing is named, and nothing on record is the one that must be meant."""

    def __init__(self, kind: str, how: str, known: list[str]) -> None:
        hint = f"Give {how}; those in use are {', '.join(map(quoted, known))}."
        if not known:
            hint = f"There is none in use. Add one: obslog {kind} add NAME{_STILL_TO_TELL.get(kind, '')}"
        super().__init__(f"No {kind} is named.", hint)


class NobodyOfThatName(WrongInput):
    """OBSLOG_ME has a name that is not on record."""

    def __init__(self, name: str) -> None:
        super().__init__(
            f"OBSLOG_ME is {name!r}, and no member is named so.",
            "Set it to a name on record, or see them: obslog member list",
        )


@dataclass(frozen=True, slots=True)
class Usual:
    """A name that is taken though nobody typed it, and why."""

    name: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SetupParts:
    """With what a set-up begins, and who is at it; None where it is not told."""

    tube: str | None = None
    eyepiece: str | None = None
    observer: str | None = None


def site_meant(database: Database, told: str | None, say: Say, how: str = "--site SITE") -> str:
    """The site that is told; else that of the open night, the only one, or that of the newest night.

    Raises NoneNamed.
    """
    if told is not None:
        return told
    with database.read() as session:
        return _taken(session, Site, _usual_site(session), say, how)


def mount_meant(database: Database, told: str | None, say: Say) -> str:
    """The mount that is told, or the only one in use. Raises NoneNamed."""
    if told is not None:
        return told
    with database.read() as session:
        return _taken(session, Mount, _the_only(session, Mount), say, "MOUNT")


def parts_meant(database: Database, mount: str, told: SetupParts, me: Me, say: Say) -> SetupParts:
    """With what a set-up of the mount begins: what is told, and for the rest what was used last.

    The tube is the last that was on the mount, the eyepiece the last that was in that tube, or the only ones in use;
    the observer is `me`, or the only member. What is told as `none` stays unknown.
    Raises UnknownName, SeveralNamesFit, NobodyOfThatName.
    """
    with database.read() as session:
        on = by_name(session, Mount, mount)
        tube, eyepiece = told.tube, told.eyepiece
        if tube is None:
            tube = _said(Tube, _last(session, _tubes_on(on)) or _the_only(session, Tube), say)
        if eyepiece is None:
            name = _or_none(tube)
            last = _last(session, _eyepieces_in(by_name(session, Tube, name))) if name else None
            eyepiece = _said(Eyepiece, last or _the_only(session, Eyepiece), say)
    observer = told.observer or person_meant(database, None, me, say, "observer")
    return SetupParts(tube=_or_none(tube), eyepiece=_or_none(eyepiece), observer=_or_none(observer))


def person_meant(database: Database, told: str | None, me: Me, say: Say, what: str = "member") -> str | None:
    """Who is told; else the person at this machine, else the only member in use; None where nobody is known.

    Raises NobodyOfThatName, SeveralNamesFit.
    """
    if told is not None:
        return told
    with database.read() as session:
        usual = _myself(session, me(), say) or _the_only(session, Member)
    if usual is not None:
        say(f"{what}: {usual.name} ({usual.why})")
    return usual.name if usual else None


def present_meant(database: Database, told: Sequence[str], me: Me, say: Say) -> Sequence[str]:
    """Who is there on a night that begins now: those who are told, else the person at this machine.

    Raises NobodyOfThatName, SeveralNamesFit.
    """
    person = None if told else person_meant(database, None, me, say, "present")
    return (person,) if person else told


def member_meant(database: Database, told: str | None, me: Me, say: Say) -> str:
    """As `person_meant`, where somebody has to be meant. Raises NoneNamed too."""
    member = person_meant(database, told, me, say)
    if member is None:
        with database.read() as session:
            raise NoneNamed("member", "--member NAME", _in_use(session, Member))
    return member


def myself(session: Session, me: Person | None) -> Member | None:
    """The member who is the person at this machine; None where nobody has said so, or this database has no such name.

    Raises NobodyOfThatName, SeveralNamesFit.
    """
    if me is None:
        return None
    try:
        return by_name(session, Member, me.name)
    except UnknownName as error:
        if me.from_environment:
            raise NobodyOfThatName(me.name) from error
        return None


@dataclass(frozen=True, slots=True)
class WhoIsHere:
    """The person at this machine, by the name on record, or as it was said where this database has no such name."""

    me: str | None
    on_record: bool
    from_environment: bool


def who_is_here(database: Database, me: Me) -> WhoIsHere:
    """Who the person at this machine is. Raises NobodyOfThatName, SeveralNamesFit."""
    person = me()
    if person is None:
        return WhoIsHere(None, False, False)
    with database.read() as session:
        member = myself(session, person)
        return WhoIsHere(member.name if member else person.name, member is not None, person.from_environment)


def whole_member_name(database: Database, name: str) -> str:
    """The member's name as on record. Raises UnknownName, SeveralNamesFit."""
    with database.read() as session:
        return by_name(session, Member, name).name


def _myself(session: Session, me: Person | None, say: Say) -> Usual | None:
    member = myself(session, me)
    if member is not None:
        return Usual(member.name, "you")
    if me is not None:
        say(f"You are {me.name}, whom this database does not know. Say who you are: obslog member me NAME")
    return None


def _usual_site(session: Session) -> Usual | None:
    nights = select(Site.name).join(Night, Night.site_id == Site.id)
    newest = nights.order_by(Night.night_of.desc(), Night.id.desc()).limit(1)
    now_open = session.scalar(newest.where(Night.open))
    if now_open is not None:
        return Usual(now_open, _OPEN)
    return _the_only(session, Site) or _last(session, newest.where(Site.retired_on.is_(None)))


def _tubes_on(mount: Mount) -> Select[str]:
    return (
        select(Tube.name)
        .join(Setup, Setup.tube_id == Tube.id)
        .join(Night, Setup.night_id == Night.id)
        .where(Setup.mount_id == mount.id, Tube.retired_on.is_(None))
        .order_by(Night.night_of.desc(), Setup.id.desc())
        .limit(1)
    )


def _eyepieces_in(tube: Tube) -> Select[str]:
    return (
        select(Eyepiece.name)
        .join(Setup, Setup.eyepiece_id == Eyepiece.id)
        .join(Night, Setup.night_id == Night.id)
        .where(Setup.tube_id == tube.id, Eyepiece.retired_on.is_(None))
        .order_by(Night.night_of.desc(), Setup.id.desc())
        .limit(1)
    )


def _last(session: Session, query: Select[str]) -> Usual | None:
    name = session.scalar(query)
    return Usual(name, _LAST_USED) if name is not None else None


def _the_only(session: Session, table: type[Choosable]) -> Usual | None:
    names = session.scalars(select(table.name).where(table.retired_on.is_(None)).limit(2)).all()
    return Usual(names[0], _THE_ONLY) if len(names) == 1 else None


def _in_use(session: Session, table: type[Choosable]) -> list[str]:
    return list(session.scalars(select(table.name).where(table.retired_on.is_(None)).order_by(table.name)))


def _taken(session: Session, table: type[Choosable], usual: Usual | None, say: Say, how: str) -> str:
    name = _said(table, usual, say)
    if name is None:
        raise NoneNamed(kind_of(table), how, _in_use(session, table))
    return name


def _said(table: type[Choosable], usual: Usual | None, say: Say) -> str | None:
    if usual is None:
        return None
    say(f"{kind_of(table)}: {usual.name} ({usual.why})")
    return usual.name


def _or_none(told: str | None) -> str | None:
    return None if says_none(told) else told
