"""The page about the file says what is so: its example reads a bundle, its names and limits are those of the code."""

import re
from pathlib import Path

import pytest

from obslog.exchange.bundles.entries import ActFields, BatchFields, ChangeFields
from obslog.exchange.bundles.limits import DEEPEST, LIMITS, LONGEST_TEXT, MOST_COLUMNS, MOST_ROWS_A_LINE
from obslog.exchange.bundles.manifest import ManifestFields
from tests.exchange.bundles.made import ENTRIES, bundle_of

PAGE = (Path(__file__).resolve().parents[3] / "docs" / "bundle-file.md").read_text()


def test_the_example_reads_a_bundle(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("ann.obslog").write_bytes(bundle_of(ENTRIES))
    (example,) = re.findall(r"```python\n(.*?)```", PAGE, re.DOTALL)
    exec(example, {})
    assert capsys.readouterr().out == "2026-11-29T01:00:00Z added the mount 'Old Faithful'\n"


def test_every_name_is_on_the_page() -> None:
    for fields in (ManifestFields, ActFields, ChangeFields, BatchFields):
        assert [name for name in fields.__struct_fields__ if f"`{name}`" not in PAGE] == []


def test_the_limits_are_on_the_page() -> None:
    assert (LIMITS.packed, LIMITS.unpacked, LIMITS.ratio) == (256 * 1024**2, 2 * 1024**3, 200)
    assert "256 MiB, 2 GiB, and unpacked at most 200 times packed" in PAGE
    assert (LIMITS.line, LIMITS.lines) == (2 * 1024**2, 5_000_000)
    assert "| 2 MiB, 5 million |" in PAGE
    assert f"| {MOST_COLUMNS}, {LONGEST_TEXT:,} |" in PAGE
    assert f"inside each other | {DEEPEST} |" in PAGE
    assert f"At most {MOST_ROWS_A_LINE:,} records a line" in PAGE
    assert f"at most {LIMITS.ahead.days} days ahead" in PAGE
