"""A semicolon that a shell let through begins the text."""

import pytest

from obslog.grammar.shell_words import cut_words


@pytest.mark.parametrize(
    ("typed", "words", "text"),
    [
        (["M", "81"], ("M", "81"), None),
        (["M 81; oval glow"], ("M 81",), "oval glow"),
        (["M", "81;", "oval", "glow"], ("M", "81"), "oval glow"),
        (["M", "81", "; oval; round"], ("M", "81"), "oval; round"),
        (["M", "81;"], ("M", "81"), None),
        ([";", "oval"], (), "oval"),
    ],
)
def test_words_are_cut_at_the_first_semicolon(typed, words, text):
    assert cut_words(typed) == (words, text)
