"""Small clubs whose years are made by their own acts, in any order and at any hour, to be counted by other means."""

import shutil
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from random import Random
from typing import Any
from zoneinfo import ZoneInfo

from hypothesis import strategies as st
from sqlalchemy import select

from obslog.club.night.nights import start_night
from obslog.club.night.observations import ObservationEntry, record_observations
from obslog.club.night.setups import start_setup
from obslog.club.office.joining import join_members
from obslog.club.privacy.leaving_members import leave
from obslog.club.register.club_day import club_day
from obslog.club.register.named_records import add
from obslog.club.register.undo import undo
from obslog.club.storeroom.inventory_details import write_paper
from obslog.club.storeroom.kits import add_kit, remove_part, replace_part
from obslog.club.storeroom.loans import hand_over, lend, renew, take_back
from obslog.club.storeroom.missing import be_found, go_missing, part_goes_missing, part_is_found
from obslog.club.storeroom.retirement import reinstate, retire, write_off
from obslog.club.storeroom.waiting_list import reserve, withdraw
from obslog.errors import ObslogError
from obslog.records.database import Database
from obslog.records.tables.schema import metadata
from obslog.vocabulary.storeroom import Acquired, Condition
from tests.club.storeroom.any_order import opened

FIRST = datetime(2023, 11, 20, 20, tzinfo=UTC)  # New Year and a leap day come soon
MEMBERS = ("Ines", "Bram", "Cleo", "Ines M.")
GEAR = {"mount": ("Heron", "Crane"), "tube": ("Long",), "eyepiece": ("Wide", "Stop"), "item": ("Case",)}
THINGS = tuple(name for names in GEAR.values() for name in names)
KITS = {"Box": ["Heron", "Wide", "cap", "lamp"], "Bag": ["Case", "cap"]}
LENT = (*THINGS, *KITS)
SITES = ("Field", "Ridge")
FIRST_ZONE, OTHER_ZONE = "Pacific/Auckland", "America/Los_Angeles"
ACTS = (
    "lend", "lend", "back", "back", "hand_over", "renew", "reserve", "reserve", "withdraw", "part_missing", "replace",
    "part_found", "remove", "missing", "lost_on_loan", "found", "retire", "write_off", "reinstate", "night", "night",
    "night", "paper", "paper", "leave", "join", "undo", "member_retires",
)  # fmt: skip

Act = tuple[int, int, str, int, int]
"""How many days and hours later, what, with what (a kit or item, or a part), and with whom or how."""
Row = dict[str, Any]


def acts_drawn(seed: int) -> list[Act]:
    """A year or two of acts, several on many days."""
    rng = Random(seed)
    return [
        (
            rng.choice((0, 0, 1, 3, 10, 20, 40)),
            rng.randrange(24),
            rng.choice(ACTS),
            rng.randrange(36),
            rng.randrange(12),
        )
        for _ in range(rng.randint(15, 30))
    ]


years_of_acts = st.integers(0, 1_000_000).map(acts_drawn)


def filled(path: Path) -> Path:
    """The empty database with members, gear, kits and two sites in it."""
    database = opened(path)
    for name in MEMBERS:
        add(database, "member", name, {}, FIRST)
    for kind, names in GEAR.items():
        for name in names:
            add(database, kind, name, {}, FIRST)
    for name, place in (("Heron", "loft"), ("Crane", "Loft"), ("Wide", "shed"), ("Stop", "LOFT")):
        write_paper(database, name, {"place": place, "value": 20.5}, FIRST)
    for kit, parts in KITS.items():
        add_kit(database, kit, parts, FIRST)
    for site, zone in zip(SITES, (FIRST_ZONE, OTHER_ZONE), strict=True):
        add(database, "site", site, {"zone": zone}, FIRST)
    database.close()
    return path


@contextmanager
def club_after(template: Path, acts: Sequence[Act]) -> Iterator["RandomClub"]:
    """A copy of the template on which the acts were done; what the club refuses is left out."""
    folder = Path(tempfile.mkdtemp())
    club = RandomClub(opened(Path(shutil.copy(template, folder / "club.db"))))
    try:
        for days, hours, act, what, how in acts:
            club.now += timedelta(days=days, hours=hours)
            club.try_to(act, what, how)
        yield club
    finally:
        club.database.close()
        shutil.rmtree(folder, ignore_errors=True)


class RandomClub:
    """A club at a moment, and how each act is done to it; `rows` are the plain rows of a table."""

    def __init__(self, database: Database) -> None:
        self.database, self.now, self.done = database, FIRST, 0

    @property
    def today(self) -> date:
        return club_day(self.database, self.now)

    def day_of(self, moment: datetime) -> date:
        """The date at the first site: of two that have different dates it decides."""
        return moment.astimezone(ZoneInfo(FIRST_ZONE)).date()

    def rows(self, table: str) -> list[Row]:
        with self.database.read() as session:
            return [dict(row) for row in session.execute(select(metadata.tables[table])).mappings()]

    def places_in_lists(self) -> list[Row]:
        """Who asked, with the day by the club's clock; who left the club left the lists with it."""
        left = {row["id"]: row["retired_on"] for row in self.rows("members")}
        return [
            row
            | {"on": self.day_of(row["asked_utc"]), "closed_on": row["closed_on"] or left[row["member_id"]]}
            for row in self.rows("reservations")
        ]

    def names(self) -> dict[Any, str]:
        """What kits, items and members are called, by their keys."""
        return {
            row["id"]: row["name"] for table in ("kits", "equipment", "members") for row in self.rows(table)
        }

    def try_to(self, act: str, what: int, how: int) -> None:
        with suppress(ObslogError):
            self.do(act, what, how)

    def do(self, act: str, what: int, how: int) -> None:
        """One act, with something that it can be done to, if there is any."""
        there = self._candidates(act)
        if not there:
            return
        thing, member = there[what % len(there)], MEMBERS[how % len(MEMBERS)]
        on = self.today - timedelta(days=how) if how % 3 == 0 else None
        lost = {KITS[thing][0] if thing in KITS else thing: (Condition.MISSING, None)} if how % 4 == 0 else {}
        match act:
            case "lend":
                lend(self.database, thing, member, self.now, on=on, pass_over=how % 2 == 0)
            case "back":
                take_back(self.database, thing, self.now, on=on, conditions=lost)
            case "hand_over":
                hand_over(self.database, thing, member, self.now, conditions=lost, pass_over=how % 2 == 0)
            case "renew":
                renew(self.database, thing, self.now)
            case "reserve":
                reserve(self.database, thing, member, self.now)
            case "withdraw":
                withdraw(self.database, thing, member, self.now)
            case "part_missing" | "part_found" | "replace" | "remove":
                kit, part = thing.split("/")
                self._do_to_part(act, kit, part, on, how)
            case "undo":
                undo(self.database, self.now)
                self.done -= 2
            case _:
                self._do_more(act, thing, member, how, on)
        self.done += 1

    def _do_to_part(self, act: str, kit: str, part: str, on: date | None, how: int) -> None:
        match act:
            case "part_missing":
                part_goes_missing(self.database, kit, part, self.now, on=on)
            case "part_found":
                part_is_found(self.database, kit, part, self.now)
            case "replace":
                replace_part(self.database, kit, part, f"cap {how}", self.now)
            case "remove":
                remove_part(self.database, kit, part, None, self.now)

    def _do_more(self, act: str, thing: str, member: str, how: int, on: date | None) -> None:
        match act:
            case "missing" | "lost_on_loan":
                go_missing(self.database, thing, self.now, on=on, lost_on_loan=act == "lost_on_loan")
            case "found":
                be_found(self.database, thing, self.now)
            case "retire":
                kind = next((kind for kind, names in GEAR.items() if thing in names), "kit")
                retire(self.database, kind, thing, "worn", on or self.today, self.now)
            case "write_off":
                write_off(self.database, thing, "gone", self.now, on=on)
            case "reinstate":
                reinstate(self.database, thing, self.now)
            case "paper":
                told: dict[str, Any] = {
                    "value": 10.5 * how if how % 2 else None, "cost": 8.25 * how if how % 3 else None,
                    "acquired": Acquired.GIFT if how % 2 else Acquired.BOUGHT,
                    "acquired_on": self.today - timedelta(days=30 * how), "place": ("loft", "Loft", "shed")[how % 3],
                }  # fmt: skip
                write_paper(self.database, thing, told, self.now)
            case "night":
                self._observe(member, how)
            case _:
                self._do_to_member(act, member)

    def _do_to_member(self, act: str, member: str) -> None:
        match act:
            case "leave":
                leave(self.database, member, self.now)
            case "member_retires":
                retire(self.database, "member", member, "moved", self.today, self.now)
            case "join":
                join_members(self.database, "Ines", "Ines M.", self.now, sure=True)

    def _observe(self, member: str, how: int) -> None:
        """A night, on most of them a set-up, and somebody who looks through an eyepiece, perhaps without one."""
        site = SITES[how % 2]
        start_night(self.database, site, self.now, present=[member] if how % 3 else [])
        if how % 5:
            start_setup(
                self.database, GEAR["mount"][how % 2], self.now, tube="Long" if how % 3 else None, observer=member,
                eyepiece="Wide" if how % 4 == 0 else None, site=site, sure=True,
            )  # fmt: skip
        if how % 3 == 0:
            entry = ObservationEntry(eyepiece=GEAR["eyepiece"][how // 3 % 2])
            record_observations(self.database, "M 31", entry, self.now, observers=[member], sure=True)

    def _candidates(self, act: str) -> list[str]:
        """What the act can be done to, so that most are; read of what it asks for alone."""
        match act:
            case "lend" | "missing":
                gone = {*self._out(), *self._with_members(), *self._missing(), *self._retired()}
                return [name for name in (LENT if act == "lend" else THINGS) if name not in gone]
            case "back" | "hand_over" | "renew":
                return self._out()
            case "withdraw":
                return self._called([row for row in self.rows("reservations") if not row["closed_on"]])
            case "part_missing" | "part_found" | "replace" | "remove":
                return self._parts(act)
            case "lost_on_loan":
                return self._with_members()
            case "found":
                return self._missing()
            case "undo":
                return ["the last act"] if self.done > 0 else []
        return {
            "write_off": self._missing() or list(THINGS), "reinstate": self._retired(), "paper": list(THINGS)
        }.get(act, list(LENT))  # fmt: skip

    def _parts(self, act: str) -> list[str]:
        """Parts of kits, as KIT/PART; those that are missing where the act is for such, or rather for such."""
        parts = [row for row in self.rows("kit_parts") if row["left_on"] is None]
        lost, names = [row for row in parts if row["missing_since"]], self.names()
        found = lost if act == "part_found" else parts if act == "part_missing" else lost or parts
        return [f"{names[row['kit_id']]}/{row['label']}" for row in found]

    def _called(self, rows: list[Row]) -> list[str]:
        """The kits or items that the rows are of, by name."""
        names = self.names() if rows else {}
        return sorted(names[row.get("kit_id") or row["equipment_id"]] for row in rows)

    def _out(self) -> list[str]:
        return self._called([row for row in self.rows("loans") if not row["back_on"]])

    def _with_members(self) -> list[str]:
        parts = self.rows("loan_parts")
        return self._called([row for row in parts if row["equipment_id"] and not row["back_on"]])

    def _missing(self) -> list[str]:
        return self._called([row for row in self.rows("absences") if row["found_on"] is None])

    def _retired(self) -> list[str]:
        rows = (*self.rows("equipment"), *self.rows("kits"))
        return sorted(row["name"] for row in rows if row["retired_on"])
