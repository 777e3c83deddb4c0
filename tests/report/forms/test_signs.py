"""Names as one line of text, and signs that a font does not have."""

import pytest

from obslog.report.forms.signs import first_and_rest, in_font, needs_shaping, one_line


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("two\n lines\tand  gaps ", "two lines and gaps"),
        ("\u202eturned\u202c", "turned"),
        ("bell\x07", "bell"),
        ("می\u200cخواهم", "می\u200cخواهم"),  # Persian is written with the sign that parts letters
        ("", ""),
    ],
)
def test_a_name_is_one_line_without_signs_that_steer(text: str, line: str) -> None:
    assert one_line(text) == line


def test_a_long_text_stays_whole() -> None:
    assert len(one_line("x" * 10_000)) == 10_000


def test_what_is_told_below_a_cell_stays_apart_and_is_one_line_itself() -> None:
    assert first_and_rest("Vega\n 60°  up\nat 21:00") == ("Vega", "60° up at 21:00")
    assert first_and_rest("") == ("", "")


def ascii_only(sign: str) -> bool:
    return sign.isascii()


@pytest.mark.parametrize(
    ("text", "drawn", "count"),
    [
        ("plain", "plain", 0),
        ("🔭 night", "? night", 1),
        ("张伟", "??", 2),
        ("👩\u200d🚀", "?", 1),  # a woman, a joiner and a rocket: one picture
        ("👍🏽", "?", 1),  # a thumb, and the colour of its skin
        ("☎\ufe0f", "?", 1),
        ("", "", 0),
    ],
)
def test_each_sign_that_is_not_in_the_font_becomes_one_plain_sign(text: str, drawn: str, count: int) -> None:
    assert in_font(text, ascii_only) == (drawn, count)


@pytest.mark.parametrize(
    ("text", "wanted"), [("Zoë", False), ("אברהם", True), ("محمد", True), ("e\u0302", True), ("Ωλ ж", False)]
)
def test_text_that_joins_or_runs_from_right_to_left_is_shaped(text: str, wanted: bool) -> None:
    assert needs_shaping(text) is wanted
