"""What is not known here is told apart by its kind, and nothing that is known is taken for it."""

import pytest

from obslog.sky.names.deepsky_names import common_names
from obslog.sky.names.not_known import kind_not_known
from obslog.sky.names.solar_system import Body
from obslog.sky.names.stars import known_names


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("C/2023 A3", "comets"), ("c/2023 a3 (Tsuchinshan)", "comets"), ("P/2010 H2", "comets"), ("1P", "comets"),
        ("comet Halley", "comets"), ("hale bopp", "comets"), ("(1) Ceres", "minor planets"), ("vesta", "minor planets"),
        ("2012 DA14", "minor planets"), ("asteroid 433", "minor planets"), ("Io", "moons of planets"),
        ("Mare Crisium", "features of the Moon"), ("crater Tycho", "features of the Moon"), ("iss", "satellites"),
    ],
)  # fmt: skip
def test_kinds(text: str, kind: str) -> None:
    assert kind_not_known(text) == kind


@pytest.mark.parametrize("text", ["", "Vega", "M 31", "C 14", "Dumbell", "IC 5", "5h35m -5d23m"])
def test_other_texts_are_of_no_such_kind(text: str) -> None:
    assert kind_not_known(text) is None


def test_no_known_name_is_taken_for_one() -> None:
    known = [*known_names(), *(name for name, _ in common_names()), *Body]
    assert [name for name in known if kind_not_known(name)] == []
