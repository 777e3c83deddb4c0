"""A filter's kind is told by the words of its name, and by nothing else."""

import pytest

from obslog.exchange.open_log.filter_kinds import filter_kind, filter_words


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("O III", "O-III"),
        ("OIII 2 inch", "O-III"),
        ("o-iii", "O-III"),
        ("H-beta", "H-beta"),
        ("Hβ", "H-beta"),
        ("H alpha 7 nm", "H-alpha"),
        ("solar film", "solar"),
        ("narrow band", "narrow band"),
        ("broad-band", "broad band"),
        ("neutral 0.9", "neutral"),
        ("Wratten 25", "color"),
        ("Deep View", "other"),
        ("Aldous III", "other"),
        ("H", "other"),
    ],
)
def test_the_kind_of_a_name(name: str, kind: str) -> None:
    assert filter_kind(name) == kind


@pytest.mark.parametrize("kind", ["other", "O-III", "H-beta", "narrow band", "color", "solar", "corrective"])
def test_a_kind_that_the_name_does_not_say_stands_behind_it_and_is_told_again(kind: str) -> None:
    words = filter_words("Deep View", kind)
    assert filter_kind(words) == kind
    assert filter_words(words, kind) == words
