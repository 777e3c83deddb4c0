"""The logbook's tables in one import: what is used at the telescope. Lending and the store-room are apart.

A command that needs only these need not map the rest; the whole schema is in `schema.py`.
"""

from obslog.records.tables.equipment import Equipment, Eyepiece, Item, Mount, Service, Tube
from obslog.records.tables.logbook import (
    Act,
    Change,
    ChangeBatch,
    ClubStep,
    Observation,
    SameRecord,
    Snag,
    Tick,
)
from obslog.records.tables.nights import Arrival, Attendance, Night, Setup, SkyReading
from obslog.records.tables.places import Member, Site
from obslog.records.tables.search_text import SEARCHED

__all__ = [
    "SEARCHED",
    "Act",
    "Arrival",
    "Attendance",
    "Change",
    "ChangeBatch",
    "ClubStep",
    "Equipment",
    "Eyepiece",
    "Item",
    "Member",
    "Mount",
    "Night",
    "Observation",
    "SameRecord",
    "Service",
    "Setup",
    "Site",
    "SkyReading",
    "Snag",
    "Tick",
    "Tube",
]
