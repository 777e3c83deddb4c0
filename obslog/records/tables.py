"""All tables in one import, for whoever needs the whole schema."""

from obslog.records.base import Base
from obslog.records.equipment import Equipment, Eyepiece, Item, Mount, Service, Tube
from obslog.records.lending import Absence, Kit, KitPart, Loan, LoanPart, Renewal, Reservation
from obslog.records.logbook import Act, Change, Observation, Snag, Tick
from obslog.records.nights import Arrival, Attendance, Night, Setup, SkyReading
from obslog.records.places import Member, Site
from obslog.records.search_text import SEARCHED
from obslog.records.storeroom import (
    BatteryTest,
    ClubRule,
    Contact,
    MendedSnag,
    Paper,
    Photograph,
    Retirement,
    ServiceBill,
    ServiceTask,
)

metadata = Base.metadata

__all__ = [
    "SEARCHED",
    "Absence",
    "Act",
    "Arrival",
    "Attendance",
    "BatteryTest",
    "Change",
    "ClubRule",
    "Contact",
    "Equipment",
    "Eyepiece",
    "Item",
    "Kit",
    "KitPart",
    "Loan",
    "LoanPart",
    "Member",
    "MendedSnag",
    "Mount",
    "Night",
    "Observation",
    "Paper",
    "Photograph",
    "Renewal",
    "Reservation",
    "Retirement",
    "Service",
    "ServiceBill",
    "ServiceTask",
    "Setup",
    "Site",
    "SkyReading",
    "Snag",
    "Tick",
    "Tube",
    "metadata",
]
