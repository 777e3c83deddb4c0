"""Acts over many kinds of records, drawn by lot: some are refused, which is as good."""

import random
from collections.abc import Callable, Sequence
from datetime import datetime, timedelta
from pathlib import Path

from sqlalchemy import select

from obslog.club.bring_in.bring_in import bring_in
from obslog.club.checklist.step_ticks import tick_step
from obslog.club.night.arrival_corrections import edit_arrival, remove_arrival
from obslog.club.night.arrival_entries import ArrivalEntry
from obslog.club.night.arrivals import record_arrival
from obslog.club.night.nights import end_night, note_night, start_night
from obslog.club.night.observation_corrections import edit_observation
from obslog.club.night.observations import ObservationEntry, record_observations
from obslog.club.night.open_night import NightChoice, SetupChoice
from obslog.club.night.setups import start_setup
from obslog.club.night.snags import add_snag
from obslog.club.office.joining import join_members
from obslog.club.register.contacts import set_contact
from obslog.club.register.named_records import add, edit
from obslog.club.register.rule_book import set_rule
from obslog.club.register.undo import redo, undo
from obslog.club.sheets.arrivals_import import take_in
from obslog.club.shelves.counting import saw, start
from obslog.club.storeroom.inventory_details import write_paper
from obslog.club.storeroom.kits import add_kit, add_part, remove_part
from obslog.club.storeroom.loans import hand_over, lend, renew, take_back
from obslog.club.storeroom.missing import be_found, go_missing
from obslog.club.storeroom.retirement import reinstate, retire, write_off
from obslog.club.storeroom.waiting_list import reserve, withdraw
from obslog.club.upkeep.batteries import note_test
from obslog.club.upkeep.service_bills import Bill
from obslog.club.upkeep.services import add_service
from obslog.errors import ObslogError
from obslog.exchange.arrivals_rows import SheetRow
from obslog.grammar.sky_readings import read_sky
from obslog.records.database import Database
from obslog.records.tables.keys import reference_of
from obslog.records.tables.logbook_tables import Act
from obslog.vocabulary.arrivals import Role
from obslog.vocabulary.steps import Step

MEMBERS = ("Ines", "Bram Ostler", "Cleo Marsh", "Dov Levin")
ITEMS = ("Long tube", "Stop 20", "Evening kit", "Spare 1")
STARS = ("Vega", "Regulus", "Procyon", "Capella", "Deneb")
Lot = random.Random


class Acting:
    """A database, the clock, a folder for sheets, and the lots by which acts are drawn."""

    def __init__(self, database: Database, now: datetime, folder: Path, lots: Lot) -> None:
        self.database, self.now, self.folder, self.lots = database, now, folder, lots
        self.done = 0
        add_kit(database, "Evening kit", ["Wide 25", "dust cap"], now)
        add(database, "member", "Cleo Marsh", {}, now)
        add(database, "item", "Old battery", {"sort": "battery"}, now)
        start_night(database, "Mill Field", now, present=["Ines"])
        start_setup(database, "Heron", now, tube="Long tube", observer="Ines")

    def act(self) -> None:
        """One act; where it is refused, nothing has changed."""
        self.now += timedelta(minutes=self.lots.randint(0, 3))
        try:
            self.lots.choice(ACTS)(self)
        except ObslogError:
            return
        self.done += 1

    def one(self, of: Sequence[str]) -> str:
        return self.lots.choice(of)

    @property
    def member(self) -> str:
        return self.one(MEMBERS)

    @property
    def item(self) -> str:
        return self.one(ITEMS)

    @property
    def number(self) -> int:
        return self.lots.randint(1, 30)


def _arrival(a: Acting) -> None:
    entry = ArrivalEntry(target=a.one(STARS), note=a.one(("wind", "")) or None)
    record_arrival(a.database, a.one((Role.SYNC, Role.CHECK)), entry, SetupChoice(), a.now, sure=True)  # type: ignore[arg-type]


def _sheet(a: Acting) -> None:
    night = f"2026-02-{a.lots.randint(1, 9):02}"
    rows: list[SheetRow] = [
        {
            "line": line, "night": night, "site": "Mill Field", "mount": a.one(("Heron", "Bracken")),
            "role": "sync", "utc": f"{night}T21:{line:02}:00Z", "target": a.one(STARS), "observer": a.member,
        }
        for line in range(2, a.lots.randint(3, 40))
    ]  # fmt: skip
    take_in(a.database, "sheet.csv", rows, [], a.now, create=True)


def _items_sheet(a: Acting) -> None:
    path = a.folder / "items.csv"
    numbers = range(1, a.lots.randint(2, 60))
    lines = [f"Spare {number},item,{a.one(('case', 'lamp'))},{a.number}" for number in numbers]
    path.write_text("\n".join(["name,kind,category,value", *lines]) + "\n", encoding="utf-8")
    bring_in(a.database, "items", path, a.now)


def _members_sheet(a: Acting) -> None:
    path = a.folder / "members.csv"
    lines = [f"Guest {number},01632 96{number:04}" for number in range(1, a.lots.randint(2, 40))]
    path.write_text("\n".join(["name,phone", *lines]) + "\n", encoding="utf-8")
    bring_in(a.database, "members", path, a.now)


def _undo_one(a: Acting) -> None:
    with a.database.read() as session:
        keys = list(session.scalars(select(Act.id)))
    undo(a.database, a.now, reference_of(a.lots.choice(keys)))


def _back_and_forth(a: Acting) -> None:
    times = a.lots.randint(1, 4)
    for _ in range(times):
        undo(a.database, a.now)
    for _ in range(a.lots.randint(0, times)):
        redo(a.database, a.now)


def _service(a: Acting) -> None:
    bill = Bill(cost=12.5, parts="grease", next_in_months=6, next_after_nights=30, next_when="it plays")
    add_service(
        a.database, "mount", a.one(("Heron", "Bracken")), "greased", a.now, on=a.now.date(), by=a.member,
        mechanical=True, bill=bill, tasks=["grease"],
    )  # fmt: skip


def _join(a: Acting) -> None:
    kept, other = a.lots.sample(MEMBERS, 2)
    join_members(a.database, kept, other, a.now, sure=True)


ACTS: tuple[Callable[[Acting], object], ...] = (
    _sheet,
    _items_sheet,
    _members_sheet,
    _undo_one,
    _undo_one,
    _back_and_forth,
    _service,
    lambda a: add(a.database, "member", a.member, {"note": a.one(("tall", "new"))}, a.now),
    lambda a: add(a.database, "item", "Spare 1", {"sort": "lamp"}, a.now),
    lambda a: edit(a.database, "member", a.member, {"note": f"seen {a.number}"}, a.now),
    lambda a: edit(a.database, "mount", a.one(("Heron", "Bracken")), {"note": f"{a.number}"}, a.now),
    lambda a: edit(a.database, "site", "Mill Field", {"elevation_m": float(a.number)}, a.now),
    lambda a: start_night(a.database, "Mill Field", a.now, present=[a.member]),
    lambda a: start_setup(a.database, a.one(("Heron", "Bracken")), a.now, observer=a.member),
    lambda a: end_night(a.database, NightChoice(), a.now, note="clouds"),
    lambda a: note_night(a.database, NightChoice(), a.now, present=[a.member], sky=[read_sky("bortle 4")]),
    lambda a: edit_arrival(a.database, 1, ArrivalEntry(target=a.one(STARS)), SetupChoice(), a.now),
    lambda a: remove_arrival(a.database, 1, SetupChoice(), a.now),
    lambda a: record_observations(
        a.database, "M 44", ObservationEntry(description="sparks"), a.now, observers=[a.member]
    ),
    lambda a: edit_observation(a.database, 1, ObservationEntry(rating=a.lots.randint(1, 5)), a.now),
    lambda a: add_snag(a.database, Step.CABLES, "a lead caught", a.now, mount="Heron"),
    lambda a: tick_step(a.database, Step.LEVEL, "Heron", "Mill Field", a.now, a.now, value="0.2°"),
    lambda a: set_contact(a.database, a.member, {"phone": f"01632 96{a.number:04}"}, a.now),
    lambda a: set_contact(a.database, a.member, {"phone": ""}, a.now),
    lambda a: set_rule(a.database, "loan-days", float(a.number), a.now),
    lambda a: set_rule(a.database, "loan-days", None, a.now),
    lambda a: add_kit(a.database, "Second kit", ["Lead battery", "dust cap"], a.now),
    lambda a: add_part(a.database, "Evening kit", a.item, a.now),
    lambda a: remove_part(a.database, "Evening kit", "dust cap", "lost", a.now),
    *(3 * (lambda a: lend(a.database, a.item, a.member, a.now),)),
    *(3 * (lambda a: hand_over(a.database, a.item, a.member, a.now),)),
    *(3 * (lambda a: go_missing(a.database, a.item, a.now),)),
    *(3 * (lambda a: be_found(a.database, a.item, a.now),)),
    *(3 * (_arrival,)),
    lambda a: take_back(a.database, a.item, a.now),
    lambda a: renew(a.database, a.item, a.now),
    lambda a: reserve(a.database, a.item, a.member, a.now),
    lambda a: withdraw(a.database, a.item, a.member, a.now),
    lambda a: retire(a.database, "mount", "Thistle", "worn", a.now.date(), a.now),
    lambda a: reinstate(a.database, "Thistle", a.now),
    lambda a: write_off(a.database, a.item, "trodden on", a.now),
    lambda a: write_paper(a.database, a.item, {"tag": f"T-{a.number}", "value": float(a.number)}, a.now),
    lambda a: note_test(a.database, "Old battery", a.now, rest_volts=12.6, load_volts=11.9),
    lambda a: start(a.database, a.now, a.member),
    lambda a: saw(a.database, a.item, a.now),
    _join,
)
