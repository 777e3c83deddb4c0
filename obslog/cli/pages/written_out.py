"""Where a page is written: looked at before any work is done, put there as a whole, and told on standard error.

A page takes the place of an earlier page, and of nothing else unless that is asked for.

    def mount(state: State, name: Mount, to: PageFile) -> "MountFacts":
        to.check()
        with state.database() as database:
            facts = mount_facts(database, name, state.now().date())
        to.write(mount_page(facts), state)
        return facts
"""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.errors import ObslogError, WrongInput

if TYPE_CHECKING:
    from obslog.report.pages.content import Page

ENDING = ".html"
_LOOKED_AT = 1000  # signs of a file that is there: what a page is known by stands at its top


class NotAPagesName(WrongInput):
    def __init__(self, path: Path) -> None:
        super().__init__(f"{str(path)!r} is not the name of a page.", f"Name a file that ends in {ENDING}.")


class NoPageThere(ObslogError):
    def __init__(self, path: Path) -> None:
        super().__init__(
            f"{str(path)!r} is there already, and is not a page that this program made.",
            "Name another file, or give --overwrite to write over it.",
        )


class FolderThere(WrongInput):
    def __init__(self, path: Path) -> None:
        super().__init__(f"{str(path)!r} is a folder.", "Name a file in it.")


Overwrite = Annotated[bool, typer.Option("--overwrite", help="Write over a file that is not such a page.")]


@dataclass(frozen=True, slots=True, kw_only=True)
class PageFile:
    """The file that a page is written into."""

    out: Annotated[
        Path,
        typer.Option("--out", help="The file to write, FILE.html.", metavar="FILE", show_default=False),
    ]
    overwrite: Overwrite = False

    def check(self) -> None:
        """See that a page may be written there. Raises NotAPagesName and what `check_place` raises."""
        if self.out.suffix.casefold() != ENDING:
            raise NotAPagesName(self.out)
        check_place(self.out, overwrite=self.overwrite)

    def write(self, page: "Page", state: State, *, private: bool = False) -> None:
        """Write the page, and say so; a `private` one, which names people, can be read by its owner alone."""
        write_page(page, self.out, state, private=private)
        state.screen.note(f"Written: {self.out}")


def check_place(path: Path, *, overwrite: bool) -> None:
    """See that there is a folder, and that what stands there may be written over.

    Raises NoFolderThere, FolderThere, NoPageThere, and what a file system complains of in sentences.
    """
    from obslog.files.output_files import NoFolderThere, output_in_sentences
    from obslog.report.pages.writing import is_page

    with output_in_sentences(path):
        if not path.parent.is_dir():
            raise NoFolderThere(path.parent)
        if path.is_dir():
            raise FolderThere(path)
        if overwrite or not path.exists():
            return
        with path.open(encoding="utf-8", errors="replace") as file:
            if not is_page(file.read(_LOOKED_AT)):
                raise NoPageThere(path)


def write_page(page: "Page", path: Path, state: State, *, private: bool = False) -> None:
    """Write a page as a whole; where the program was asked for red, the page begins in red.

    A `private` one can be read by its owner alone.
    """
    from obslog.files.atomic_file import replaced_file
    from obslog.files.output_files import output_in_sentences
    from obslog.report.pages.writing import page_html

    html = page_html(page, style="red" if state.screen.look.red else None)
    with (
        say_closed(path, state, private=private),
        output_in_sentences(path),
        replaced_file(path.resolve(), private=private) as draft,
    ):
        draft.write_bytes(html.encode("utf-8"))


@contextmanager
def say_closed(path: Path, state: State, *, private: bool) -> Iterator[None]:
    """Say so where a file that others could read takes its new content as one that they cannot."""
    from obslog.files.private_files import open_to_others

    was_open = private and open_to_others(path)
    yield
    if was_open and not open_to_others(path):
        state.screen.note(f"Others on this machine could read {path}; now only you can.")


def write_private(value: object, path: Path) -> None:
    """Write a value as a JSON document, as a whole, that its owner alone can read."""
    import json

    from obslog.cli.look.shown_values import plain
    from obslog.files.atomic_file import replaced_file
    from obslog.files.output_files import output_in_sentences

    document = json.dumps(plain(value), ensure_ascii=False, indent=1) + "\n"
    with output_in_sentences(path), replaced_file(path.resolve(), private=True) as draft:
        draft.write_bytes(document.encode("utf-8"))


def show_nothing(screen: Screen, facts: object) -> None:
    """A page is in its file; what was read for it is for scripts."""
