"""The insurer's list as a sheet: each sentence, cell and sum is what the list says, and each SHA-256 is whole."""

from dataclasses import replace
from datetime import date

from obslog.club.forms.blocks import Explanation, Form, Heading, Table
from obslog.club.office.depreciation import WrittenDown
from obslog.club.office.insurance import InsuranceList, InsuredItem, Proof, total_of
from obslog.club.office.insurance_form import insurance_form, sentences
from obslog.club.storeroom.custody import StoreStatus
from obslog.vocabulary.storeroom import Acquired

TODAY = date(2026, 3, 2)
DIGEST = "0123456789abcdef" * 4
BARE = InsuredItem(
    tag=None, name="Lamp", kind="item", category="lamp", kit=None, maker=None, model=None, serial=None, acquired=None,
    acquired_on=None, cost=None, value=None, valued_on=None, valued_by=None, written_down=None, proof=[],
    status=StoreStatus.IN, place=None, where="no place on record", holder=None, due_on=None,
)  # fmt: skip
HERON = replace(
    BARE, tag="M-1", name="Heron", kind="mount", category=None, maker="Northlight", model="G 11", serial="7",
    acquired=Acquired.BOUGHT, acquired_on=date(2020, 3, 1), cost=1200.0, value=900.1, valued_on=date(2025, 1, 5),
    valued_by="Tomasz", place="shelf 2", where="with Ines", holder="Ines", due_on=date(2026, 3, 30),
    proof=[
        Proof(what="photograph", file_name="a.jpg", sha256=DIGEST, on=None),
        Proof(what="photograph", file_name="b.jpg", sha256=DIGEST[::-1], on=None),
        Proof(what="receipt", file_name="bill.pdf", sha256=DIGEST, on=date(2020, 3, 1)),
    ],
)  # fmt: skip


def a_list(*items: InsuredItem, **changed: object) -> InsuranceList:
    values: dict[str, object] = {
        "on": TODAY, "currency": "EUR", "depreciates": False, "items": list(items),
        "total": total_of("all items", items), "by_place": [total_of("on loan", items)],
        "by_holder": [total_of("with Ines", items)], "undated": 0,
        "without_proof": 0, "retired": 0, "written_off": 0,
    }  # fmt: skip
    return InsuranceList(**(values | changed))  # type: ignore[arg-type]


def test_several_values_are_told_as_several() -> None:
    told = sentences(a_list(HERON, HERON, undated=2))
    assert "When they were set is not known of 2 values." in told


def test_sums_of_money_end_at_the_hundredth() -> None:
    told = {"rule": "a rule", "rule_name": "a", "rule_for": None, "cost": 1.0, "from_on": TODAY, "on": TODAY}
    items = [
        replace(BARE, value=value, written_down=WrittenDown(value=value, **told))  # type: ignore[arg-type]
        for value in (0.1, 0.2)
    ]
    total = total_of("all items", items)
    assert (total.value, total.written_down) == (0.3, 0.3)


def tables(form: Form) -> dict[str, Table]:
    found, heading = {}, "items"
    for block in form.blocks:
        if isinstance(block, Heading):
            heading = block.words
        if isinstance(block, Table):
            found[heading] = block
    return found


def test_every_cell_is_what_the_list_says() -> None:
    found = tables(insurance_form(a_list(HERON, BARE)))
    assert found["items"].rows == (
        (
            "M-1",
            "Heron (mount)\nNorthlight G 11, no. 7",
            "bought 2020-03-01\ncost EUR 1,200.00",
            "EUR 900.10\non 2025-01-05, Tomasz",
            "2 photographs\n1 receipt",
            "with Ines\ndue 2026-03-30",
        ),
        ("", "Lamp (lamp)", "", "not known", "", "no place on record"),
    )
    assert found["By place"].rows == (("on loan", "2", "EUR 900.10", "1"),)
    assert found["By holder"].rows == (("with Ines", "2", "EUR 900.10", "1"),)
    assert found["Proof"].rows == (
        ("Heron\nM-1", "a.jpg\nphotograph", DIGEST),
        ("Heron\nM-1", "b.jpg\nphotograph", DIGEST[::-1]),
        ("Heron\nM-1", "bill.pdf\nreceipt, 2020-03-01", DIGEST),
    )
    assert "Proof" not in tables(insurance_form(a_list(BARE)))
    for table in found.values():
        assert all(len(row) == len(table.columns) for row in table.rows)


def test_the_sum_says_what_is_not_in_it() -> None:
    assert sentences(a_list(HERON, BARE, retired=1, written_off=2)) == [
        "2 items, worth EUR 900.10 together; 1 of them is not in that sum, for the value is not known. "
        "Left out: 1 item retired and 2 items written off."
    ]
    assert sentences(a_list(HERON)) == ["1 item, worth EUR 900.10."]
    assert sentences(a_list(BARE, without_proof=1)) == [
        "1 item; of none is the value known.",
        "1 item has no photograph or receipt on record.",
    ]
    assert sentences(a_list(written_off=1)) == ["No item is in use. Left out: 1 item written off."]
    assert sentences(a_list(HERON, undated=1, currency=None))[1] == (
        "When it was set is not known of 1 value."
    )
    strong = insurance_form(a_list(HERON)).blocks[0]
    assert strong == Explanation("1 item, worth EUR 900.10.", strong=True)


def test_what_is_written_down_stands_beside_the_value() -> None:
    line = written_down(552.0)
    found = a_list(replace(HERON, written_down=line), BARE, depreciates=True)
    assert sentences(found)[1] == (
        "By the club's rule (straight line over 10 years) the cost, from the day each item came, is written down to "
        "EUR 552.00 on 2026-03-02. 1 item is not in that sum: the cost or the day of coming is not known, or the club "
        "has no rule for such an item. That is beside the value, and not in its place."
    )
    rows = tables(insurance_form(found))
    assert [row[3:5] for row in rows["items"].rows] == [
        ("EUR 900.10\non 2025-01-05, Tomasz", "EUR 552.00"),
        ("not known", "not known"),
    ]
    assert rows["By place"].rows == (("on loan", "2", "EUR 900.10", "1", "EUR 552.00"),)


def written_down(value: float, rule_for: str | None = None) -> WrittenDown:
    return WrittenDown(
        value=value,
        rule=f"straight line over {10 if rule_for is None else 5} years",
        rule_name="depreciation-years" if rule_for is None else "depreciation-years-of-lamp",
        rule_for=rule_for,
        cost=1200.0,
        from_on=date(2020, 3, 1),
        on=TODAY,
    )


def test_of_several_rules_each_item_says_which_applies() -> None:
    heron, lamp = (
        replace(HERON, written_down=written_down(552.0)),
        replace(BARE, written_down=written_down(1.5, "category lamp")),
    )
    found = a_list(heron, lamp, depreciates=True)
    assert sentences(found)[1].startswith(
        "By the club's rule (straight line over 10 years; straight line over 5 years, for the category lamp) the cost"
    )
    rows = tables(insurance_form(found))["items"].rows
    assert [row[4] for row in rows] == ["EUR 552.00\nall others", "EUR 1.50\ncategory lamp"]
