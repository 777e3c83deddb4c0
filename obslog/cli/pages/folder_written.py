"""A folder of pages: looked at before any work, each page put there as a whole, and what is left from before told."""

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.pages.written_out import ENDING, Overwrite, check_place, write_page
from obslog.cli.terminal.state import State
from obslog.english import counted
from obslog.errors import WrongInput

if TYPE_CHECKING:
    from obslog.report.overviews.folder import FilePage

NAMING_BORROWERS = ("store", "club", "stocktake")
_LOOKED_AT = 1000  # signs of a file: what a page is known by stands at its top


class NoFolderForPages(WrongInput):
    def __init__(self, path: Path) -> None:
        super().__init__(f"{str(path)!r} is a file, not a folder.", "Name a folder for the pages.")


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenPage:
    """A page of the folder: its file, what kind of page it is, its title."""

    file: str
    kind: str
    title: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenFolder:
    """The pages that were written, and those of before that the index links no more."""

    folder: str
    pages: list[WrittenPage]
    from_before: list[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class PageFolder:
    """The folder that pages are written into."""

    out: Annotated[
        Path,
        typer.Option(
            "--out",
            help="The folder to write into; made where there is none.",
            metavar="FOLDER",
            show_default=False,
        ),
    ]
    overwrite: Overwrite = False

    def check(self) -> None:
        """See that the folder is there or can be made. Raises NoFolderForPages, NoFolderThere."""
        from obslog.files.output_files import NoFolderThere, output_in_sentences

        with output_in_sentences(self.out):
            if self.out.exists() and not self.out.is_dir():
                raise NoFolderForPages(self.out)
            if not self.out.absolute().parent.is_dir():
                raise NoFolderThere(self.out.parent)

    def write(
        self, pages: "Iterable[FilePage]", state: State, *, borrowers_named: bool = False
    ) -> WrittenFolder:
        """Write all pages in their order, and say so. Raises as `check_place` does, before any is written.

        Members' own pages, and those on which borrowers are named, can be read by their owner alone.
        """
        from obslog.files.output_files import output_in_sentences

        pages = list(pages)
        with output_in_sentences(self.out):
            self.out.mkdir(exist_ok=True)
        for one in pages:
            check_place(self.out / one.file, overwrite=self.overwrite)
        for one in pages:
            private = one.page.kind == "member" or (borrowers_named and one.page.kind in NAMING_BORROWERS)
            write_page(one.page, self.out / one.file, state, private=private)
        written = WrittenFolder(
            folder=str(self.out),
            pages=[WrittenPage(file=one.file, kind=one.page.kind, title=one.page.title) for one in pages],
            from_before=_from_before(self.out, {one.file for one in pages}),
        )
        _say(written, pages[-1].file, state)
        return written


def _from_before(folder: Path, written: set[str]) -> list[str]:
    """Pages of ours in the folder that were not written now."""
    from obslog.files.output_files import output_in_sentences

    with output_in_sentences(folder):
        return [
            path.name
            for path in sorted(folder.glob(f"*{ENDING}"))
            if path.name not in written and path.is_file() and _is_ours(path)
        ]


def _is_ours(path: Path) -> bool:
    from obslog.report.pages.writing import is_page

    with path.open(encoding="utf-8", errors="replace") as file:
        return is_page(file.read(_LOOKED_AT))


def _say(written: WrittenFolder, index: str, state: State) -> None:
    state.screen.note(
        f"Written: {counted(len(written.pages), 'page')}; begin with {Path(written.folder) / index}"
    )
    if written.from_before:
        state.screen.note(
            f"From before, and no longer linked: {', '.join(written.from_before)}. Delete what is not wanted any more."
        )
