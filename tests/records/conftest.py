"""Records of every kind, put in directly."""

from datetime import date, datetime
from typing import Any

import pytest
from sqlalchemy.orm import Session

from obslog.records.database import Database
from obslog.records.tables.base import name_key
from obslog.records.tables.keys import new_key
from obslog.records.tables.lending import Absence, Kit, KitPart, Loan, LoanPart, Renewal, Reservation
from obslog.records.tables.logbook import ClubStep
from obslog.records.tables.logbook_tables import (
    Act,
    Arrival,
    Attendance,
    Change,
    ChangeBatch,
    Eyepiece,
    Item,
    Member,
    Mount,
    Night,
    Observation,
    SameRecord,
    Service,
    Setup,
    Site,
    SkyReading,
    Snag,
    Tick,
    Tube,
)
from obslog.records.tables.officer import (
    Call,
    ClubTask,
    ConditionWord,
    LoanTerms,
    NotFound,
    NotOnRecord,
    Reminder,
    Stocktake,
    StocktakeLine,
    StocktakePart,
    StocktakeTick,
)
from obslog.records.tables.storeroom import (
    BatteryTest,
    ClubRule,
    Contact,
    MendedSnag,
    Paper,
    Photograph,
    Receipt,
    Retirement,
    ServiceBill,
    ServiceTask,
)
from obslog.vocabulary.arrivals import Role
from obslog.vocabulary.sky_scales import SkyScale
from obslog.vocabulary.steps import Step
from obslog.vocabulary.storeroom import Acquired, Condition, Found, ReminderLevel


def named(name: str) -> dict[str, Any]:
    return {"name": name, "name_key": name_key(name)}


@pytest.fixture
def full_database(database: Database, now: datetime) -> Database:
    """The database with one record in every table."""
    with database.write(now) as session:
        site, member = Site(**named("Mill Field"), zone="Europe/London"), Member(**named("Ines"))
        mount, tube = Mount(**named("Heron")), Tube(**named("Long tube"))
        eyepiece, item = Eyepiece(**named("Wide 25")), Item(**named("Lead battery"))
        session.add_all([site, member, mount, tube, eyepiece, item])
        session.flush()
        night = Night(site_id=site.id, night_of=date(2026, 3, 2))
        session.add(night)
        session.flush()
        setup = Setup(night_id=night.id, mount_id=mount.id, tube_id=tube.id, member_id=member.id)
        session.add(setup)
        session.flush()
        add_a_loan(session, mount, member, now)
        service = Service(equipment_id=mount.id, done_on=date(2026, 2, 1), text="greased")
        session.add(service)
        session.flush()
        snag = Snag(at_utc=now, step=Step.LEVEL, text="a leg sank", setup_id=setup.id)
        session.add_all(
            [
                ServiceBill(service_id=service.id, cost=12.5, next_after_nights=40, next_when="it plays"),
                ServiceTask(service_id=service.id, task="grease"),
                Absence(equipment_id=item.id, since=date(2026, 2, 1)),
                Retirement(equipment_id=mount.id, retired_on=date(2025, 1, 1), back_on=date(2025, 2, 1)),
                snag,
            ]
        )
        session.flush()
        session.add(MendedSnag(service_id=service.id, snag_id=snag.id))
        stocktake = Stocktake(
            started_on=date(2026, 2, 1), finished_on=date(2026, 2, 2), expected=2, not_found=1
        )
        session.add(stocktake)
        session.flush()
        act = Act(at_utc=now, sentence="begin")
        session.add_all(
            [
                Arrival(setup_id=setup.id, at_utc=now, role=Role.SYNC, target="Vega"),
                Attendance(night_id=night.id, member_id=member.id),
                SkyReading(night_id=night.id, scale=SkyScale.ANTONIADI, value=2.0),
                Tick(at_utc=now, step=Step.POWER, value="12.6 V at rest", setup_id=setup.id),
                Observation(night_id=night.id, at_utc=now, target="M 13"),
                BatteryTest(equipment_id=item.id, tested_on=date(2026, 2, 1), rest_volts=12.6),
                Contact(member_id=member.id, phone="555 0100"),
                ClubRule(name="loan-days", value=42),
                Paper(equipment_id=item.id, tag="0017", acquired=Acquired.GIFT, cost=0, value=40),
                StocktakeTick(
                    stocktake_id=stocktake.id,
                    equipment_id=item.id,
                    seen_utc=now,
                    found_place="shelf 2",
                    note="dusty",
                ),
                ClubStep(place=1, step="dew-heaters", title="Unplug the dew heaters", what_to_do="Pull."),
                ClubTask(place=1, task_of="mount", task="grease", what_to_do="Grease it.", every_months=12),
                ConditionWord(place=1, word="scuffed", means=Condition.WORN),
                LoanTerms(text="I keep it dry.", renewals=2),
                NotOnRecord(
                    stocktake_id=stocktake.id, text="a red torch", seen_utc=now, found_place="shelf 2"
                ),
                Photograph(equipment_id=item.id, file_name="battery.jpg", sha256="0" * 64),
                Receipt(equipment_id=item.id, file_name="battery.pdf", sha256="1" * 64),
                NotFound(stocktake_id=stocktake.id, equipment_id=item.id),
                StocktakeLine(
                    stocktake_id=stocktake.id,
                    found=Found.NOT_SEEN,
                    status="in",
                    name="Lead battery",
                    equipment_id=item.id,
                    value=40,
                ),
                StocktakePart(
                    stocktake_id=stocktake.id,
                    kit_part_id=session.query(KitPart).one().id,
                    seen_utc=now,
                    there=False,
                ),
                act,
            ]
        )
        session.flush()
        session.add_all(
            [
                Change(act_id=act.id, record_kind="Site", record_id=site.id),
                ChangeBatch(
                    act_id=act.id,
                    record_kind="Member",
                    what="added",
                    first_id=member.id,
                    last_id=member.id,
                    records=1,
                    record_ids=member.id.bytes,
                ),
                SameRecord(record_kind="Member", gone_id=new_key(), kept_id=member.id),
            ]
        )
    return database


def add_a_loan(session: Session, mount: Mount, member: Member, now: datetime) -> None:
    """A kit of one mount that is out, was renewed once, and has somebody waiting for it."""
    kit = Kit(**named("Evening kit"), loan_days=28)
    session.add(kit)
    session.flush()
    part = KitPart(kit_id=kit.id, label="Heron", equipment_id=mount.id, joined_on=date(2026, 1, 1))
    loan = Loan(
        member_id=member.id,
        out_on=date(2026, 2, 1),
        due_on=date(2026, 3, 29),
        kit_id=kit.id,
        deposit=50,
    )
    session.add_all([part, loan])
    session.flush()
    reminder = Reminder(
        made_on=date(2026, 3, 1),
        level=ReminderLevel.DUE,
        loan_id=loan.id,
        file_name="1.eml",
        text_sha256="0" * 64,
    )
    session.add_all(
        [
            reminder,
            Call(loan_id=loan.id, called_on=date(2026, 3, 1), note="on Thursday"),
            LoanPart(loan_id=loan.id, label="Heron", equipment_id=mount.id, condition_out=Condition.GOOD),
            Renewal(
                loan_id=loan.id,
                renewed_on=date(2026, 2, 20),
                due_before=date(2026, 3, 1),
                due_after=date(2026, 3, 29),
            ),
            Reservation(member_id=member.id, asked_utc=now, kit_id=kit.id),
        ]
    )
