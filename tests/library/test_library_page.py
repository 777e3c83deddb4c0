"""The page about the library is run from its top to its end, as a notebook is, and prints what it shows."""

import re
import shutil
from pathlib import Path

import pytest

from obslog.library.club import Club
from tests.test_docs import ROOT, agrees

PAGE = (ROOT / "docs" / "library.md").read_text(encoding="utf-8")
BLOCK = re.compile(r"^```python\n(.*?)^```\n(?:\n```text\n(.*?)^```)?", re.MULTILINE | re.DOTALL)
RECIPES = 5


def test_every_recipe_prints_what_is_shown(
    invented_club: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    shutil.copy(invented_club, "obslog-demo.db")
    notebook: dict[str, object] = {}
    blocks = BLOCK.findall(PAGE)
    assert len(blocks) == RECIPES + 1
    for code, shown in blocks:
        exec(code, notebook)
        printed = capsys.readouterr().out
        assert bool(printed) is bool(shown), code
        assert agrees(shown, printed, set(re.findall(r"\d{4}-\d\d-\d\d", shown))), (
            f"{code}\nprinted:\n{printed}"
        )
    assert Path("bramble.png").read_bytes().startswith(b"\x89PNG")


def test_every_way_to_ask_is_on_the_page() -> None:
    ways = [name for name in vars(Club) if not name.startswith("_")]
    assert [name for name in ways if f"club.{name}(" not in PAGE] == []
