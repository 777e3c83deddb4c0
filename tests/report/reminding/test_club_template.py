"""Templates of any kind of letter: each holds what that kind is told, and nothing of another kind."""

from datetime import date
from pathlib import Path

import pytest

from obslog.files.output_files import FileThere
from obslog.report.reminding.club_template import ClubTemplate, LetterKind, NoTemplate, source_of
from obslog.report.reminding.club_template import write_club_template as write_template
from obslog.report.reminding.template_rules import TemplateFault, Vocabulary

NOTE = LetterKind(
    shipped="thanks.txt.j2",
    command="obslog note",
    may=Vocabulary(texts=("member", "on"), lists=("names",), of="a note", loops="a loop runs over names"),
)


def filled(source: str, **told: object) -> str:
    return ClubTemplate(NOTE, f"Subject: A note\n\n{source}", "own.txt").filled(told).text


def test_a_template_holds_what_its_kind_is_told() -> None:
    told = filled("{{ member }}, {{ on }}: {% for n in names %}{{ n }} {% endfor %}", member="Ines", on=date(2026, 3, 2), names=["a", "b"])  # fmt: skip # noqa: E501
    assert told == "Ines, 2026-03-02: a b\n"


@pytest.mark.parametrize(
    ("source", "why"),
    [
        ("{{ loans }}", "'loans' is not known"),
        ("{{ member.due_on }}", "'due_on' is nothing that is told of a note"),
        ("{% for n in member %}x{% endfor %}", "a loop runs over names"),
        ("{{ member() }}", "a call is not allowed"),
        ("{{ ''.__class__ }}", "'__class__' is nothing that is told of a note"),
    ],
)
def test_what_another_kind_is_told_or_could_do_harm_is_refused(source: str, why: str) -> None:
    with pytest.raises(TemplateFault) as refused:
        filled(source, member="Ines", names=[])
    assert refused.value.message == f"The template own.txt, line 3: {why}."
    assert refused.value.hint == "See what a template may hold: obslog note --write-template FILE"


def test_what_is_not_known_is_a_fault_of_the_template() -> None:
    with pytest.raises(TemplateFault, match="this is not known"):
        filled("{{ member }}", member=None)


def test_a_template_is_read_from_a_file_and_written_once(tmp_path: Path) -> None:
    own = tmp_path / "own.txt"
    with pytest.raises(NoTemplate, match="no such file") as refused:
        source_of(NOTE, own)
    assert "obslog note --write-template" in refused.value.hint
    write_template(NOTE, own)
    assert source_of(NOTE, own) == (NOTE.source(), str(own))
    with pytest.raises(FileThere):
        write_template(NOTE, own)
