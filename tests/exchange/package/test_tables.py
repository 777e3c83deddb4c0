"""A sheet knows its columns by their names."""

import pytest

from obslog.exchange.package.tables import Holds, SheetColumn, SheetTable


def test_a_column_is_found_by_its_name() -> None:
    name = SheetColumn(name="name", holds=Holds.TEXT, meaning="The name.")
    sheet = SheetTable(name="sites", meaning="Sites.", columns=(name,), key=("name",))
    assert (sheet.file, sheet.column_names, sheet.column("name")) == ("sites.csv", ("name",), name)
    with pytest.raises(ValueError):
        sheet.column("other")
