"""The letters: their text compared with one written by hand, and templates that go wrong."""

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from time import process_time

import pytest

from obslog.club.reminding.stages import Stage
from obslog.files.output_files import FileThere
from obslog.report.reminding.club_template import LONGEST_LETTER, MOST_TURNS, NoTemplate
from obslog.report.reminding.letters import REMINDERS, LetterTemplate, read_template, write_template
from obslog.report.reminding.template_rules import LONGEST_TEMPLATE, TemplateFault
from tests.report.reminding.records import DUE, EYEPIECE, INES, KIT

BY_HAND = """\
Dear Ines,

This is about what you have on loan from the club:

- Evening kit, on loan since 2026-01-20
  was due on 2026-02-20, 10 days ago
  with it went: Heron, Long tube and dust cap
  1 member waits for it
- Wide 25, on loan since 2026-02-02
  is due today, 2026-03-02

Please bring back what is overdue. If you need it longer, ask us: what nobody waits for can be extended.

You asked for Bracken. You are next, and can collect it now.
If you do not want it any more, tell us, for the next to have a turn.

Thank you, and clear skies,
the equipment officer
"""
OF_ONES_OWN = "Subject: Hello {{ member }}\n\n"


def fault(template: str) -> TemplateFault:
    """How reading or using the template goes wrong."""
    with pytest.raises(TemplateFault) as raised:
        LetterTemplate(template, "own.txt").letter(INES, DUE)
    return raised.value


def test_the_text_that_ships_is_the_one_written_by_hand() -> None:
    letter = read_template(None).letter(INES, DUE)
    assert letter.subject == "Overdue: Evening kit"
    assert letter.text == BY_HAND


def test_what_is_due_soon_and_what_else_one_has() -> None:
    soon = replace(
        EYEPIECE, due_on=date(2026, 3, 3), days_left=1, stage=Stage.DUE_SOON, waiting=2, what="Ö 9"
    )
    later = replace(EYEPIECE, due_on=date(2026, 4, 3), days_left=32, stage=Stage.NOT_YET)
    ines = replace(INES, stage=Stage.DUE_SOON, loans=[soon], not_yet=[later], ready=[])
    letter = read_template(None).letter(ines, DUE)
    assert letter.subject == "Due back: Ö 9"
    assert "  is due on 2026-03-03, in 1 day\n  2 members wait for it\n" in letter.text
    assert "Please bring it back by then." in letter.text
    assert "\n\nYou also have, not due yet: Wide 25.\n\nThank you" in letter.text


@pytest.mark.parametrize(
    ("left", "told"), [(0, "is due today, 2026-03-02"), (-1, "was due on 2026-03-01, 1 day ago")]
)
def test_what_is_due_or_was_within_the_days_of_grace_is_not_asked_for_by_a_day_that_has_come(
    left: int, told: str
) -> None:
    due_on = date(2026, 3, 2) + timedelta(days=left)
    loan = replace(EYEPIECE, due_on=due_on, days_left=left, days_over=-left, stage=Stage.DUE)
    text = read_template(None).letter(replace(INES, stage=Stage.DUE, loans=[loan], ready=[]), DUE).text
    assert told in text
    assert "Please bring it back, or ask us if you need it longer." in text
    assert "before that day" not in text


def test_when_it_was_told_of_before() -> None:
    told = replace(INES, loans=[replace(KIT, written_before=date(2026, 2, 22))])
    text = read_template(None).letter(told, DUE).text
    assert (
        "10 days ago\n  with it went: Heron, Long tube and dust cap\n  we wrote to you about it on 2026-02-22\n"
        in text
    )


def test_one_who_only_waits_is_told_that_it_is_there() -> None:
    letter = read_template(None).letter(replace(INES, stage=Stage.NOT_YET, loans=[]), DUE)
    assert letter.subject == "Your turn: Bracken"
    assert letter.text.startswith(
        "Dear Ines,\n\nYou asked for Bracken. You are next, and can collect it now.\n"
    )


@pytest.mark.parametrize(
    ("stage", "subject", "words"),
    [
        (Stage.SECOND, "Still overdue: Evening kit", "at the next meeting"),
        (Stage.OFFICER, "Long overdue: Evening kit", "get in touch with us at once"),
    ],
)
def test_the_words_grow_firmer(stage: Stage, subject: str, words: str) -> None:
    late = replace(INES, stage=stage, loans=[replace(KIT, stage=stage), EYEPIECE])
    letter = read_template(None).letter(late, DUE)
    assert (letter.subject, words in letter.text) == (subject, True)


def test_the_clubs_own_words() -> None:
    template = (
        OF_ONES_OWN
        + "{{ loans|length }}: {{ loans|listed }}, {{ 1|days }}, {{ 2|days }}, {{ 2|times }}, {{ 3|times }}"
    )
    letter = LetterTemplate(template, "own.txt").letter(INES, DUE)
    assert (letter.subject, letter.text) == (
        "Hello Ines",
        "2: Evening kit and Wide 25, 1 day, 2 days, twice, 3 times\n",
    )


def test_what_is_signs_of_a_template_in_a_name_stays_a_name() -> None:
    told = replace(INES, member="{{ loans }} {% set a = 1 %}")
    assert "Dear {{ loans }} {% set a = 1 %},\n" in read_template(None).letter(told, DUE).text


@pytest.mark.parametrize(
    "name", ["Ines\nBcc: all@example.org", "Ines\r\nBcc: all@example.org", "a\u2028b\x1b[2J"]
)
def test_a_name_makes_no_line_of_the_subject(name: str) -> None:
    letter = LetterTemplate(OF_ONES_OWN + "text", "own.txt").letter(replace(INES, member=name), DUE)
    assert letter.subject.isprintable()
    assert letter.text.rstrip().endswith("text")


@pytest.mark.parametrize(
    ("line", "template", "why"),
    [
        (3, "{{ lones }}", "'lones' is not known"),
        (3, "{% if %}", "Expected an expression"),
        (4, "\n{% for a in loans %}", "Unexpected end of template"),
        (4, "\n{{ loans.what }}", "has no attribute 'what'"),
        (5, "\n\n{{ member|days }}", "|days is for numbers"),
        (3, "{{ member|listed }}", "|listed is for lists"),
        (3, "{{ loans }}", "a list is written with |listed"),
        (3, "{{ loans.index }}", "this cannot be written"),
        (4, "\n{% for a in ready %}{{ a.due_on }}{% endfor %}", "this is not known"),
        (3, "{{ loans - 1 }}", "unsupported"),
        (3, "{{ stage > 1 }}", "not supported"),
        (1, f"{{{{ +{'9' * 6000} }}}}", "limit"),
        (1, f"{{{{ {'(' * 5000}1{')' * 5000} }}}}", "too deeply nested"),
        (3, f"{{{{ {'-' * 100}1 }}}}", "too deeply nested"),
        (1, "a" * LONGEST_TEMPLATE, "longer than 20000 characters"),
    ],
)
def test_a_fault_is_told_with_its_line(line: int, template: str, why: str) -> None:
    told = fault(OF_ONES_OWN + template)
    assert f"own.txt, line {line}: " in told.message
    assert why in told.message
    assert (told.exit_code, "\n" in told.message) == (2, False)


@pytest.mark.parametrize(
    ("template", "why"),
    [
        ("", "does not begin with a line Subject:"),
        ("Dear {{ member }}", "does not begin with a line Subject:"),
        ("Subject:\n\ntext", "does not begin with a line Subject:"),
        ("Subject: a\n\n  \n", "no text below"),
    ],
)
def test_a_letter_has_a_subject_and_a_text(template: str, why: str) -> None:
    assert why in fault(template).message


def test_a_letter_grows_no_longer_than_it_may_however_many_loans() -> None:
    """250 by 250 times 18 000 characters would be a thousand million; it is over after the first ones, at once."""
    inner = "x" * 18_000
    template = OF_ONES_OWN + "{% for a in loans %}{% for b in loans %}" + inner + "{% endfor %}{% endfor %}"
    many = replace(INES, loans=[KIT] * 250)
    began = process_time()
    with pytest.raises(TemplateFault, match=f"longer than {LONGEST_LETTER}"):
        LetterTemplate(template, "own.txt").letter(many, DUE)
    assert process_time() - began < 2


def test_loops_that_write_nothing_end_too() -> None:
    """60 by 60 are 3600 turns, each with 400 comparisons: seconds of work, were they not limited."""
    inner = "{% if b.what != a.what ~ a.due_on %}{% endif %}" * 400
    template = OF_ONES_OWN + "{% for a in loans %}{% for b in loans %}" + inner + "{% endfor %}{% endfor %}"
    many = replace(INES, loans=[KIT] * 60)
    with pytest.raises(TemplateFault, match=f"line 3: the loops turn more than {MOST_TURNS} times"):
        LetterTemplate(template, "own.txt").letter(many, DUE)


def test_a_letter_of_many_loans_is_no_fault() -> None:
    many = replace(INES, loans=[replace(KIT, parts=["cap"])] * 100)
    assert read_template(None).letter(many, DUE).text.count("- Evening kit, ") == 100


def test_the_template_that_ships_can_be_written_changed_and_used(tmp_path: Path) -> None:
    file = tmp_path / "own.txt"
    write_template(file)
    assert file.read_text(encoding="utf-8") == REMINDERS.source()
    with pytest.raises(FileThere):
        write_template(file)
    changed = REMINDERS.source().replace("Dear {{ member }}", "Grüß dich, {{ member }}")
    file.write_bytes(
        b"\xef\xbb\xbf" + changed.replace("\n", "\r\n").encode()
    )  # as an editor on Windows saves it
    letter = read_template(file).letter(INES, DUE)
    assert letter.text == BY_HAND.replace("Dear Ines", "Grüß dich, Ines")


def test_a_template_that_cannot_be_read(tmp_path: Path) -> None:
    with pytest.raises(NoTemplate):
        read_template(tmp_path / "none.txt")
    with pytest.raises(NoTemplate):
        read_template(tmp_path)
    file = tmp_path / "old.txt"
    file.write_bytes("Subject: a\n\nGrüße".encode("latin-1"))
    with pytest.raises(TemplateFault, match="line 3: it is not in UTF-8"):
        read_template(file)
