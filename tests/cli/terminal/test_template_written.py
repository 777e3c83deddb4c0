"""A template that was written is told as its file, with the command that takes it; all else is left as it is."""

from pathlib import Path

from obslog.cli.terminal.template_written import is_template, show_template, written_or_done


class Noted:
    """Stands in for the screen."""

    def __init__(self) -> None:
        self.notes: list[str] = []

    def note(self, text: str) -> None:
        self.notes.append(text)


def test_only_a_file_is_a_template_that_was_written() -> None:
    file = Path("letters/thanks.txt")
    assert is_template(file)
    assert not is_template("letters/thanks.txt")
    assert written_or_done(file) == {"written": str(file)}
    assert written_or_done([1, 2]) == [1, 2]


def test_the_command_that_takes_the_template_can_be_pasted() -> None:
    screen = Noted()
    show_template(screen, Path("a letter.txt"), "loan remind")  # type: ignore[arg-type]
    assert screen.notes == [
        'Written: a letter.txt. Change it, then: obslog loan remind --template "a letter.txt"'
    ]
