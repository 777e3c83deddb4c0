"""Sheets of labels as shops sell them, by their measures in millimetres; the labels lie in the middle of the paper."""

from dataclasses import dataclass
from enum import StrEnum

from obslog.report.forms.paper import PaperSize


class LabelSize(StrEnum):
    """The sizes of labels, width by height in millimetres."""

    W38_H21 = "38x21"
    W52_H30 = "52x30"
    W64_H38 = "64x38"
    W67_H25 = "67x25"
    W70_H37 = "70x37"
    W99_H38 = "99x38"


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelSheet:
    """How a sheet is divided: labels of that size in columns and rows, with gaps between the columns alone."""

    paper: PaperSize
    width_mm: float
    height_mm: float
    columns: int
    rows: int
    gap_mm: float

    @property
    def count(self) -> int:
        """How many labels are on it."""
        return self.columns * self.rows

    @property
    def left_mm(self) -> float:
        used = self.columns * self.width_mm + (self.columns - 1) * self.gap_mm
        return (self.paper.size_mm[0] - used) / 2

    @property
    def top_mm(self) -> float:
        return (self.paper.size_mm[1] - self.rows * self.height_mm) / 2

    def corner(self, place: int) -> tuple[float, float]:
        """The upper left corner of a label; the places are counted from 0, along the rows."""
        row, column = divmod(place, self.columns)
        return (
            self.left_mm + column * (self.width_mm + self.gap_mm),
            self.top_mm + row * self.height_mm,
        )


def _sheet(paper: PaperSize, width: float, height: float, columns: int, rows: int, gap: float) -> LabelSheet:
    return LabelSheet(paper=paper, width_mm=width, height_mm=height, columns=columns, rows=rows, gap_mm=gap)


SHEETS = {
    LabelSize.W38_H21: _sheet(PaperSize.A4, 38.1, 21.2, 5, 13, 2.5),
    LabelSize.W52_H30: _sheet(PaperSize.A4, 52.5, 29.7, 4, 10, 0.0),
    LabelSize.W64_H38: _sheet(PaperSize.A4, 63.5, 38.1, 3, 7, 2.5),
    LabelSize.W67_H25: _sheet(PaperSize.LETTER, 66.7, 25.4, 3, 10, 3.2),
    LabelSize.W70_H37: _sheet(PaperSize.A4, 70.0, 37.0, 3, 8, 0.0),
    LabelSize.W99_H38: _sheet(PaperSize.A4, 99.1, 38.1, 2, 7, 2.5),
}
"""The sizes: paper, width, height, columns, rows, gap between columns."""
