"""What a target's name means: a star, an object, a body that wanders, or a name kept as written."""

import pytest
from numpy.testing import assert_allclose

from obslog.grammar.arrival_words import read_arrival
from obslog.grammar.target_names import Target, UnknownTarget, target_as_written, target_named


@pytest.mark.parametrize("typed", ["Vega", "vega", "alf Lyr", "  alf   lyr ", "HIP 91262"])
def test_a_star_goes_under_its_proper_name_with_its_place(typed: str) -> None:
    """Vega: 18 h 36 min 56.3 s, +38 degrees 47' 1" (ICRS, epoch 2000; van Leeuwen 2007, Hipparcos)."""
    target = target_named(typed)
    assert (target.name, target.known, target.nearest) == ("Vega", True, ())
    assert target.ra_hours is not None
    assert target.dec_deg is not None
    assert_allclose(
        (target.ra_hours, target.dec_deg), (18 + 36 / 60 + 56.3 / 3600, 38 + 47 / 60 + 1 / 3600), atol=1e-3
    )


def test_a_body_that_wanders_has_no_place_of_its_own() -> None:
    target = target_named("jupiter")
    assert (target.name, target.known, target.ra_hours, target.dec_deg) == ("Jupiter", True, None, None)


def test_an_unknown_name_is_kept_as_written_with_the_names_that_come_nearest() -> None:
    target = target_named(" Vegaa ")
    assert (target.name, target.known) == ("Vegaa", False)
    assert "Vega" in target.nearest
    assert target_named("my   double star").name == "my double star"


def test_by_the_thousand_a_name_means_the_same_without_the_names_that_come_nearest() -> None:
    assert target_as_written("m81") == target_named("m81")
    assert target_as_written(" Vegaa  x") == Target(name="Vegaa x", known=False)


def test_an_unknown_name_is_told_with_what_to_do_only_where_others_come_near() -> None:
    near = target_named("Vegaa").unknown_words(then=" Then: change it.")
    assert near.startswith(
        "Vegaa is not a known star or object; kept as written, its height unchecked. Did you mean "
    )
    assert near.endswith("? Then: change it.")
    alone = Target(name="qqqq", known=False).unknown_words(then=" Then: change it.")
    assert alone == "qqqq is not a known star or object; kept as written, its height unchecked."


@pytest.mark.parametrize(("typed", "meant"), [("4 1 Leo 3E", "Algieba"), ("4 1leo 3E", "Algieba")])
def test_numbers_that_stand_apart_are_asked_about_and_not_joined(typed: str, meant: str) -> None:
    """41 Leo is gamma Leonis, Algieba: a blank within its number is a slip, or the number of something else."""
    with pytest.raises(UnknownTarget) as error:
        read_arrival(typed.split())
    assert error.value.nearest == (meant,)
