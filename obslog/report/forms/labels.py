"""Labels on a sheet of them: the code to scan at the left, beside it the tag and the name."""

from collections.abc import Iterable, Sequence
from datetime import date
from pathlib import Path

from obslog.club.shelves.labels import Label
from obslog.errors import WrongInput
from obslog.files.atomic_file import replaced_file
from obslog.files.output_files import output_in_sentences
from obslog.report.forms.canvas import SMALL, TEXT, TINY, Canvas, line_height
from obslog.report.forms.label_sheets import LabelSheet
from obslog.report.forms.printed import Printed, refuse_another_file

INSET_MM = 0.6
LARGEST_CODE_MM = 20.0
TAG_SIZES, NAME_SIZES = (24.0, 20.0, 16.0, 14.0, 12.0, 10.0), (13.0, 11.0, TEXT, SMALL, TINY)
NAME_TO_TAG = 0.7  # the tag is what is looked for
TAG_SHARE = 0.45  # of the height, so that there is room for a name of some lines
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
    """See that labels may be written there, before the records are read. Raises NotAPdf, NotASheet, NoSuchPlace."""
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
    of_tag = _tag_size(canvas, label.tag, width, height * TAG_SHARE)
    tag = canvas.lines(label.tag, width, of_tag, bold=True, most=2)
    room = height - len(tag) * line_height(of_tag)
    of_name = _name_size(canvas, label.name, width, room, NAME_TO_TAG * of_tag)
    name = canvas.lines(label.name, width, of_name, most=max(1, int(room / line_height(of_name))))
    used = len(tag) * line_height(of_tag) + len(name) * line_height(of_name)
    below = canvas.write(left, y + (sheet.height_mm - used) / 2, tag, of_tag, bold=True)
    canvas.write(left, below, name, of_name)


def _tag_size(canvas: Canvas, tag: str, width: float, height: float) -> float:
    """The largest type in which the tag stands on one line: it is read off a shelf from where one stands."""
    fitting = (
        size
        for size in TAG_SIZES
        if line_height(size) <= height and canvas.measure(tag, size, bold=True) <= width
    )
    return next(fitting, TEXT)


def _name_size(canvas: Canvas, name: str, width: float, height: float, most: float) -> float:
    """The largest type in which the whole name stands there and no word of it is broken."""
    fitting = (
        size
        for size in NAME_SIZES
        if size <= most
        and len(canvas.lines(name, width, size)) * line_height(size) <= height
        and all(canvas.measure(word, size) <= width for word in name.split())
    )
    return next(fitting, SMALL)


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
