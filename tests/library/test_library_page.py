"""The page about the library is run from its top to its end, as a notebook is, and prints what it shows."""

import inspect
import re
import shutil
from dataclasses import fields, is_dataclass
from pathlib import Path

import pytest

from obslog.library import logbook_records, pointing_records, storeroom_records
from obslog.library.club import Club
from tests.test_docs import ROOT, agrees

PAGE = (ROOT / "docs" / "library.md").read_text(encoding="utf-8")
BLOCK = re.compile(r"^```python\n(.*?)^```\n(?:\n```text\n(.*?)^```)?", re.MULTILINE | re.DOTALL)
RECIPES = 7


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


ROW = re.compile(r"^\| `([A-Z]\w+)` \| (.+) \|$", re.MULTILINE)
ON_PAGE = {name: tuple(re.findall(r"`(\w+)`", cell)) for name, cell in ROW.findall(PAGE)}
KINDS = {
    name: kind
    for module in (logbook_records, pointing_records, storeroom_records)
    for name, kind in vars(module).items()
    if is_dataclass(kind) and isinstance(kind, type) and kind.__module__ == module.__name__
}


def test_every_record_is_on_the_page_and_no_other() -> None:
    assert sorted(ON_PAGE) == sorted(KINDS)
    assert len(KINDS) > 20


@pytest.mark.parametrize("name", KINDS)
def test_the_page_lists_what_a_record_has(name: str) -> None:
    assert ON_PAGE[name] == tuple(field.name for field in fields(KINDS[name]))


def test_every_way_to_ask_is_told_with_what_it_may_be_asked_by() -> None:
    told = dict(re.findall(r"^\| `club\.(\w+)\(([^)]*)\)` \|", PAGE, re.MULTILINE))
    for name, words in told.items():
        asked_by = [word for word in inspect.signature(getattr(Club, name)).parameters if word != "self"]
        assert [word.strip().rstrip("=") for word in words.split(",")] == asked_by, name
    assert set(told) == {name for name in vars(Club) if not name.startswith("_")} - {"close"}
