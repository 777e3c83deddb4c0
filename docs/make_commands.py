"""Makes two pages from the program itself: commands.md, the reference, from its help, and glossary.md from its words.

Run it as `python docs/make_commands.py`.
"""

import io
import os
import sys
from collections.abc import Iterator
from contextlib import redirect_stdout
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve().parent
PAGE = HERE / "commands.md"
WORDS_PAGE = HERE / "glossary.md"
WIDTH = "80"
HEAD = """# Commands

What each command takes, as `--help` says it. Made by `python docs/make_commands.py`; edit the commands' own help
instead of this page. Capitals in names do not matter; times are the site's unless a `Z` follows.
"""
WORDS_HEAD = """# Glossary

What the words mean, here and on every screen; `obslog words` says the same. Made by `python docs/make_commands.py` from
`obslog/vocabulary/glossary.py`.
"""
TAIL = """
**Next:** [Working on obslog](../DEVELOPERS.md), or back to [your first night](first-night.md).
"""
WORDS_TAIL = """
**Next:** [The equipment officer](officer.md), or any page where a word stopped you.
"""


def reference() -> str:
    """The whole page."""
    from typer.main import get_command

    from obslog.cli.app import app

    parts = [HEAD, *(_section(words) for words in _command_lines(get_command(app), ())), TAIL.lstrip()]
    return "\n".join(parts)


def glossary() -> str:
    """The page of words."""
    from obslog.vocabulary.glossary import WORDS

    return "\n".join(
        [WORDS_HEAD, *(f"- **{word}**: {meaning}" for word, meaning in WORDS.items()), WORDS_TAIL]
    )


def _command_lines(command: Any, words: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    """The command itself and, after it, all those within it."""
    yield words
    for name, inner in getattr(command, "commands", {}).items():
        yield from _command_lines(inner, (*words, name))


def _section(words: tuple[str, ...]) -> str:
    heading = "#" * min(2 + len(words), 4)
    return f"{heading} {' '.join(('obslog', *words))}\n\n```text\n{_help(words).strip()}\n```\n"


def _help(words: tuple[str, ...]) -> str:
    """What the program prints for the command's --help, as wide on every machine."""
    from obslog.cli.main import main

    before = os.environ.get("COLUMNS")
    os.environ["COLUMNS"] = WIDTH
    try:
        with redirect_stdout(io.StringIO()) as out:
            code = main([*words, "--help"], environment={})
    finally:
        if before is None:
            del os.environ["COLUMNS"]
        else:
            os.environ["COLUMNS"] = before
    if code != 0:
        raise SystemExit(f"obslog {' '.join(words)} --help ended with {code}")
    return "\n".join(line.rstrip() for line in out.getvalue().splitlines())


if __name__ == "__main__":
    sys.path.insert(0, str(HERE.parent))
    PAGE.write_text(reference(), encoding="utf-8")
    WORDS_PAGE.write_text(glossary(), encoding="utf-8")
