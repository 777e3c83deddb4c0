"""What the words mean that the program uses."""

from dataclasses import dataclass
from typing import Annotated

import typer

from obslog.cli.terminal.command import command
from obslog.cli.terminal.screen import Screen

Asked = Annotated[
    str | None, typer.Argument(metavar="WORD", help="A word, or a part of it.", show_default="all of them")
]


@dataclass(frozen=True, slots=True)
class Word:
    word: str
    meaning: str


def show_words(screen: Screen, found: list[Word]) -> None:
    for entry in found:
        screen.line(f"{entry.word}: {entry.meaning}", hang=2)


def add_to(app: typer.Typer) -> None:
    """Put the command among the program's own."""
    command(app, "words", show=show_words)(words)


def words(word: Asked = None) -> list[Word]:
    """Say what the words of this program mean.

    obslog words "cone error"
    """
    from obslog.vocabulary.glossary import WORDS, NoSuchWord, near_words

    found = list(WORDS) if word is None else near_words(word)
    if not found and word is not None:
        raise NoSuchWord(word)
    return [Word(name, WORDS[name]) for name in found]
