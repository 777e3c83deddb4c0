"""Purchases wanted, as a sheet for the committee: what, why with the numbers, how sure, and what it would cost."""

from collections.abc import Iterator

from obslog.club.buying.wanted import Purchases, Wanted
from obslog.club.forms.blocks import Block, Column, ColumnKind, Explanation, Form, Heading, Table
from obslog.english import capitalised, counted
from obslog.money import known_money, money_text

TITLE = "Purchases wanted"
SURE, NOT_KNOWN = "sure", "not known"
COLUMNS = (
    Column(title="no.", share=5),
    Column(title="to buy", share=45),
    Column(title="why", share=25),
    Column(title="how sure", share=12),
    Column(title="costs by the records", share=19, kind=ColumnKind.NUMBER),
    Column(title="decided", share=20, kind=ColumnKind.RING, words=("buy", "wait", "no")),
)


def wanted_form(found: Purchases) -> Form:
    """The sheet; what is decided is ringed."""
    return Form(
        title=TITLE, about=f"as on record on {found.on}", dated=found.on, blocks=tuple(_blocks(found))
    )


def sentences(found: Purchases) -> list[str]:
    """What it comes to, and what is left out of it and why."""
    told = [_sum(found)]
    if found.missing_lately:
        told.append(
            f"{counted(found.missing_lately, 'item')} missing for a short time only, by the rule "
            f"wanted-missing-days, {'is' if found.missing_lately == 1 else 'are'} left out."
        )
    for line in found.lend_first:
        waits = "waits" if line.waiting == 1 else "wait"
        told.append(
            f"{line.what}: {counted(line.waiting, 'member')} {waits}, but it is in the store. Lend it; that is "
            "no reason to buy."
        )
    return told


def sure_words(one: Wanted) -> str:
    return SURE if one.sure else f"not sure: {'; '.join(one.doubts)}"


def _sum(found: Purchases) -> str:
    if not found.wanted:
        return "Nothing is to be bought, by what is on record."
    items = counted(len(found.wanted), "purchase")
    if found.costs is None:
        return f"{items}; of none is it on record what it costs."
    known = len(found.wanted) - found.costs_unknown
    together = " together" if known > 1 else ""
    if not found.costs_unknown:
        return f"{items}, {money_text(found.costs, found.currency)}{together}."
    others = "other" if found.costs_unknown == 1 else "others"
    return (
        f"{items}; {known} would cost {money_text(found.costs, found.currency)}{together}, of the {others} it is not "
        "on record."
    )


def _blocks(found: Purchases) -> Iterator[Block]:
    first, *rest = sentences(found)
    yield Explanation(first, strong=True)
    yield Explanation(f"Use and loans are those from {found.first} to {found.on}. {found.ranking}")
    if found.wanted:
        yield Table(
            columns=COLUMNS, rows=tuple(_row(one, found.currency) for one in found.wanted), writing=True
        )
        yield Heading("The evidence")
        yield from (Explanation(_evidence(one)) for one in found.wanted)
    if rest:
        yield Heading("Left out")
        yield from map(Explanation, rest)


def _row(one: Wanted, currency: str | None) -> tuple[str, ...]:
    return (
        f"{one.place}",
        one.what,
        ", ".join(one.why),
        SURE if one.sure else "not sure",
        known_money(one.costs, currency) or NOT_KNOWN,
        "",
    )


def _evidence(one: Wanted) -> str:
    """In full, for a cell would cut it."""
    return f"{one.place}. {one.what}: {'; '.join(one.reasons)}. {capitalised(sure_words(one))}."
