"""Which kit suits which borrower: limits for beginners, the review, the waiting list; the unknown is said."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from obslog.club.register.rule_book import Rules
from obslog.club.review.lending_suitability import Borrower, KitToLend, Suitability, advice_on, advise
from obslog.club.review.verdicts import Status, Wanting
from obslog.values import Interval

BOOK = Rules({})
BEGINNER, PRACTISED = Borrower("Ines", 1), Borrower("Bram Ostler", 40)
LIGHT = KitToLend(name="Light kit", status=Status.READY, why=None, aperture_mm=100, weight_kg=7, days_lent=30)
LARGE = KitToLend(
    name="Large kit", status=Status.READY, why=None, aperture_mm=254, weight_kg=34, days_lent=30
)


@pytest.mark.parametrize(
    ("borrower", "kit", "fit", "words"),
    [
        (BEGINNER, LIGHT, Suitability.LEND, ""),
        (BEGINNER, LARGE, Suitability.WITH_HELP, "34 kg is over the limit of 12 kg"),
        (BEGINNER, replace(LIGHT, weight_kg=None), Suitability.WITH_HELP, "not on record"),
        (BEGINNER, replace(LIGHT, status=Status.WATCH, why="it slips"), Suitability.WITH_HELP, "watch it: it slips"),
        (PRACTISED, LARGE, Suitability.LEND, ""),
        (PRACTISED, replace(LIGHT, status=Status.WATCH, why="it slips"), Suitability.LEND, "watch it: it slips"),
        (PRACTISED, replace(LIGHT, status=Status.SERVICE, why="it grinds"), Suitability.NOT_NOW, "it grinds"),
        (PRACTISED, replace(LIGHT, waiting=["Ines", "Bram Ostler"]), Suitability.NOT_NOW, "somebody else is first"),
        (PRACTISED, replace(LIGHT, waiting=["Bram Ostler"]), Suitability.LEND, "first in its waiting list"),
        (replace(PRACTISED, overdue=["Wide 25"]), LIGHT, Suitability.NOT_NOW, "an overdue loan: Wide 25"),
        (PRACTISED, replace(LIGHT, wanting=Wanting.SETUPS), Suitability.LEND, "its set-ups are too few"),
        (PRACTISED, replace(LIGHT, wanting=Wanting.OTHERS), Suitability.LEND, "it wants set-ups by somebody else"),
        (PRACTISED, replace(LIGHT, wanting=Wanting.NAMES), Suitability.LEND, "who set it up is not on record"),
        (BEGINNER, replace(LIGHT, effect=Interval(0.5, 0.3, 0.8, 20)), Suitability.LEND, "kind to beginners"),
    ],
)  # fmt: skip
def test_advice_names_its_reason(borrower: Borrower, kit: KitToLend, fit: Suitability, words: str) -> None:
    advice = advice_on(borrower, kit, BOOK)
    assert (advice.fit, words in "; ".join(advice.reasons)) == (fit, True)


def test_the_clubs_own_limits_count() -> None:
    assert advice_on(BEGINNER, LARGE, Rules({"beginner-setups": 0})).fit is Suitability.LEND
    generous = Rules({"beginner-weight-kg": 40, "beginner-aperture-mm": 300})
    assert advice_on(BEGINNER, LARGE, generous).fit is Suitability.LEND


def test_a_beginner_gets_what_lands_best_and_others_the_largest() -> None:
    kind = replace(LIGHT, name="Kind kit", effect=Interval(0.5, 0.3, 0.8, 20))
    assert [advice.kit for advice in advise(BEGINNER, [LARGE, LIGHT, kind], BOOK)] == [
        "Kind kit",
        "Light kit",
        "Large kit",
    ]
    unjudged = replace(LIGHT, name="New kit", wanting=Wanting.SETUPS)
    assert [advice.kit for advice in advise(PRACTISED, [LIGHT, unjudged, LARGE], BOOK)] == [
        "New kit",
        "Large kit",
        "Light kit",
    ]


def test_among_equals_the_one_lent_least_comes_first() -> None:
    idle = replace(LIGHT, name="Sleeping kit", days_lent=0)
    assert advise(PRACTISED, [LIGHT, idle], BOOK)[0].kit == "Sleeping kit"


def test_what_one_waits_for_comes_before_all_that_would_do_as_well() -> None:
    idle = replace(LIGHT, name="Sleeping kit", days_lent=0)
    for waiting in (["Bram Ostler"], ["Bram Ostler", "Ines"]):
        wanted = replace(LIGHT, name="Wanted kit", waiting=waiting)
        assert [advice.kit for advice in advise(PRACTISED, [LIGHT, idle, wanted], BOOK)] == [
            "Wanted kit",
            "Sleeping kit",
            "Light kit",
        ]


def test_a_beginner_gets_the_lightest_of_those_that_land_alike_and_an_unknown_weight_last() -> None:
    heavy = replace(LIGHT, name="Heavier kit", weight_kg=11.0)
    unknown = replace(LIGHT, name="Kit of no weight", weight_kg=None)
    assert [advice.kit for advice in advise(BEGINNER, [unknown, heavy, LIGHT], BOOK)] == [
        "Light kit",
        "Heavier kit",
        "Kit of no weight",
    ]


@pytest.mark.parametrize(
    ("kit", "fit"),
    [
        (replace(LIGHT, aperture_mm=150), Suitability.LEND),  # the rule's own number is not over it
        (replace(LIGHT, aperture_mm=150.1), Suitability.WITH_HELP),
        (replace(LIGHT, weight_kg=12), Suitability.LEND),
        (replace(LIGHT, weight_kg=12.1), Suitability.WITH_HELP),
        (replace(LIGHT, aperture_mm=None), Suitability.LEND),
        (replace(LIGHT, status=Status.OUT), Suitability.NOT_NOW),
        (replace(LIGHT, status=Status.RETIRED), Suitability.NOT_NOW),
    ],
)
def test_a_beginners_limits_are_not_over_where_they_are_met(kit: KitToLend, fit: Suitability) -> None:
    assert advice_on(BEGINNER, kit, BOOK).fit is fit


def test_a_status_without_a_reason_is_told_by_its_word() -> None:
    assert advice_on(PRACTISED, replace(LIGHT, status=Status.OUT), BOOK).reasons == ["it is out"]


@pytest.mark.parametrize(("high", "told"), [(0.99, True), (1.0, False), (None, False)])
def test_a_kit_is_kind_to_beginners_where_it_surely_lands_better(high: float | None, told: bool) -> None:
    kit = replace(LIGHT, effect=Interval(0.5, 0.3, high, 20))
    words = "kind to beginners: it misses by 0.50 times the club's average"
    assert (words in advice_on(BEGINNER, kit, BOOK).reasons) is told
    assert words not in advice_on(PRACTISED, kit, BOOK).reasons


kits = st.builds(
    KitToLend,
    name=st.text("abc", min_size=1, max_size=3),
    status=st.sampled_from(Status),
    why=st.none() | st.just("why"),
    aperture_mm=st.none() | st.floats(50, 400),
    weight_kg=st.none() | st.floats(1, 60),
    waiting=st.lists(st.sampled_from(["Ines", "Bram Ostler", "Cem Aldin"]), unique=True, max_size=3),
)


@given(st.lists(kits, unique_by=lambda kit: kit.name), st.sampled_from([BEGINNER, PRACTISED]))
def test_every_kit_is_advised_on_once_and_never_out_of_turn(
    found: list[KitToLend], borrower: Borrower
) -> None:
    advised = advise(borrower, found, BOOK)
    assert sorted(advice.kit for advice in advised) == sorted(kit.name for kit in found)
    fits = [list(Suitability).index(advice.fit) for advice in advised]
    assert fits == sorted(fits)
    by_name = {kit.name: kit for kit in found}
    for advice in advised:
        kit = by_name[advice.kit]
        if advice.fit is not Suitability.NOT_NOW:
            assert kit.status in (Status.READY, Status.WATCH)
            assert not kit.waiting or kit.waiting[0] == borrower.name
        assert advice.fit is Suitability.LEND or advice.reasons
