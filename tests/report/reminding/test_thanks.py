"""The letter of thanks, held against one written by hand; it says nothing of taxes but who decides."""

import stat
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from obslog.club.office.gifts import Gift
from obslog.files.output_files import FileThere
from obslog.report.reminding.club_template import Letter
from obslog.report.reminding.template_rules import TemplateFault
from obslog.report.reminding.thanks import thanks, write_letter, write_thanks_template
from obslog.vocabulary.storeroom import Condition

TODAY = date(2026, 3, 2)
GIFT = Gift(
    donor="Wilma Ost", item="Legacy seven", category="tube", tag="T-06", maker="Northlight", model="seven",
    serial="0071", given_on=date(2026, 2, 1), condition=Condition.GOOD, value="EUR 950.00", valued_on=date(2026, 2, 3),
)  # fmt: skip
BY_HAND = """\
2026-03-02

Dear Wilma Ost,

Thank you for the tube that you gave to our club (Northlight seven).
We call it Legacy seven; its tag is T-06, its serial number 0071.
We received it on 2026-02-01, in good condition.

The club values it at EUR 950.00, as of 2026-02-03. That is what we think replacing it would cost.

What a gift means for taxes is decided by the rules of the place where you live. Please ask there; this letter does
not say it.

It will help many people to see the sky. Thank you, and clear skies,
the equipment officer
"""
BARE_BY_HAND = """\
2026-03-02

Dear friend of the club,

Thank you for the tube that you gave to our club.
We call it Legacy seven.

What a gift means for taxes is decided by the rules of the place where you live. Please ask there; this letter does
not say it.

It will help many people to see the sky. Thank you, and clear skies,
the equipment officer
"""


def test_the_letter_that_ships_is_the_one_written_by_hand() -> None:
    assert thanks(None, GIFT, TODAY) == Letter("Thank you for the tube Legacy seven", BY_HAND)


def test_what_is_not_known_is_left_out() -> None:
    bare = replace(
        GIFT, donor=None, tag=None, maker=None, model=None, serial=None, given_on=None, condition=None, value=None,
        valued_on=None,
    )  # fmt: skip
    assert thanks(None, bare, TODAY).text == BARE_BY_HAND
    undated = thanks(None, replace(GIFT, given_on=None, maker=None, valued_on=None), TODAY).text
    assert "to our club (seven).\n" in undated
    assert "We received it in good condition.\n" in undated
    assert "values it at EUR 950.00. That" in undated


def test_a_name_is_text_and_never_a_template() -> None:
    assert (
        "Dear {{ value }} {% raw %},"
        in thanks(None, replace(GIFT, donor="{{ value }} {% raw %}"), TODAY).text
    )


def test_the_clubs_own_words_are_used(tmp_path: Path) -> None:
    own = tmp_path / "own.txt"
    write_thanks_template(own)
    own.write_text(own.read_text(encoding="utf-8").replace("the equipment officer", "Ines"), encoding="utf-8")
    assert thanks(own, GIFT, TODAY).text.endswith("clear skies,\nInes\n")
    own.write_text("Subject: Thanks\n\n{{ loans }}", encoding="utf-8")
    with pytest.raises(TemplateFault, match="line 3: 'loans' is not known"):
        thanks(own, GIFT, TODAY)


def test_the_file_is_its_owners_alone_and_takes_no_others_place(tmp_path: Path) -> None:
    path = tmp_path / "thanks.txt"
    write_letter(Letter("Thank you", "Dear Wilma,\n"), path)
    assert path.read_text(encoding="utf-8") == "Thank you\n\nDear Wilma,\n"
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    with pytest.raises(FileThere):
        write_letter(Letter("Again", "x"), path)
