"""Labels on a sheet of them: the code to scan at the left, beside it the tag and the name."""

from collections.abc import Iterable, Sequence
from datetime import date
from pathlib import Path

from obslog.club.shelves.labels import Label
from obslog.errors import WrongInput
from obslog.records.files.atomic_file import replaced_file
from obslog.records.files.output_files import output_in_sentences
from obslog.report.forms.canvas import SMALL, TEXT, Canvas, line_height
from obslog.report.forms.label_sheets import LabelSheet
from obslog.report.forms.printed import Printed, refuse_another_file

INSET_MM = 0.6
LARGEST_CODE_MM = 20.0
QUIET = 4
"""Modules left white round the code. Source: ISO/IEC 18004:2015, 6.3.8."""


class NotAPdf(WrongInput):
    def __init__(self, path: Path) -> None:
        super().__init__(f"{path} is not the name of a sheet of labels.", "Name a file that ends in .pdf.")


class NoSuchPlace(WrongInput):
    def __init__(self, first: int, count: int) -> None:
        super().__init__(
            f"There is no label {first} on this sheet.", f"It has {count}, counted along the rows from 1."
        )


def check_labels(path: Path, sheet: LabelSheet, first: int, *, overwrite: bool) -> None:
    """See that labels may be written there, before the records are read. Raises NotAPdf, AnotherFile, NoSuchPlace."""
    if path.suffix.casefold() != ".pdf":
        raise NotAPdf(path)
    if not 1 <= first <= sheet.count:
        raise NoSuchPlace(first, sheet.count)
    refuse_another_file(path, overwrite=overwrite)


def put_labels(
    labels: Sequence[Label], sheet: LabelSheet, path: Path, dated: date, first: int = 1
) -> Printed:
    """Draw the labels and write them. Raises NoFont."""
    printed = labels_as_pdf(labels, sheet, dated, first)
    with output_in_sentences(path), replaced_file(path.resolve()) as draft:
        draft.write_bytes(printed.content)
    return printed


def labels_as_pdf(labels: Sequence[Label], sheet: LabelSheet, dated: date, first: int = 1) -> Printed:
    """The labels from the `first` place of the sheet on, for one that was begun. Raises NoFont."""
    canvas = Canvas(sheet.paper, "Labels", "", dated, bare=True)
    for place, label in enumerate(labels, start=first - 1):
        if place and place % sheet.count == 0:
            canvas.new_page()
        _draw(canvas, sheet, label, *sheet.corner(place % sheet.count))
    return Printed(canvas.as_bytes(), canvas.pages, canvas.signs_replaced)


def _draw(canvas: Canvas, sheet: LabelSheet, label: Label, x: float, y: float) -> None:
    side = min(sheet.height_mm - 2 * INSET_MM, LARGEST_CODE_MM)
    _draw_code(canvas, label.tag, x + INSET_MM, y + (sheet.height_mm - side) / 2, side)
    left = x + INSET_MM + side
    width = sheet.width_mm - side - 3 * INSET_MM
    height = sheet.height_mm - 4 * INSET_MM
    tag = canvas.lines(label.tag, width, TEXT, bold=True, most=2)
    room = int((height - len(tag) * line_height(TEXT)) / line_height(SMALL))
    name = canvas.lines(label.name, width, SMALL, most=max(1, room))
    used = len(tag) * line_height(TEXT) + len(name) * line_height(SMALL)
    below = canvas.write(left, y + (sheet.height_mm - used) / 2, tag, TEXT, bold=True)
    canvas.write(left, below, name, SMALL)


def _draw_code(canvas: Canvas, text: str, x: float, y: float, side: float) -> None:
    """The QR code of a text, in a square of that side with the white round it; a row's neighbours in one piece."""
    import segno

    rows = [list(row) for row in segno.make_qr(text, error="m").matrix]
    module = side / (len(rows) + 2 * QUIET)
    for number, row in enumerate(rows):
        for start, length in _dark_runs(row):
            canvas.fill(x + (QUIET + start) * module, y + (QUIET + number) * module, length * module, module)


def _dark_runs(row: Iterable[int]) -> list[tuple[int, int]]:
    """Where dark modules begin, and how many stand side by side."""
    runs: list[tuple[int, int]] = []
    for place, dark in enumerate(row):
        if not dark:
            continue
        if runs and sum(runs[-1]) == place:
            runs[-1] = (runs[-1][0], runs[-1][1] + 1)
        else:
            runs.append((place, 1))
    return runs
