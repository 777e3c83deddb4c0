"""Services from a sheet: work done on items that are on record."""

from collections.abc import Mapping
from datetime import date
from typing import Any
from uuid import UUID

from sqlalchemy import select

from obslog.club.bring_in.intake import Intake, Outcome, differences
from obslog.club.bring_in.names import items, members
from obslog.club.upkeep.service_bills import NextBeforeThis
from obslog.english import enumerated
from obslog.errors import ObslogError
from obslog.records.tables.equipment import Service
from obslog.records.tables.storeroom import ServiceBill

BILL = ("cost", "parts", "next_on")


class AnotherOnRecord(ObslogError):
    def __init__(self, name: str, day: date, columns: list[str]) -> None:
        super().__init__(
            f"The same work on {name} on {day} is on record with another {enumerated(columns)}.",
            "Correct the row; see: obslog service list",
        )


def services_in(intake: Intake) -> None:
    """Find out what each row makes. A service is known by its item, its day and its words."""
    known = _on_record(intake)
    what, who = items(intake.session), members(intake.session)
    for row in intake.rows:
        try:
            item = what.named(str(row.values["item"]))
            by = who.named(str(row.values["by"])).key if "by" in row.values else None
            told: dict[str, Any] = {**row.values, "by": by}
            done_on, text = told["done_on"], str(told["text"])
            if told.get("next_on") is not None and told["next_on"] <= done_on:
                raise NextBeforeThis(told["next_on"], done_on)
            there = known.get((item.key, done_on, text))
            if there is not None:
                _refuse_another(there, told, item.name)
                intake.told(row.line, item.name, Outcome.SAME)
                continue
        except ObslogError as error:
            intake.refuse(row.line, "", error)
            continue
        known[item.key, done_on, text] = told
        _add(intake, item.key, told)
        mechanical = "; mechanical: its pointing begins anew" if told.get("mechanical") else ""
        intake.told(row.line, item.name, Outcome.NEW, f"{done_on}{mechanical}")


def _refuse_another(there: Mapping[str, Any], told: Mapping[str, Any], name: str) -> None:
    """Raises AnotherOnRecord where the same work is on record with other particulars."""
    others = differences(there, {column: told.get(column) for column in ("mechanical", "by", *BILL)})
    if others:
        raise AnotherOnRecord(name, told["done_on"], list(others))


def _add(intake: Intake, item: UUID, told: dict[str, Any]) -> None:
    service = intake.add(
        Service,
        equipment_id=item,
        done_on=told["done_on"],
        text=told["text"],
        mechanical=bool(told.get("mechanical")),
        member_id=told["by"],
    )
    bill = {column: told.get(column) for column in BILL}
    if any(value is not None for value in bill.values()):
        intake.add(ServiceBill, service_id=service, **bill)


def _on_record(intake: Intake) -> dict[tuple[UUID, date, str], dict[str, Any]]:
    query = select(
        Service.equipment_id,
        Service.done_on,
        Service.text,
        Service.mechanical,
        Service.member_id,
        *(getattr(ServiceBill, column) for column in BILL),
    ).outerjoin(ServiceBill, ServiceBill.service_id == Service.id)
    names = ("mechanical", "by", *BILL)
    return {
        (item, done_on, text): dict(zip(names, values, strict=True))
        for item, done_on, text, *values in intake.session.execute(query)
    }
