"""The store-room's story: a lending box from which an eyepiece was lost, a refractor nobody brings back, and who waits.

What is lent here does not stand under the sky while it is out, so that no thing is at two places.
"""

from collections.abc import Callable
from datetime import UTC, date, datetime, time, timedelta

from obslog.club.register.named_records import add
from obslog.club.storeroom.kits import add_kit
from obslog.club.storeroom.loan_records import Papers
from obslog.club.storeroom.loans import hand_over, lend, renew, take_back
from obslog.club.storeroom.waiting_list import reserve
from obslog.records.opening import Database
from obslog.vocabulary import Condition

LENDING_BOX = "Lending box"
LOST_EYEPIECE = "Lending 33"
LOST_BY = "Caspian Rook"
OVERDUE_TUBE = "Grandmother's refractor"
OFFICER = "Hamish Dunbar-Voss"
EVENING_KITS: tuple[tuple[str, tuple[str, ...], float | None], ...] = (
    ("Rucksack kit", ("Nightjar", "Rucksack four", "padded strap"), 6.5),
    ("School kit", ("Marigold", "School five", "power lead"), 11.0),
    ("Big kit", ("Anvil", "Big ten", "two counterweights", "hex keys"), 34.0),
    ("Heron kit", ("Silver Heron", "hex keys"), None),
)
"""Whole telescopes with what they weigh in kilograms; nobody has weighed the last."""


def fill_storeroom(database: Database, last_night: date) -> None:
    """Things for lending, kits of them, and a year of loans up to `last_night`."""
    noon = noons(last_night)
    founded = noon(700)
    add(database, "eyepiece", LOST_EYEPIECE, {"focal_mm": 33.0, "field_deg": 47.0}, founded)
    add(database, "eyepiece", "Lending 16", {"focal_mm": 16.0, "field_deg": 49.0}, founded)
    add(database, "item", "Lending finder", {"sort": "finder"}, founded)
    parts = (LOST_EYEPIECE, "Lending 16", "Lending finder", "two dust caps", "card of first objects")
    add_kit(database, LENDING_BOX, parts, founded, loan_days=28)
    for name, things, weight_kg in EVENING_KITS:
        add_kit(database, name, things, noon(150), weight_kg=weight_kg)
    reserve(database, "Big kit", "Idris Penhallow", noon(12))
    _loans_of_the_box(database, noon)
    _the_refractor_stays_away(database, noon)


def _loans_of_the_box(database: Database, noon: Callable[[int], datetime]) -> None:
    agreed = Papers(terms_agreed=True, trained=True, deposit=20)
    lend(database, LENDING_BOX, "Noor El-Tayeb", noon(300), all_good=True, papers=agreed, by=OFFICER)
    renew(database, LENDING_BOX, noon(275))
    hand_over(database, LENDING_BOX, "Beatrix Oomen", noon(250), all_good=True)
    worn = {"Lending 16": (Condition.WORN, "a thumbprint on the eye lens")}
    take_back(database, LENDING_BOX, noon(225), conditions=worn, all_good=True, by=OFFICER)
    lend(database, LENDING_BOX, LOST_BY, noon(120), all_good=True, papers=agreed, by=OFFICER)
    lost = {
        LOST_EYEPIECE: (Condition.MISSING, "last seen on the roof of the car"),
        "two dust caps": (Condition.DAMAGED, "one of them chewed"),
    }
    take_back(database, LENDING_BOX, noon(85), conditions=lost, all_good=True, by=OFFICER)
    reserve(database, LENDING_BOX, "Fenella Quayle", noon(20))


def _the_refractor_stays_away(database: Database, noon: Callable[[int], datetime]) -> None:
    lend(database, OVERDUE_TUBE, "Jun Kitaoka", noon(110), papers=Papers(terms_agreed=True), by=OFFICER)
    renew(database, OVERDUE_TUBE, noon(85))
    reserve(database, OVERDUE_TUBE, "Amara Nwosu-Bell", noon(60))


def noons(last_night: date) -> Callable[[int], datetime]:
    """The noon so many days before the last night."""
    return lambda days: datetime.combine(last_night - timedelta(days=days), time(12), UTC)
