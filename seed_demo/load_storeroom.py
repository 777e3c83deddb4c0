"""The store-room's story: a lending box from which an eyepiece was lost, a refractor nobody brings back, and who waits.

What is lent here does not stand under the sky while it is out, so that no thing is at two places.
"""

from collections.abc import Callable, Iterable, Iterator
from datetime import UTC, date, datetime, time, timedelta
from functools import partial
from operator import itemgetter

from obslog.club.register.named_records import add
from obslog.club.storeroom.kits import add_kit
from obslog.club.storeroom.loan_records import Papers
from obslog.club.storeroom.loans import hand_over, lend, renew, take_back
from obslog.club.storeroom.waiting_list import reserve
from obslog.records.database import Database
from obslog.vocabulary.storeroom import Condition

Act = Callable[[datetime], object]
Dated = tuple[datetime, Act]

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


def storeroom_acts(database: Database, last_night: date) -> Iterator[Dated]:
    """Things for lending, kits of them, and a year of loans up to `last_night`."""
    noon = noons(last_night)
    founded = noon(700)
    lost, kept = ({"focal_mm": mm, "field_deg": deg} for mm, deg in ((33.0, 47.0), (16.0, 49.0)))
    yield founded, lambda at: add(database, "eyepiece", LOST_EYEPIECE, lost, at)
    yield founded, lambda at: add(database, "eyepiece", "Lending 16", kept, at)
    yield founded, lambda at: add(database, "item", "Lending finder", {"sort": "finder"}, at)
    parts = (LOST_EYEPIECE, "Lending 16", "Lending finder", "two dust caps", "card of first objects")
    yield founded, lambda at: add_kit(database, LENDING_BOX, parts, at, loan_days=28)
    for kit, things, weight_kg in EVENING_KITS:
        yield noon(150), partial(_make_kit, database, kit, things, weight_kg)
    yield noon(12), lambda at: reserve(database, "Big kit", "Idris Penhallow", at)
    yield from _loans_of_the_box(database, noon)
    yield from _the_refractor_stays_away(database, noon)


def _make_kit(
    database: Database, kit: str, things: tuple[str, ...], weight_kg: float | None, at: datetime
) -> None:
    add_kit(database, kit, things, at, weight_kg=weight_kg)


def _loans_of_the_box(database: Database, noon: Callable[[int], datetime]) -> Iterator[Dated]:
    box = LENDING_BOX
    agreed = Papers(terms_agreed=True, trained=True, deposit=20)
    worn = {"Lending 16": (Condition.WORN, "a thumbprint on the eye lens")}
    lost = {
        LOST_EYEPIECE: (Condition.MISSING, "last seen on the roof of the car"),
        "two dust caps": (Condition.DAMAGED, "one of them chewed"),
    }

    def lent_to(member: str) -> Act:
        return lambda at: lend(database, box, member, at, all_good=True, papers=agreed, by=OFFICER)

    yield noon(300), lent_to("Noor El-Tayeb")
    yield noon(275), lambda at: renew(database, box, at)
    yield noon(250), lambda at: hand_over(database, box, "Beatrix Oomen", at, all_good=True)
    yield noon(225), lambda at: take_back(database, box, at, conditions=worn, all_good=True, by=OFFICER)
    yield noon(120), lent_to(LOST_BY)
    yield noon(85), lambda at: take_back(database, box, at, conditions=lost, all_good=True, by=OFFICER)
    yield noon(20), lambda at: reserve(database, box, "Fenella Quayle", at)


def _the_refractor_stays_away(database: Database, noon: Callable[[int], datetime]) -> Iterator[Dated]:
    agreed = Papers(terms_agreed=True)
    yield noon(110), lambda at: lend(database, OVERDUE_TUBE, "Jun Kitaoka", at, papers=agreed, by=OFFICER)
    yield noon(85), lambda at: renew(database, OVERDUE_TUBE, at)
    yield noon(60), lambda at: reserve(database, OVERDUE_TUBE, "Amara Nwosu-Bell", at)


def do_in_order(acts: Iterable[Dated]) -> None:
    """Do each act at its time, the earliest first, so that the history is in order too."""
    for at, act in sorted(acts, key=itemgetter(0)):
        act(at)


def noons(last_night: date) -> Callable[[int], datetime]:
    """The noon so many days before the last night."""
    return lambda days: datetime.combine(last_night - timedelta(days=days), time(12), UTC)
