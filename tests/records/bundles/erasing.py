"""Members who may be made nameless: each has a name that nothing else has, and none of it may be left anywhere."""

import re
from collections.abc import Collection, Iterable
from contextlib import suppress
from typing import Any

from sqlalchemy import select

from obslog.club.privacy.leaving_members import leave
from obslog.club.register.contacts import set_contact
from obslog.club.register.named_records import add, edit
from obslog.errors import ObslogError
from obslog.records.redaction.log_search import every_image
from obslog.records.tables.keys import new_key, reference_of
from obslog.records.tables.logbook_tables import Member
from tests.records.merging.laptops import Laptop

CALLED = "Zora "
"""How the names begin of those who may be made nameless."""
THEIRS = "'s old one"
"""How the names end of what is called after them."""
KNOWN_TO_ALL = (f"{CALLED}Tern", f"{CALLED}Wren")


class People:
    """Who was ever called what and reached how, and who was made nameless, on whatever laptop."""

    def __init__(self, laptop: Laptop) -> None:
        with laptop.database.read() as session:
            known = session.execute(select(Member.id, Member.name).where(Member.name.in_(KNOWN_TO_ALL)))
            self.words = {str(key): {name} for key, name in known}
        self.nameless: set[str] = set()

    def somebody(self, laptop: Laptop) -> None:
        """One thing that concerns such a member; where the program refuses it, it did not happen."""
        laptop.wait()
        doing = laptop.chance.choice(
            [
                self._join_the_club,
                self._write_of,
                self._write_of,
                self._rename,
                self._type,
                self._call_after,
                self._reach,
            ]
        )
        with suppress(ObslogError):
            doing(laptop)

    def erase(self, laptop: Laptop) -> None:
        laptop.wait()
        key, name = self._any_of(laptop)
        if key is not None:
            with suppress(ObslogError):
                leave(laptop.database, name, laptop.now)
                self.nameless.add(key)
                self.know_who_is_here(laptop)

    def know_who_is_here(self, laptop: Laptop) -> None:
        """Nobody types any more on a laptop by a name that is not on record there."""
        with laptop.database.read() as session:
            names = session.scalars(select(Member.name)).all()
        if laptop.who is not None and not any(name.startswith(laptop.who) for name in names):
            laptop.who = None

    def words_to_be_gone(self) -> set[str]:
        return {word for key in self.nameless for word in self.words[key]}

    def _any_of(self, laptop: Laptop) -> tuple[str | None, str]:
        with laptop.database.read() as session:
            found = session.execute(
                select(Member.id, Member.name).where(Member.name.startswith(CALLED)).order_by(Member.id)
            ).all()
        known = [(str(key), name) for key, name in found if name in self.words.get(str(key), ())]
        return laptop.chance.choice(known) if known else (None, "")

    def _join_the_club(self, laptop: Laptop) -> None:
        name = _new_name()
        add(laptop.database, "member", name, {"note": f"{name} has the key"}, laptop.now)
        with laptop.database.read() as session:
            self.words[str(session.scalars(select(Member.id).where(Member.name == name)).one())] = {name}

    def _write_of(self, laptop: Laptop) -> None:
        """What somebody writes of them: in a text of theirs, or of a mount."""
        _key, name = self._any_of(laptop)
        kind, of_whom = laptop.chance.choice([("member", name), ("mount", "Heron")])
        edit(laptop.database, kind, of_whom, {"note": f"lent by {name}" if name else "lent"}, laptop.now)

    def _call_after(self, laptop: Laptop) -> None:
        """Something has a name with theirs in it, which stays when they leave."""
        _key, name = self._any_of(laptop)
        if name:
            add(laptop.database, laptop.chance.choice(["mount", "item"]), f"{name}{THEIRS}", {}, laptop.now)

    def _reach(self, laptop: Laptop) -> None:
        """How they are reached is written down, or taken away again; of that, too, nothing may be left."""
        key, name = self._any_of(laptop)
        if key is not None:
            number = laptop.chance.choice(["", f"01632 {reference_of(new_key())}"])
            set_contact(laptop.database, name, {"phone": number}, laptop.now)
            self.words[key] |= {number} - {""}

    def _rename(self, laptop: Laptop) -> None:
        key, name = self._any_of(laptop)
        if key is not None:
            later = _new_name()
            edit(laptop.database, "member", name, {}, laptop.now, rename=later)
            self.words[key].add(later)

    def _type(self, laptop: Laptop) -> None:
        """From now on this person types on the laptop, by the whole name or its beginning."""
        key, name = self._any_of(laptop)
        if key is not None:
            laptop.who = laptop.chance.choice([name, name[:-1]])


def entries_of_contacts(laptop: Laptop) -> set[str]:
    """The keys of what the log of a laptop tells of how people are reached, and of the acts that tell nothing else."""
    with laptop.database.read() as session:
        driver: Any = session.connection().connection.driver_connection
        rows = driver.execute("SELECT id, act_id, record_kind = 'Contact' FROM changes").fetchall()
    tell_more = {act for _key, act, of_contact in rows if not of_contact}
    entries = {(key, act) for key, act, of_contact in rows if of_contact}
    return {key for key, _act in entries} | {act for _key, act in entries} - tell_more


def called_after(laptop: Laptop, words: Collection[str]) -> set[str]:
    """What by the log of a laptop is, or was, called after one of these members."""
    wanted = {f"{word}{THEIRS}" for word in words}
    with laptop.database.read() as session:
        return {
            image["name"]
            for *_, one, other in every_image(session)
            for image in (one, other)
            if image.get("name") in wanted
        }


def traces(laptop: Laptop, words: Collection[str]) -> set[str]:
    """Whatever text on a laptop holds one of the words, but what is called after a member."""
    if not words:
        return set()
    wanted = re.compile(f"({'|'.join(map(re.escape, sorted(words)))})(?!''?s old one)", re.IGNORECASE)
    return {text for text in _texts(laptop) if wanted.search(text)}


def _texts(laptop: Laptop) -> Iterable[str]:
    with laptop.database.read() as session:
        driver: Any = session.connection().connection.driver_connection
        yield from driver.iterdump()
        for _act, _kind, *images in every_image(session):  # those of many records are packed
            yield from (value for image in images for value in image.values() if isinstance(value, str))


def _new_name() -> str:
    return f"{CALLED}{reference_of(new_key())}"
