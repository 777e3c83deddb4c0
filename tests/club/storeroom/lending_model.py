"""A store-room on paper: what any sequence of acts should come to, written without looking at the program's own rules.

An act that the club allows changes the model and gives True; one that it should refuse changes nothing: False.
"""

from copy import deepcopy
from dataclasses import dataclass, field
from datetime import date, timedelta

STORE, MISSING, RETIRED = "store", "missing", "retired"
LABELS = ("red torch",)
LOAN_DAYS = 28  # the default of the rule book
Spans = list[list[date | None]]


@dataclass
class Loan:
    member: str
    went: list[str]
    out_on: date
    due_on: date


@dataclass
class StoreRoomOnPaper:
    """Where each thing is, what each kit holds, what is out as such, who waits; and what happened on which days."""

    place: dict[str, str]
    parts: dict[str, list[str]]
    first: date
    retired_kits: set[str] = field(default_factory=set)
    missing_labels: set[str] = field(default_factory=set)
    loans: dict[str, Loan] = field(default_factory=dict)
    queue: dict[str, list[str]] = field(default_factory=dict)
    lent: dict[str, Spans] = field(default_factory=dict)
    absent: dict[str, Spans] = field(default_factory=dict)
    gone: dict[str, date] = field(default_factory=dict)

    def copy(self) -> "StoreRoomOnPaper":
        return deepcopy(self)

    def lend(self, name: str, member: str, day: date, pass_over: bool) -> bool:
        there = self._there(name)
        first = self.queue.get(name, [member])[0]
        if (
            name in self.loans
            or not there
            or name in self.retired_kits
            or (first != member and not pass_over)
        ):
            return False
        self._go_out(name, member, there, day)
        return True

    def take_back(self, name: str, lost: bool, day: date) -> bool:
        if name not in self.loans:
            return False
        self._come_in(name, self.loans.pop(name).went, lost, day)
        return True

    def hand_over(self, name: str, member: str, lost: bool, day: date, pass_over: bool) -> bool:
        loan = self.loans.get(name)
        if loan is None or loan.member == member:
            return False
        if self.queue.get(name, [member])[0] != member and not pass_over:
            return False
        if lost and len(loan.went) == 1:
            return False
        del self.loans[name]
        self._come_in(name, loan.went, lost, day)
        self._go_out(name, member, loan.went[1:] if lost else loan.went, day)
        return True

    def renew(self, name: str, day: date) -> bool:
        if name not in self.loans or self.queue.get(name):
            return False
        loan = self.loans[name]
        loan.due_on = max(loan.due_on, day) + timedelta(days=LOAN_DAYS)
        return True

    def reserve(self, name: str, member: str) -> bool:
        has_it = name in self.loans and self.loans[name].member == member
        if has_it or member in self.queue.get(name, []):
            return False
        self.queue.setdefault(name, []).append(member)
        return True

    def withdraw(self, name: str, member: str) -> bool:
        if member not in self.queue.get(name, []):
            return False
        self._serve(name, member)
        return True

    def miss(self, part: str, day: date) -> bool:
        if part in LABELS:
            if part in self.missing_labels:
                return False
            self.missing_labels.add(part)
            return True
        if self.place[part] != STORE:
            return False
        self._lose(part, day)
        return True

    def find(self, part: str, day: date) -> bool:
        if part in LABELS:
            if part not in self.missing_labels:
                return False
            self.missing_labels.remove(part)
            return True
        if self.place[part] != MISSING:
            return False
        self.place[part] = STORE
        self.absent[part][-1][1] = day
        return True

    def replace(self, kit: str, part: str, by: str) -> bool:
        others = [name for parts in self.parts.values() for name in parts if name != part]
        if part not in self.parts[kit] or by in others:
            return False
        self.parts[kit] = [name for name in self.parts[kit] if name != part] + [by]
        self.missing_labels -= {part}
        return True

    def retire(self, name: str, day: date) -> bool:
        if name in self.gone or name in self.loans or self.place.get(name, STORE) not in (STORE, MISSING):
            return False
        self.gone[name] = day
        if name in self.place:
            self.place[name] = RETIRED
        else:
            self.retired_kits.add(name)
        return True

    def days_by_sort(self, name: str, last: date) -> dict[str, int]:
        """Each day from the first to the last is looked at by itself, and is of the first sort that fits."""
        days = [self.first + timedelta(days=n) for n in range((last - self.first).days + 1)]
        sorts = [self._sort(name, day) for day in days]
        return {sort: sorts.count(sort) for sort in ("gone", "missing", "out", "store")}

    def _sort(self, name: str, day: date) -> str:
        if name in self.gone and day > self.gone[name]:
            return "gone"
        if any(day > a and (b is None or day < b) for a, b in self.absent.get(name, []) if a):
            return "missing"
        if any(a <= day and (b is None or day <= b) for a, b in self.lent.get(name, []) if a):
            return "out"
        return "store"

    def _there(self, name: str) -> list[str]:
        wanted = self.parts.get(name, [name])
        return [
            part
            for part in wanted
            if (part in LABELS and part not in self.missing_labels) or self.place.get(part) == STORE
        ]

    def _go_out(self, name: str, member: str, parts: list[str], day: date) -> None:
        self.loans[name] = Loan(member, list(parts), day, day + timedelta(days=LOAN_DAYS))
        for part in {name, *parts}:
            self.lent.setdefault(part, []).append([day, None])
        self.place |= {part: member for part in parts if part not in LABELS}
        self._serve(name, member)

    def _come_in(self, name: str, parts: list[str], lost: bool, day: date) -> None:
        for part in {name, *parts}:
            self.lent[part][-1][1] = day
        self.place |= {part: STORE for part in parts if part not in LABELS}
        if lost:
            self._lose(parts[0], day)

    def _lose(self, part: str, day: date) -> None:
        if part in LABELS:
            self.missing_labels.add(part)
        else:
            self.place[part] = MISSING
            self.absent.setdefault(part, []).append([day, None])

    def _serve(self, name: str, member: str) -> None:
        left = [who for who in self.queue.get(name, []) if who != member]
        self.queue.pop(name, None)
        if left:
            self.queue[name] = left
