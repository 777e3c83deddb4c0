"""The year's figures as a secretary counts them with a pencil: row by row and day by day, by the words of the guide.

Nothing here is taken from the program but its plain rows. A figure is of what the guide says under "How days are
counted" and "How the rest is counted".
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from statistics import median
from typing import Any

from tests.club.annual.random_clubs import FIRST, RandomClub, Row


def days_from(first: date, last: date) -> list[date]:
    return [first + timedelta(days=n) for n in range((last - first).days + 1)]


@dataclass
class Pencil:
    """The rows of a club, the days of the year, and the day on which it is counted."""

    club: RandomClub
    first: date
    last: date
    today: date

    def __post_init__(self) -> None:
        self.days = set(days_from(self.first, self.last))
        self.names = self.club.names()
        self.loans, self.parts = self.club.rows("loans"), self.club.rows("loan_parts")
        self.absences, self.kit_parts = self.club.rows("absences"), self.club.rows("kit_parts")
        self.items, self.kits = self.club.rows("equipment"), self.club.rows("kits")
        self.papers = {row["equipment_id"]: row for row in self.club.rows("papers")}
        self.once_retired = self.club.rows("retirements")
        self.loan_of = {loan["id"]: loan for loan in self.loans}
        self.nights = {row["id"]: row for row in self.club.rows("nights")}
        self.setups, self.observations = self.club.rows("setups"), self.club.rows("observations")

    def within(self, day: date | None) -> bool:
        return day is not None and day in self.days

    def paper(self, item: Row, column: str) -> Any:
        return self.papers.get(item["id"], {}).get(column)

    # Loans

    def loan_figures(self, grace_days: int) -> dict[str, object]:
        begun = [loan for loan in self.loans if self.within(loan["out_on"])]
        came = [loan for loan in self.loans if self.within(loan["back_on"])]
        late = [(loan["back_on"] - loan["due_on"]).days for loan in came]
        renewals = [row for row in self.club.rows("renewals") if self.within(row["renewed_on"])]
        over = [(self.today - loan["due_on"]).days for loan in self.loans if loan["back_on"] is None]
        return {
            "begun": len(begun),
            "handed_over": sum(1 for loan in begun if loan["handed_over_from_id"]),
            "borrowers": len({loan["member_id"] for loan in begun}),
            "out_before": self._out_on_the_evening_of(self.first - timedelta(days=1)),
            "came_back": len(came),
            "out_at_end": self._out_on_the_evening_of(self.last),
            "renewals": len(renewals),
            "renewed_loans": len({row["loan_id"] for row in renewals}),
            "late": sorted((days for days in late if days > grace_days), reverse=True),
            "overdue_now": sorted((days for days in over if days > grace_days), reverse=True),
        }

    def _out_on_the_evening_of(self, day: date) -> int:
        return sum(
            1
            for loan in self.loans
            if loan["out_on"] <= day and (not loan["back_on"] or loan["back_on"] > day)
        )

    # Waiting lists

    def waiting_figures(self) -> dict[str, object]:
        asked = [(row, row["on"]) for row in self.club.places_in_lists()]
        waits = [
            (row, day)
            for row, day in asked
            if day <= self.last and (not row["closed_on"] or row["closed_on"] > self.last)
        ]
        left = [(row, day) for row, day in asked if self.within(row["closed_on"])]
        served = [max(0, (row["closed_on"] - day).days) for row, day in left if row["served"]]
        queues: dict[Any, list[int]] = {}
        for row, day in waits:
            queues.setdefault(row["kit_id"] or row["equipment_id"], []).append((self.last - day).days)
        return {
            "waiting": len(waits),
            "members": len({row["member_id"] for row, _ in waits}),
            "longest_days": max(((self.last - day).days for _, day in waits), default=None),
            "served": len(served),
            "served_median_days": median(served) if served else None,
            "served_longest_days": max(served, default=None),
            "withdrawn": len(left) - len(served),
            "queues": sorted((self.names[key], len(days), max(days)) for key, days in queues.items()),
        }

    # Days out of days available

    def days_of_item(self, item: Row) -> dict[str, int]:
        """Every day of the year by itself: what stood in the book of it."""
        key = item["id"]
        out = [
            (self.loan_of[part["loan_id"]]["out_on"], part["back_on"])
            for part in self.parts
            if part["equipment_id"] == key
        ]
        absent = [(row["since"], row["found_on"]) for row in self.absences if row["equipment_id"] == key]
        gone = [
            (row["retired_on"], row["back_on"]) for row in self.once_retired if row["equipment_id"] == key
        ]
        now_gone = [day for day in (item["retired_on"], self.paper(item, "written_off_on")) if day]
        gone += [(min(now_gone), None)] if now_gone else []
        told = [
            self.paper(item, "acquired_on"),
            self.club.day_of(FIRST),
            *(day for day, _ in out),
            *self.nights_of(key),
        ]
        told += [row["joined_on"] for row in self.kit_parts if row["equipment_id"] == key]
        return self._by_sort(min(day for day in told if day), out, absent, gone)

    def days_of_kit(self, kit: Row) -> dict[str, int]:
        out = [(loan["out_on"], loan["back_on"]) for loan in self.loans if loan["kit_id"] == kit["id"]]
        gone = [
            (row["retired_on"], row["back_on"]) for row in self.once_retired if row["kit_id"] == kit["id"]
        ]
        gone += [(kit["retired_on"], None)] if kit["retired_on"] else []
        told = [self.club.day_of(FIRST), *(day for day, _ in out)]
        told += [row["joined_on"] for row in self.kit_parts if row["kit_id"] == kit["id"]]
        return self._by_sort(min(told), out, [], gone)

    def _by_sort(self, since: date, out: list[Any], absent: list[Any], gone: list[Any]) -> dict[str, int]:
        found = {"out": 0, "in": 0, "missing": 0, "gone": 0, "before": 0}
        for day in days_from(self.first, self.last):
            if day < since:
                found["before"] += 1
            elif any(noted < day and (back is None or day < back) for noted, back in gone):
                found["gone"] += 1
            elif any(noted < day and (back is None or day < back) for noted, back in absent):
                found["missing"] += 1
            elif any(went <= day and (back is None or day <= back) for went, back in out):
                found["out"] += 1
            else:
                found["in"] += 1
        return found

    def loans_of(self, key: Any) -> int:
        """How often it was lent in the year: an item by itself or in its kit, a kit as a kit."""
        of_kit = [loan["out_on"] for loan in self.loans if loan["kit_id"] == key]
        of_item = [
            self.loan_of[part["loan_id"]]["out_on"] for part in self.parts if part["equipment_id"] == key
        ]
        return sum(1 for day in (*of_kit, *of_item) if self.within(day))

    # Nights

    def nights_of(self, key: Any) -> list[date]:
        """The dates on which an item was in a set-up, or something was looked at through it."""
        used = set()
        for row in self.setups:
            if key in (row["mount_id"], row["tube_id"], row["eyepiece_id"]):
                used.add(self.nights[row["night_id"]]["night_of"])
        for row in self.observations:
            if row["eyepiece_id"] == key:
                used.add(self.nights[row["night_id"]]["night_of"])
        return sorted(used)

    def night_figures(self) -> dict[str, int]:
        nights = {key: row for key, row in self.nights.items() if self.within(row["night_of"])}
        setups = [row for row in self.setups if row["night_id"] in nights]
        return {
            "nights": len(nights),
            "sites": len({row["site_id"] for row in nights.values()}),
            "setups": len(setups),
            "mounts": len({row["mount_id"] for row in setups}),
            "observers": len({row["member_id"] for row in setups if row["member_id"]}),
        }

    # Losses, what came and went, and what there is

    def loss_figures(self) -> dict[str, object]:
        lost = [*self._lost_items(), *self._lost_labels()]
        still = [value for _, fate, value in self._lost_items() if fate == "still"]
        written_off = [item for item in self.items if self.within(self.paper(item, "written_off_on"))]
        return {
            "missing": sorted(name for name, _, _ in lost),
            "found": sum(1 for _, fate, _ in lost if fate == "found"),
            "given_up": sum(1 for _, fate, _ in lost if fate == "given up"),
            "missing_value": summed(still),
            "written_off": sorted(item["name"] for item in written_off),
            "written_off_value": summed(self.paper(item, "value") for item in written_off),
            "missing_from_before": self._missing_from_before(),
        }

    def _lost_items(self) -> Iterator[tuple[str, str, float | None]]:
        """What went missing in the year and what became of it; what was written off in the year is told there."""
        for item in self.items:
            for row in self.absences:
                if row["equipment_id"] != item["id"] or not self.within(row["since"]):
                    continue
                if self.within(self.paper(item, "written_off_on")):
                    continue
                given_up = item["retired_on"] or self.paper(item, "written_off_on")
                fate = "found" if row["found_on"] else "given up" if given_up else "still"
                yield item["name"], fate, self.paper(item, "value")

    def _lost_labels(self) -> Iterator[tuple[str, str, float | None]]:
        retired = {kit["id"] for kit in self.kits if kit["retired_on"]}
        for part in self.kit_parts:
            if self.within(part["missing_since"]):
                fate = "given up" if part["left_on"] or part["kit_id"] in retired else "still"
                yield f"{self.names[part['kit_id']]}: {part['label']}", fate, None

    def _missing_from_before(self) -> int:
        """What was missing when the year began, and was not given up before."""
        count = 0
        for item in self.items:
            gone = [
                (row["retired_on"], row["back_on"])
                for row in self.once_retired
                if row["equipment_id"] == item["id"]
            ]
            gone += [(day, None) for day in (item["retired_on"], self.paper(item, "written_off_on")) if day]
            absent = [
                (row["since"], row["found_on"]) for row in self.absences if row["equipment_id"] == item["id"]
            ]
            given_up = self._began_before(gone) or self.within(self.paper(item, "written_off_on"))
            count += self._began_before(absent) and not given_up
        retired = {kit["id"]: kit["retired_on"] for kit in self.kits}
        for part in self.kit_parts:
            ends = [day for day in (part["left_on"], retired[part["kit_id"]]) if day]
            if part["missing_since"]:
                count += self._began_before([(part["missing_since"], min(ends, default=None))])
        return count

    def _began_before(self, spans: Iterable[tuple[date, date | None]]) -> bool:
        return any(since < self.first and (until is None or until >= self.first) for since, until in spans)

    def came(self) -> tuple[list[str], tuple[float | None, int, int], int]:
        """What came in the year, what was paid for what was no gift, and of how many in use it is not known when."""
        came = [item for item in self.items if self.within(self.paper(item, "acquired_on"))]
        paid = [self.paper(item, "cost") for item in came if self.paper(item, "acquired") != "gift"]
        unknown = [item for item in self.in_use() if not self.paper(item, "acquired_on")]
        return sorted(item["name"] for item in came), summed(paid), len(unknown)

    def retired(self) -> list[str]:
        """What was retired in the year and is not in use again, but for what was written off by the same act."""
        return sorted(
            one["name"]
            for one in (*self.items, *self.kits)
            if self.within(one["retired_on"]) and self.paper(one, "written_off_on") != one["retired_on"]
        )

    def in_use(self) -> list[Row]:
        return [
            item for item in self.items if not item["retired_on"] and not self.paper(item, "written_off_on")
        ]

    def where_now(self, item: Row) -> str:
        """With whom an item in use is today, or that it is missing, or in the store."""
        for part in self.parts:
            if part["equipment_id"] == item["id"] and not part["back_on"]:
                return self.names[self.loan_of[part["loan_id"]]["member_id"]]
        absent = [row for row in self.absences if row["equipment_id"] == item["id"] and not row["found_on"]]
        return "missing" if absent else "store"

    def places(self) -> list[tuple[str, int]]:
        """How many items are in the store at each place, which is one place in any capitals; "" where none is told."""
        there = [
            (self.paper(item, "place") or "").casefold()
            for item in self.in_use()
            if self.where_now(item) == "store"
        ]
        return sorted((place, there.count(place)) for place in set(there))

    def worth_by_holder(self) -> dict[str, tuple[int, tuple[float | None, int, int]]]:
        held: dict[str, list[float | None]] = {}
        for item in self.in_use():
            held.setdefault(self.where_now(item), []).append(self.paper(item, "value"))
        return {where: (len(values), summed(values)) for where, values in held.items()}


def summed(amounts: Iterable[float | None]) -> tuple[float | None, int, int]:
    """The sum of what is known, of how many, and how many are not; nothing at all is worth nothing."""
    listed = list(amounts)
    known = [amount for amount in listed if amount is not None]
    total = 0.0
    for amount in known:
        total += amount
    return (total if known or not listed else None, len(known), len(listed) - len(known))
