"""A sheet as a file, and putting it where it was asked for: over an earlier sheet, and over nothing else."""

from dataclasses import dataclass
from pathlib import Path

from obslog.club.forms.blocks import Form
from obslog.errors import ObslogError, WrongInput
from obslog.files.atomic_file import replaced_file
from obslog.files.output_files import output_in_sentences
from obslog.report.forms.paper import PaperSize

MADE_BY = "obslog, a sheet to write on"
_PDF, _HTML = ".pdf", ".html"
_LOOKED_AT = 64_000


class NoSheet(WrongInput):
    def __init__(self, path: Path) -> None:
        super().__init__(f"{path} is not the name of a sheet.", "Name a file that ends in .pdf or .html.")


class NotASheet(ObslogError):
    def __init__(self, path: Path) -> None:
        super().__init__(
            f"{path} is there already, and is not a sheet of obslog.",
            "Name another file, or give --overwrite to write over it.",
        )


@dataclass(frozen=True, slots=True)
class Printed:
    """A sheet as a file: its bytes, its pages (None where only a browser knows), and signs the font does not have."""

    content: bytes
    pages: int | None
    signs_replaced: int


def refuse_another_file(path: Path, *, overwrite: bool) -> None:
    """A sheet takes the place of an earlier one, and of nothing else unless that is asked for.

    Raises NoSheet, NotASheet.
    """
    if path.suffix.casefold() not in (_PDF, _HTML):
        raise NoSheet(path)
    with output_in_sentences(path):
        if not overwrite and path.exists() and not is_sheet(_both_ends(path)):
            raise NotASheet(path)


def _both_ends(path: Path) -> bytes:
    """Where a file says who made it: a page at its top, a PDF before its last table."""
    with path.open("rb") as file:
        top = file.read(_LOOKED_AT)
        file.seek(max(len(top), path.stat().st_size - _LOOKED_AT))
        return top + file.read()


def is_sheet(content: bytes) -> bool:
    """Whether a file was made here: a PDF or a page that says so."""
    made_by = MADE_BY.encode()
    if content.startswith(b"%PDF-"):
        return made_by in content
    return content.startswith(b"<!DOCTYPE html>") and made_by in content[:1000]


def put_sheet(form: Form, path: Path, paper: PaperSize, *, private: bool = False) -> Printed:
    """Draw the sheet as the file's name asks, and write it as a whole. Raises NoSheet, NoFont.

    A `private` one can be read by its owner alone.
    """
    from obslog.report.forms.as_html import sheet_as_html
    from obslog.report.forms.as_pdf import sheet_as_pdf

    draw = sheet_as_pdf if path.suffix.casefold() == _PDF else sheet_as_html
    printed = draw(form, paper)
    with output_in_sentences(path), replaced_file(path.resolve(), private=private) as draft:
        draft.write_bytes(printed.content)
    return printed
