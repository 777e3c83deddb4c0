"""The insurer's list as a sheet: the sum first, then item by item, the totals, and the proof with its SHA-256."""

from collections.abc import Iterator

from obslog.club.forms.blocks import Block, Column, ColumnKind, Explanation, Form, Heading, Table
from obslog.club.office.depreciation import WrittenDown
from obslog.club.office.insurance import InsuranceList, InsuredItem, Total
from obslog.english import counted
from obslog.money import known_money, money_text

TITLE = "Equipment of the club, for its insurer"
NOT_KNOWN = "not known"
PROOF_COLUMNS = (
    Column(title="item", share=22),
    Column(title="proof", share=30),
    Column(title="SHA-256 of the file", share=48),
)


def insurance_form(found: InsuranceList) -> Form:
    """The sheet, as on the day of the list."""
    return Form(
        title=TITLE, about=f"as on record on {found.on}", dated=found.on, blocks=tuple(_blocks(found))
    )


def sentences(found: InsuranceList) -> list[str]:
    """What the list comes to: the sum, what is not in it, and of how many items what is not known."""
    total = found.total
    if not found.items:
        return [f"No item is in use.{_left_out(found)}"]
    told = [f"{_worth(total, found.currency)}{_left_out(found)}"]
    if found.undated:
        they_were = "it was" if found.undated == 1 else "they were"
        told.append(f"When {they_were} set is not known of {counted(found.undated, 'value')}.")
    if found.without_proof:
        has = "has" if found.without_proof == 1 else "have"
        told.append(f"{counted(found.without_proof, 'item')} {has} no photograph or receipt on record.")
    return told + depreciation_words(found)


def depreciation_words(found: InsuranceList) -> list[str]:
    """What the costs are written down to by the club's rule; nothing where it has none."""
    if not found.depreciates:
        return []
    total = found.total
    rules = rules_applied(found)
    sum_words = NOT_KNOWN if total.written_down is None else money_text(total.written_down, found.currency)
    not_known = ""
    if total.not_written_down:
        is_not = "is" if total.not_written_down == 1 else "are"
        not_known = (
            f" {counted(total.not_written_down, 'item')} {is_not} not in that sum: "
            "the cost or the day of coming is not known, or the club has no rule for such an item."
        )
    return [
        f"By the club's rule ({'; '.join(rules) or 'for no item of this list'}) the cost, from the day each item came, "
        f"is written down to {sum_words} on {found.on}.{not_known} That is beside the value, and not in its place."
    ]


def rules_applied(found: InsuranceList) -> list[str]:
    """What each rule does that is applied to any item, those for all first; of others, for which items they are."""
    applied = {item.written_down for item in found.items if item.written_down is not None}
    by_name = {(down.rule_for is not None, down.rule_name): rule_words(down) for down in applied}
    return [by_name[name] for name in sorted(by_name)]


def rule_words(down: WrittenDown) -> str:
    """`straight line over 5 years, for the category finder`."""
    if down.rule_for is None:
        return down.rule
    the = "the " if down.rule_for.startswith("category ") else ""
    return f"{down.rule}, for {the}{down.rule_for}"


def total_rows(totals: list[Total], found: InsuranceList) -> list[tuple[str, ...]]:
    """For each: its name, how many items, the sum, and of how many the value is not known."""
    return [
        (
            total.name,
            f"{total.items}",
            NOT_KNOWN if total.value is None else money_text(total.value, found.currency),
            f"{total.unknown}" if total.unknown else "",
            *((known_money(total.written_down, found.currency) or NOT_KNOWN,) if found.depreciates else ()),
        )
        for total in totals
    ]


def total_heads(first: str, found: InsuranceList) -> tuple[str, ...]:
    return (first, "items", "value", "value not known", *(("written down to",) if found.depreciates else ()))


def _worth(total: Total, currency: str | None) -> str:
    if total.value is None:
        return f"{counted(total.items, 'item')}; of none is the value known."
    together = " together" if total.items > 1 else ""
    items = f"{counted(total.items, 'item')}, worth {money_text(total.value, currency)}{together}"
    if not total.unknown:
        return f"{items}."
    is_not = "is" if total.unknown == 1 else "are"
    return f"{items}; {total.unknown} of them {is_not} not in that sum, for the value is not known."


def _left_out(found: InsuranceList) -> str:
    gone = [
        f"{counted(number, 'item')} {words}"
        for number, words in ((found.retired, "retired"), (found.written_off, "written off"))
        if number
    ]
    return f" Left out: {' and '.join(gone)}." if gone else ""


def _blocks(found: InsuranceList) -> Iterator[Block]:
    first, *rest = sentences(found)
    yield Explanation(first, strong=True)
    yield from map(Explanation, rest)
    yield Explanation("A value is what replacing the item would cost, as the club has it on record.")
    several = len(rules_applied(found)) > 1
    rows = tuple(_item_row(item, found, several=several) for item in found.items)
    yield Table(columns=_item_columns(found), rows=rows)
    for first_head, heading, totals in (
        ("where", "By place", found.by_place),
        ("holder", "By holder", found.by_holder),
    ):
        yield Heading(heading)
        heads = total_heads(first_head, found)
        first_column, *numbers = heads
        columns = (
            Column(title=first_column, share=40),
            *(Column(title=head, share=15, kind=ColumnKind.NUMBER) for head in numbers),
        )
        yield Table(columns=columns, rows=tuple(total_rows(totals, found)))
    proof = tuple(_proof_rows(found))
    if proof:
        yield Heading("Proof")
        yield Explanation(
            "The files are with the club. A file is the one listed if its SHA-256 is the same, character for character."
        )
        yield Table(columns=PROOF_COLUMNS, rows=proof)


def _item_columns(found: InsuranceList) -> tuple[Column, ...]:
    return (
        Column(title="tag", share=9),
        Column(title="item", share=27),
        Column(title="acquired", share=15),
        Column(title="value", share=18, kind=ColumnKind.NUMBER),
        *((Column(title="written down to", share=17, kind=ColumnKind.NUMBER),) if found.depreciates else ()),
        Column(title="proof", share=17),
        Column(title="where", share=17),
    )


def _item_row(item: InsuredItem, found: InsuranceList, *, several: bool) -> tuple[str, ...]:
    """Each cell with its first line and, below it in smaller type, the rest; with `several` rules which one applies."""
    return (
        item.tag or "",
        _two_lines(f"{item.name} ({item.category_or_kind})", made_words(item)),
        _two_lines(acquired_words(item), _cost(item, found.currency)),
        _two_lines(known_money(item.value, found.currency) or NOT_KNOWN, valued_words(item)),
        *(
            (_two_lines(written_down_words(item, found.currency), applied_words(item) if several else ""),)
            if found.depreciates
            else ()
        ),
        proof_words(item).replace(", ", "\n"),
        _two_lines(item.where, f"due {item.due_on}" if item.due_on else ""),
    )


def made_words(item: InsuredItem) -> str:
    """Maker, model and serial number, as far as they are known."""
    made = " ".join(filter(None, (item.maker, item.model)))
    return ", ".join(filter(None, (made, item.serial and f"no. {item.serial}")))


def acquired_words(item: InsuredItem) -> str:
    return " ".join(str(told) for told in (item.acquired, item.acquired_on) if told is not None)


def valued_words(item: InsuredItem) -> str:
    """Of which day the value is and whose, as far as that is known and told."""
    if item.value is None:
        return ""
    on = f"on {item.valued_on}" if item.valued_on else "day not known"
    return f"{on}, {item.valued_by}" if item.valued_by else on


def proof_words(item: InsuredItem) -> str:
    """`2 photographs, 1 receipt`."""
    kinds = [proof.what for proof in item.proof]
    return ", ".join(counted(kinds.count(what), what) for what in ("photograph", "receipt") if what in kinds)


def _cost(item: InsuredItem, currency: str | None) -> str:
    return "" if item.cost is None else f"cost {money_text(item.cost, currency)}"


def written_down_words(item: InsuredItem, currency: str | None) -> str:
    return NOT_KNOWN if item.written_down is None else money_text(item.written_down.value, currency)


def applied_words(item: InsuredItem) -> str:
    """For which items the rule is that applies to this one; nothing where none does."""
    return "" if item.written_down is None else item.written_down.rule_for or "all others"


def _proof_rows(found: InsuranceList) -> Iterator[tuple[str, ...]]:
    for item in found.items:
        for proof in item.proof:
            of_day = f", {proof.on}" if proof.on else ""
            yield (
                _two_lines(item.name, item.tag or ""),
                _two_lines(proof.file_name, f"{proof.what}{of_day}"),
                proof.sha256,
            )


def _two_lines(first: str, second: str) -> str:
    return f"{first}\n{second}" if second else first
