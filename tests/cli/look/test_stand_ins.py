"""What an old code page shows in place of signs that it does not know."""

import pytest

from obslog.cli.look.stand_ins import STAND_INS


@pytest.mark.parametrize(
    ("code_page", "text", "seen"),
    [
        ("cp437", "─●─ 12.5° ± 3", "─*─ 12.5° ± 3"),
        ("cp1252", "─●─ 12.5° ± 3", "-*- 12.5° ± 3"),
        ("ascii", "─●─ 12.5° ± 3", "-*- 12.5 deg +/- 3"),
        ("cp1252", "17↗ ∘ 4← ▸", "17/ o 4< >"),
        ("cp850", "José, Łódź", "José, \\u0141ód\\u017a"),
        ("ascii", "Zoë \udce9", "Zo\\xeb \\udce9"),
        ("utf-8", "─●─ Łódź", "─●─ Łódź"),
    ],
)
def test_signs_get_the_nearest_of_ascii_and_letters_an_escape(code_page: str, text: str, seen: str) -> None:
    assert text.encode(code_page, STAND_INS).decode(code_page) == seen


def test_what_cannot_be_read_is_no_matter_of_stand_ins() -> None:
    with pytest.raises(UnicodeDecodeError):
        b"\xe9".decode("utf-8", STAND_INS)
