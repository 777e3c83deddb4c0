"""What is left of a typed name when it is compared."""

import pytest

from obslog.sky.names.spelling import folded


@pytest.mark.parametrize(
    ("typed", "left"),
    [
        ("M 31", "m31"),
        ("  NGC-7000 ", "ngc7000"),
        ("Barnard's Star", "barnardsstar"),
        ("Boötes", "bootes"),
        ("Boo\u0308tes", "bootes"),
        ("π¹ Ori", "π1ori"),
        ("Μ 31", "μ31"),  # a Greek capital My is no M
        ("ﬁ", "fi"),
        ("STRASSE", "strasse"),
        ("Straße", "strasse"),
        (" – ", ""),
    ],
)
def test_case_accents_spaces_and_signs_go_and_greek_stays(typed: str, left: str) -> None:
    assert folded(typed) == left
    assert folded(folded(typed)) == folded(typed)
