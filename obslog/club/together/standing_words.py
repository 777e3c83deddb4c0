"""What is to be settled by people after a merge, in sentences: what cannot stand beside what, and what to do."""

from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy.orm import Session

from obslog.errors import quoted
from obslog.records.merging import obstacles
from obslog.records.merging.checks import kind_words
from obslog.records.merging.kinds import kinds
from obslog.records.merging.row_images import rows_of
from obslog.records.merging.same_aliases import read_aliases
from obslog.records.merging.standing import REFERENCE_LENGTH, Aside, Why

_ASKED = (Why.RENAMED, Why.BLANK, Why.TAKEN, Why.WAITS, Why.BROKEN)
_EDITED_BY = {
    "Site": "site",
    "Member": "member",
    "Mount": "mount",
    "Tube": "tube",
    "Eyepiece": "eyepiece",
    "Item": "item",
    "Kit": "kit",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class ToSettle:
    """A record that does not stand as it was written: why, beside what, and what settles it."""

    reference: str
    kind: str
    why: str
    what: str
    beside: str | None
    sentence: str
    settle: str


def to_settle(session: Session) -> list[ToSettle]:
    """What people are asked to settle; not what waits only for another of these."""
    asides = obstacles.all_asides(session)
    parked = {key: image for _kind, key, image in obstacles.parked_images(session)}
    asked: dict[str, tuple[str, Aside]] = {}
    alike: Counter[tuple[str, str | None]] = Counter()  # of those that wait for the same, one is told
    for kind, record_id, aside in asides:
        if aside.why not in _ASKED or record_id in asked or kind not in kinds():
            continue
        if aside.why is Why.WAITS:
            alike[kind, aside.against] += 1
            if aside.against in parked or alike[kind, aside.against] > 1:
                continue
        asked[record_id] = kind, aside
    words = Describing(session, parked)
    told = [
        _told(words, kind, record_id, aside, alike[kind, aside.against] - 1 if aside.why is Why.WAITS else 0)
        for record_id, (kind, aside) in asked.items()
    ]
    return sorted(told, key=lambda one: (one.kind, one.what, one.reference))


def short(record_id: str) -> str:
    return record_id[-REFERENCE_LENGTH:]


class Describing:
    """Says in a few words what a record is, whether it has a row or is parked."""

    def __init__(self, session: Session, parked: Mapping[str, Mapping[str, Any]]) -> None:
        self._session = session
        self._parked = parked
        self._aliases = read_aliases(session)

    def fields(self, kind: str, record_id: str) -> Mapping[str, Any]:
        row = rows_of(self._session, kinds()[kind], [record_id]).get(record_id)
        return row or self._parked.get(record_id, {})

    def stands_for(self, record_id: str) -> str:
        """The record to which this one was joined, or itself."""
        return self._aliases.stands_for(record_id)

    def words(self, kind: str, record_id: str) -> str:
        """`Case`, `the loan of Case to Ines since 2026-03-02`, `arrival abc123`."""
        fields = self.fields(kind, record_id)
        if name := fields.get("name"):
            return str(name)
        what = (
            self._named(kind, fields, "equipment_id")
            or self._named(kind, fields, "kit_id")
            or fields.get("label")
        )
        if kind == "Loan" and what:
            return (
                f"the loan of {what} to {self._named(kind, fields, 'member_id')} since {fields.get('out_on')}"
            )
        if told := self._of_store_room(kind, fields, what):
            return told
        of = f" of {what}" if what else ""
        return f"{kind_words(kind).lower()} {short(record_id)}{of}"

    def any_words(self, kind: str, aside: Aside) -> str:
        """The same for what is in the way of a record: one of its kind, or what it refers to."""
        against = aside.against or ""
        others = [other for among in kinds()[kind].refers.values() for other in among]
        for other in dict.fromkeys(others) if aside.why is Why.WAITS else [kind]:
            if self.fields(other, against):
                return self.words(other, against)
        return f"a record {short(against)} that is not here"

    def _of_store_room(self, kind: str, fields: Mapping[str, Any], what: str | None) -> str | None:
        if kind == "LoanPart" and (loan := fields.get("loan_id")):
            return f"the part {fields.get('label')} of {self.words('Loan', str(loan))}"
        if kind == "KitPart" and fields:
            return f"the part {fields.get('label')} of the kit {self.kit(kind, fields)}"
        if kind == "Absence" and what:
            return f"the absence of {what} since {fields.get('since')}"
        if kind == "Reservation" and what:
            return f"the place of {self.member(kind, fields)} in the waiting list for {what}"
        return None

    def thing(self, kind: str, fields: Mapping[str, Any]) -> str:
        """The item or kit that a record is about."""
        named = self._named(kind, fields, "equipment_id") or self._named(kind, fields, "kit_id")
        return named or str(fields.get("label") or "it")

    def member(self, kind: str, fields: Mapping[str, Any]) -> str:
        return self._named(kind, fields, "member_id") or "somebody"

    def kit(self, kind: str, fields: Mapping[str, Any]) -> str:
        return self._named(kind, fields, "kit_id") or "a kit"

    def _named(self, kind: str, fields: Mapping[str, Any], column: str) -> str | None:
        target = fields.get(column)
        for other in kinds()[kind].refers.get(column, ()) if target else ():
            if name := self.fields(other, self.stands_for(str(target))).get("name"):
                return str(name)
        return None


def _told(words: Describing, kind: str, record_id: str, aside: Aside, more: int) -> ToSettle:
    what = words.words(kind, record_id)
    beside = words.any_words(kind, aside) if aside.against else None
    if more:
        what = f"{what} (and {more} more)"
    sentence, settle = _of_things(words, kind, record_id, aside) or _sentences(
        kind, record_id, aside.why, what, beside
    )
    return ToSettle(
        reference=short(record_id),
        kind=kind_words(kind).lower(),
        why=aside.why.value,
        what=what,
        beside=beside,
        sentence=sentence,
        settle=settle,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _InTheWay:
    """A record of the store-room that waits, and what stands in its way; `thing` is what both are about."""

    words: Describing
    record_id: str
    against: str
    waits: Mapping[str, Any]
    stands: Mapping[str, Any]
    thing: str

    @property
    def drop(self) -> str:
        return f"obslog conflicts drop {short(self.record_id)}"


def _of_things(words: Describing, kind: str, record_id: str, aside: Aside) -> tuple[str, str] | None:
    """What is in the way of a record of the store-room, and how it is settled; None of any other."""
    told = _TOLD_OF.get(kind)
    if aside.why not in (Why.TAKEN, Why.BLANK) or aside.against is None or told is None:
        return None
    if kind == "Paper" and aside.why is not Why.BLANK:
        return None
    fields = words.fields(kind, record_id)
    return told(
        _InTheWay(
            words=words,
            record_id=record_id,
            against=aside.against,
            waits=fields,
            stands=words.fields(kind, aside.against),
            thing=words.thing(kind, fields),
        )
    )


def _of_tags(two: _InTheWay) -> tuple[str, str]:
    other = two.words.thing("Paper", two.stands)
    return (
        f"{two.thing} was given the tag {two.stands.get('tag')}, which {other} has; {two.thing} stands without.",
        f"Give it another: obslog store note {quoted(two.thing)} --tag TAG",
    )


def _of_loans(two: _InTheWay) -> tuple[str, str]:
    waits, stands = (two.words.words("Loan", key) for key in (two.record_id, two.against))
    back = f"obslog loan back {quoted(two.thing)}"
    return (
        f"{_capital(waits)} cannot stand beside {stands}, and waits.",
        f"End the one that stands: {back}; or drop the other: {two.drop}",
    )


def _of_parts_lent(two: _InTheWay) -> tuple[str, str]:
    loans = [str(one.get("loan_id")) for one in (two.waits, two.stands)]
    waits, out = (two.words.words("Loan", loan) for loan in loans)
    back = f"obslog loan back {quoted(two.words.thing('Loan', two.words.fields('Loan', loans[1])))}"
    return (
        f"{two.thing} is out twice: it counts to {out}, and waits in {waits}.",
        f"End the one to which it counts: {back}; or drop the other: {two.drop}",
    )


def _of_absences(two: _InTheWay) -> tuple[str, str]:
    first, second = two.stands.get("since"), two.waits.get("since")
    return (
        f"{two.thing} was said to be missing twice, since {first} and since {second}.",
        f"When it is found both end: obslog store found {quoted(two.thing)}. To keep the first alone: {two.drop}",
    )


def _of_waiting(two: _InTheWay) -> tuple[str, str]:
    who = two.words.member("Reservation", two.waits)
    return f"{who} waits for {two.thing} twice; the first place stands.", f"To keep it alone: {two.drop}"


def _of_parts_of_kits(two: _InTheWay) -> tuple[str, str]:
    here, there = (two.words.kit("KitPart", one) for one in (two.stands, two.waits))
    if here == there:
        label = two.waits.get("label")
        return f"{label} was put into the kit {here} twice; it is there once.", f"To keep it so: {two.drop}"
    out = f"obslog kit remove {quoted(here)} {quoted(str(two.stands.get('label')))}"
    return (
        f"{two.thing} was put into two kits: it is in {here}, and {there} waits for it.",
        f"If the kits are one: obslog same {quoted(here)} {quoted(there)}. If two, to give it to {there}: {out}; "
        f"to leave it in {here}: {two.drop}",
    )


_TOLD_OF: Mapping[str, Callable[[_InTheWay], tuple[str, str]]] = {
    "Paper": _of_tags,
    "Loan": _of_loans,
    "LoanPart": _of_parts_lent,
    "Absence": _of_absences,
    "Reservation": _of_waiting,
    "KitPart": _of_parts_of_kits,
}


def _sentences(kind: str, record_id: str, why: Why, what: str, beside: str | None) -> tuple[str, str]:
    drop = f"obslog conflicts drop {short(record_id)}"
    command = _EDITED_BY.get(kind, "item")
    if why is Why.RENAMED:
        two = f"obslog {command} edit {quoted(what)} --rename NAME"
        one = f"If they are one: obslog same {quoted(beside or '')} {quoted(what)}. If two: {two}"
        return f"Two were called {beside}; the second stands as {what}.", one
    if why is Why.BLANK:
        return f"The tag of {what} is that of another; it stands without.", "obslog store note NAME --tag TAG"
    if why is Why.TAKEN:
        first = f"{_capital(what)} cannot stand beside {beside}, and waits."
        return first, f"End the one that stands, or drop the other: {drop}"
    if why is Why.WAITS:
        return (
            f"{_capital(what)} belongs to {beside}: it was removed, or did not come along.",
            f"Merge a bundle of everything, undo the removal (obslog history), or drop it: {drop}",
        )
    return (
        f"{_capital(what)}: what two wrote of it contradicts itself.",
        f"See obslog conflicts, or drop it: {drop}",
    )


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
