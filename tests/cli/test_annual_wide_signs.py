"""Signs that take two cells of the screen, in the tables of the officer's report."""

from dataclasses import replace

from rich.cells import cell_len

from obslog.cli.annual import show_report
from tests.cli.screens import shown_by
from tests.cli.test_annual_shown import EMPTY, PAGE, a_report, a_use


def test_a_sign_of_two_cells_does_not_shift_its_row() -> None:
    """Also where the name is cut: \u671b is one letter and two cells."""
    names = ("Scope \N{TELESCOPE}", "\u671b" * 60)
    lines = [a_use(name, "tube", 45, 90, 2, 3) for name in names]
    report = a_report(utilisation=replace(EMPTY["utilisation"], lines=lines))
    (shown,) = shown_by(lambda screen: show_report(screen, report, None), [PAGE])
    begin = next(place for place, line in enumerate(shown.lines) if line.startswith("  name "))
    head, short, cut = shown.lines[begin : begin + 3]
    assert short.startswith("  Scope \N{TELESCOPE} ")
    assert cut.split()[0].endswith("\u671b..")
    assert {cell_len(row[: row.index(" tube ")]) for row in (short, cut)} == {head.index(" kind ")}
    assert cell_len(cut) <= PAGE
