"""The sheet of purchases: the sum with what is not in it, each purchase in its row, and its evidence in full."""

from datetime import date

from obslog.club.buying.wanted import RANKING, LendFirst, Purchases, Wanted, WhyWanted
from obslog.club.buying.wanted_form import sentences, wanted_form
from obslog.club.forms.blocks import Explanation, Heading, Table

SURE = Wanted(
    place=1, what="another Box", like="Box", category="kit", why=[WhyWanted.WAITED_FOR, WhyWanted.IN_USE],
    reasons=["2 members wait", "out on 300 of 365 days"], doubts=[], sure=True, waiting=2, longest_wait_days=9, loans=7,
    costs=None,
)  # fmt: skip
DOUBTFUL = Wanted(
    place=2, what="a tube in place of Old", like="Old", category="tube", why=[WhyWanted.GONE], reasons=["written off"],
    doubts=["nobody borrowed it", "1 tube put on record since may be in its place"], sure=False, waiting=0,
    longest_wait_days=None, loans=0, costs=80.5,
)  # fmt: skip


def purchases(*wanted: Wanted, **changed: object) -> Purchases:
    known = [one.costs for one in wanted if one.costs is not None]
    values: dict[str, object] = {
        "on": date(2026, 3, 31), "first": date(2025, 4, 1), "nights": 9, "currency": "EUR", "ranking": RANKING,
        "wanted": list(wanted), "costs": sum(known) if known else None, "costs_unknown": len(wanted) - len(known),
        "lend_first": [], "missing_lately": 0,
    }  # fmt: skip
    return Purchases(**(values | changed))  # type: ignore[arg-type]


def test_the_sum_says_what_is_not_in_it() -> None:
    assert sentences(purchases(SURE, DOUBTFUL)) == [
        "2 purchases; 1 would cost EUR 80.50, of the other it is not on record."
    ]
    assert sentences(purchases(SURE, DOUBTFUL, SURE, DOUBTFUL)) == [
        "4 purchases; 2 would cost EUR 161.00 together, of the others it is not on record."
    ]
    assert sentences(purchases(DOUBTFUL)) == ["1 purchase, EUR 80.50."]
    assert sentences(purchases(DOUBTFUL, DOUBTFUL)) == ["2 purchases, EUR 161.00 together."]
    assert sentences(purchases(SURE)) == ["1 purchase; of none is it on record what it costs."]
    left_out = purchases(lend_first=[LendFirst(what="Box", waiting=1, longest_wait_days=3)], missing_lately=2)
    assert sentences(left_out) == [
        "Nothing is to be bought, by what is on record.",
        "2 items missing for a short time only, by the rule wanted-missing-days, are left out.",
        "Box: 1 member waits, but it is in the store. Lend it; that is no reason to buy.",
    ]


def test_each_purchase_has_a_row_and_its_evidence_in_full() -> None:
    form = wanted_form(purchases(SURE, DOUBTFUL, missing_lately=1))
    (table,) = [block for block in form.blocks if isinstance(block, Table)]
    assert table.rows == (
        ("1", "another Box", "waited for, nearly always in use", "sure", "not known", ""),
        ("2", "a tube in place of Old", "written off", "not sure", "EUR 80.50", ""),
    )
    told = [block.words for block in form.blocks if isinstance(block, Explanation)]
    assert "1. another Box: 2 members wait; out on 300 of 365 days. Sure." in told
    assert (
        "2. a tube in place of Old: written off. Not sure: nobody borrowed it; "
        "1 tube put on record since may be in its place."
    ) in told
    assert any(RANKING in words for words in told)
    assert [block.words for block in form.blocks if isinstance(block, Heading)] == [
        "The evidence",
        "Left out",
    ]
