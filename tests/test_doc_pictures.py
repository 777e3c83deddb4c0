"""The pictures of README and gallery are what the program draws today, are shown, described, and small together."""

import importlib.util
import re
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).resolve().parents[1]
FOLDER = ROOT / "docs" / "pictures"
LARGEST_TOGETHER = 1_000_000
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
TEXT = re.compile(r"<(?:text|title|desc)\b[^>]*>([^<]*)<")
SHOWN = re.compile(r"!\[(?P<words>[^]]*)\]\((?:docs/)?pictures/(?P<name>[\w.-]+)\)")
MOVED = 0.5  # of a point, as another version of a library may round: nothing that one sees


def same_drawing(one: str, other: str) -> bool:
    """Whether two pictures hold the same words and lines, and no number in one is off by more than half a point."""
    if one == other:
        return True
    if TEXT.findall(one) != TEXT.findall(other) or NUMBER.sub("0", one) != NUMBER.sub("0", other):
        return False
    pairs = zip(NUMBER.findall(one), NUMBER.findall(other), strict=True)
    return all(abs(float(a) - float(b)) <= MOVED for a, b in pairs)


@pytest.mark.slow
def test_the_pictures_are_current(tmp_path: Path) -> None:
    making = _making()
    making.draw(tmp_path)
    drawn = {path.name: path.read_text(encoding="utf-8") for path in tmp_path.iterdir()}
    assert (
        drawn.keys()
        == {path.name for path in FOLDER.iterdir()}
        == {f"{name}.svg" for name in making.PICTURES}
    )
    old = [name for name, new in drawn.items() if not same_drawing((FOLDER / name).read_text("utf-8"), new)]
    assert old == [], "run: python docs/make_pictures.py"


@pytest.mark.parametrize(
    ("other", "same"),
    [
        ('<path d="M 10.00 20.5"/><text>worse 1.62</text>', True),
        ('<path d="M 10.01 20.4"/><text>worse 1.62</text>', True),
        ('<path d="M 12.00 20.5"/><text>worse 1.62</text>', False),
        ('<path d="M 10.00 20.5"/><text>better 1.62</text>', False),
        ('<path d="M 10.00 20.5"/><text>worse 1.60</text>', False),
        ('<path d="M 10.00 20.5 30"/><text>worse 1.62</text>', False),
    ],
)
def test_another_drawing_would_be_noticed(other: str, same: bool) -> None:
    assert same_drawing('<path d="M 10.00 20.5"/><text>worse 1.62</text>', other) is same


def test_each_picture_is_shown_and_described() -> None:
    pages = [ROOT / "README.md", ROOT / "docs" / "gallery.md"]
    shown = [match for page in pages for match in SHOWN.finditer(page.read_text(encoding="utf-8"))]
    assert {match["name"] for match in shown} == {path.name for path in FOLDER.iterdir()}
    assert [match["name"] for match in shown if len(match["words"]) < 40] == []


def test_the_pictures_are_small_together() -> None:
    assert 0 < sum(path.stat().st_size for path in FOLDER.iterdir()) < LARGEST_TOGETHER


def _making() -> ModuleType:
    spec = importlib.util.spec_from_file_location("make_pictures", ROOT / "docs" / "make_pictures.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module
