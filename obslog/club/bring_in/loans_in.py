"""Loans from a sheet, those that are out and those that were.

An item is in one place at a time: two loans of it may meet on a day (back in the afternoon, out in the evening) and not
overlap, whether it went by itself or with its kit. What was out by itself stays behind when its kit goes.
"""

from bisect import insort
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any
from uuid import UUID

from sqlalchemy import select

from obslog.club.bring_in.intake import Intake, Outcome
from obslog.club.bring_in.names import NamedRecord, kits_and_items, members
from obslog.club.register.rule_book import rules_in_force
from obslog.club.routine.condition_words import ConditionWords, Judged, words_in_force
from obslog.club.routine.part_conditions import SHIPPED
from obslog.club.storeroom.loan_parts import Part
from obslog.english import enumerated
from obslog.errors import ObslogError, WrongInput
from obslog.exchange.spreadsheets.reading import ValueRow
from obslog.records.tables.lending import Absence, KitPart, Loan, LoanPart
from obslog.vocabulary.storeroom import Condition

STILL = date.max


@dataclass(order=True, slots=True)
class Away:
    """A time in which something was out, with whom; `back` is `STILL` while it is."""

    out: date
    back: date
    who: str


@dataclass(slots=True)
class KnownLoan:
    key: UUID
    values: dict[str, Any]


@dataclass(slots=True)
class LoansKnown:
    """Loans by what, whom and the day they began; when each item and kit was away; and what each kit holds now."""

    loans: dict[tuple[UUID, UUID, date], KnownLoan] = field(default_factory=dict)
    away: dict[UUID, list[Away]] = field(default_factory=dict)
    parts: dict[UUID, list[Part]] = field(default_factory=dict)
    missing: dict[UUID, date] = field(default_factory=dict)

    def note_away(self, key: UUID, away: Away) -> None:
        insort(self.away.setdefault(key, []), away)

    def clash(self, key: UUID, out: date, back: date) -> Away | None:
        """A time away that overlaps this one; an end and a beginning on one day only meet."""
        return next((away for away in self.away.get(key, ()) if away.out < back and out < away.back), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldLoan:
    """A loan as its row tells it; `condition` is that in which it came back, None where nothing is said of it."""

    line: int
    thing: NamedRecord
    member: NamedRecord
    values: Mapping[str, Any]
    condition: Judged | None

    @property
    def out(self) -> date:
        day: date = self.values["out_on"]
        return day

    @property
    def back_on(self) -> date | None:
        return self.values.get("back_on")

    @property
    def back(self) -> date:
        return self.back_on or STILL


class WasOut(WrongInput):
    def __init__(self, name: str, away: Away) -> None:
        until = "and still is" if away.back == STILL else f"to {away.back}"
        super().__init__(
            f"{name} was out with {away.who} from {away.out} {until}.",
            "Nothing is in two places: correct the days.",
        )


class NoConditionWord(WrongInput):
    def __init__(self, said: str, words: ConditionWords) -> None:
        super().__init__(
            f"{said!r} is no word for a condition.", f"Write one of these: {', '.join(words.listed)}."
        )


class NotLent(WrongInput):
    def __init__(self, name: str, why: str) -> None:
        super().__init__(f"{name} {why}.", "Correct the row, or the record.")


def loans_in(intake: Intake) -> None:
    """Find out what each row makes or changes, the earliest first, so that what stayed behind is known."""
    known = _on_record(intake)
    who, what = members(intake.session), kits_and_items(intake.session)
    terms, words = rules_in_force(intake.session), words_in_force(intake.session)
    for row in sorted(intake.rows, key=lambda row: (row.values["out_on"], row.line)):
        try:
            thing, member = what.named(str(row.values["item"])), who.named(str(row.values["member"]))
            values = dict(row.values)
            out: date = values["out_on"]
            values.setdefault("due_on", out + timedelta(days=thing.loan_days or terms.loan_days(out.month)))
            condition = _condition(words, values.get("condition"))
            told = ToldLoan(line=row.line, thing=thing, member=member, values=values, condition=condition)
            _check(told)
            there = known.loans.get((thing.key, member.key, out))
            if there is not None:
                _compare(intake, row, told, there)
            else:
                _begin(intake, known, told)
        except NoConditionWord as error:
            intake.refuse(row.line, "condition", error)
        except ObslogError as error:
            intake.refuse(row.line, "", error)
    intake.outcomes.sort(key=lambda outcome: outcome.line)


def _condition(words: ConditionWords, said: str | None) -> Judged | None:
    """What the cell means: by the club's own word, else by the program's. Raises NoConditionWord."""
    if said is None:
        return None
    judged = words.judged(said) or SHIPPED.judged(said)
    if judged is None:
        raise NoConditionWord(said, words)
    return judged


def _check(told: ToldLoan) -> None:
    name, values = told.thing.name, told.values
    for column, words in (("due_on", "is due"), ("back_on", "came back")):
        if values.get(column) is not None and values[column] < told.out:
            raise NotLent(name, f"{words} on {values[column]}, before it went out on {told.out}")
    if told.condition is not None and told.condition.means is Condition.MISSING:
        raise NotLent(name, "did not come back, so it is missing and no longer out: obslog store missing")


def _compare(intake: Intake, row: ValueRow, told: ToldLoan, there: KnownLoan) -> None:
    """A loan on record: the same, or else a fault, for a loan is ended where its parts are looked at."""
    name = told.thing.name
    others = [
        column
        for column, value in told.values.items()
        if column in there.values and column in row.values and there.values[column] != value
    ]
    if not others:
        intake.told(told.line, name, Outcome.SAME)
    elif others == ["back_on"] and there.values["back_on"] is None:
        raise NotLent(name, f"is on record as out; it came back on {told.back_on}: obslog loan back")
    else:
        raise NotLent(name, f"is on record with another {enumerated(others)}")


def _begin(intake: Intake, known: LoansKnown, told: ToldLoan) -> None:
    """Put a loan that is not on record there, with its parts, once it is sure that all of it could go out."""
    thing, member = told.thing, told.member
    _refuse_clash(known, told)
    if told.back_on is None:
        _refuse_what_cannot_be_out(known, thing, member)
    parts = _parts(known, told)
    if not parts:
        raise NotLent(thing.name, "has no part that was there to be lent")
    is_kit = thing.kind == "kit"
    loan = intake.add(
        Loan,
        member_id=member.key,
        out_on=told.out,
        due_on=told.values["due_on"],
        kit_id=thing.key if is_kit else None,
        equipment_id=None if is_kit else thing.key,
        back_on=told.back_on,
        deposit=told.values.get("deposit"),
        note=told.values.get("note"),
    )
    _add_parts(intake, loan, told, parts)
    away = Away(told.out, told.back, member.name)
    for key in (*(item for _, item, _ in parts if item is not None), *([thing.key] if is_kit else [])):
        known.note_away(key, away)
    known.loans[thing.key, member.key, told.out] = KnownLoan(loan, {**told.values, "back_on": told.back_on})
    until = f"{told.out} to {told.back_on}" if told.back_on else f"due {told.values['due_on']}"
    intake.told(told.line, thing.name, Outcome.NEW, f"to {member.name}, {until}")


def _add_parts(intake: Intake, loan: UUID, told: ToldLoan, parts: list[Part]) -> None:
    """The parts of a loan; of a kit that came back less than good, nobody knows which part it is."""
    condition = told.condition if told.back_on is not None else None
    of_each = condition is not None and (told.thing.kind != "kit" or condition.means is Condition.GOOD)
    judged = condition if of_each else None
    for label, item, kit_part in parts:
        intake.add(
            LoanPart,
            loan_id=loan,
            label=label,
            equipment_id=item,
            kit_part_id=kit_part,
            back_on=told.back_on,
            condition_in=judged.means if judged else None,
            word_in=judged.word if judged else None,
            note_in=None if condition is None or judged else f"the kit came back {condition.shown}",
        )


def _refuse_clash(known: LoansKnown, told: ToldLoan) -> None:
    away = known.clash(told.thing.key, told.out, told.back)
    if away is not None:
        raise WasOut(told.thing.name, away)


def _refuse_what_cannot_be_out(known: LoansKnown, thing: NamedRecord, member: NamedRecord) -> None:
    for one in (thing, member):
        if one.retired_on is not None:
            raise NotLent(one.name, f"was retired on {one.retired_on}, so that the loan cannot still be open")
    if thing.key in known.missing:
        raise NotLent(thing.name, f"has been missing since {known.missing[thing.key]}")


def _parts(known: LoansKnown, told: ToldLoan) -> list[Part]:
    """What went: the item, or those parts of the kit that were not away by themselves."""
    thing = told.thing
    if thing.kind != "kit":
        return [(thing.name, thing.key, None)]
    return [
        (label, item, part)
        for label, item, part in known.parts.get(thing.key, [])
        if item is None or (known.clash(item, told.out, told.back) is None and item not in known.missing)
    ]


def _on_record(intake: Intake) -> LoansKnown:
    known, session = LoansKnown(), intake.session
    who = dict(session.execute(select(Loan.id, Loan.member_id)).all())
    names = {key: found.name for key, found in members(session).by_record().items()}
    for loan in session.scalars(select(Loan)):
        thing = loan.kit_id or loan.equipment_id
        assert thing is not None
        values = {c: getattr(loan, c) for c in ("due_on", "back_on", "deposit", "note")}
        known.loans[thing, loan.member_id, loan.out_on] = KnownLoan(loan.id, values)
        if loan.kit_id is not None:
            known.note_away(loan.kit_id, Away(loan.out_on, loan.back_on or STILL, names[loan.member_id]))
    lent = select(LoanPart.equipment_id, LoanPart.loan_id, Loan.out_on, LoanPart.back_on).join(
        Loan, LoanPart.loan_id == Loan.id
    )
    for item, loan_id, out, back in session.execute(lent):
        if item is not None:
            known.note_away(item, Away(out, back or STILL, names[who[loan_id]]))
    present = select(KitPart).where(KitPart.left_on.is_(None)).order_by(KitPart.id)
    for part in session.scalars(present):
        if part.missing_since is None:
            known.parts.setdefault(part.kit_id, []).append((part.label, part.equipment_id, part.id))
    missing = select(Absence.equipment_id, Absence.since).where(Absence.found_on.is_(None))
    known.missing = dict(session.execute(missing).all())
    return known
