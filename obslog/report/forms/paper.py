"""The papers that sheets are printed on, millimetres."""

from enum import StrEnum


class PaperSize(StrEnum):
    A4 = "a4"
    LETTER = "letter"

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height, upright. Source: ISO 216; ANSI Y14.1, 8.5 by 11 inches."""
        return (210.0, 297.0) if self is PaperSize.A4 else (215.9, 279.4)


LEFT_MM, RIGHT_MM, TOP_MM, BOTTOM_MM = 16.0, 11.0, 11.0, 14.0
"""Margins: more at the left, where a sheet is punched."""
WRITING_MM = 10.0
"""How high a box or row is in which a cold gloved hand writes."""
