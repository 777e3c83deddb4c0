"""All tables in one import, for whoever needs the whole schema."""

from obslog.records.base import Base
from obslog.records.equipment import Equipment, Eyepiece, Item, Mount, Service, Tube
from obslog.records.logbook import Act, Change, Observation, Snag, Tick
from obslog.records.nights import Arrival, Attendance, Night, Setup, SkyReading
from obslog.records.places import Member, Site
from obslog.records.search_text import SEARCHED

metadata = Base.metadata

__all__ = [
    "SEARCHED",
    "Act",
    "Arrival",
    "Attendance",
    "Change",
    "Equipment",
    "Eyepiece",
    "Item",
    "Member",
    "Mount",
    "Night",
    "Observation",
    "Service",
    "Setup",
    "Site",
    "SkyReading",
    "Snag",
    "Tick",
    "Tube",
    "metadata",
]
