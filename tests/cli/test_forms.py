"""Sheets from the command line: in the words of typing up, and with what is on record."""

import re
import shlex
from pathlib import Path

import pytest

from obslog.cli.paper.dialogue import Question
from tests.cli.conftest import Run
from tests.cli.program import Program
from tests.report.forms.drawn import (
    outside_the_page,
    pages_of,
    stand_in_order,
    text_of,
    texts_over_texts,
    texts_over_their_boxes,
)

TYPED = [
    "Mill Field",
    "2026-03-02",
    "Ines",
    "antoniadi 2",
    "",
    "Heron",
    "Long tube",
    "Wide 25",
    "Ines",
    "20:10",
]
SHEETS = {
    "night": ["night", "--site", "Mill Field", "-m", "Heron", "-m", "Thistle", "--on", "2026-03-02"],
    "blank": ["night", "--setups", "2"],
    "checklist": ["checklist", "Heron", "--site", "Mill Field", "--at", "2026-03-02"],
    "loan": ["loan", "Evening kit", "--officer"],
    "stocktake": ["stocktake", "--officer"],
    "pointing-run": ["pointing-run", "Heron", "--site", "Mill Field", "--at", "2026-03-02"],
}


@pytest.fixture
def lending(in_club: Program) -> Program:
    """The club, with a kit that Ines has."""
    in_club.must("kit", "add", "Evening kit", "--part", "Heron", "--part", "Long tube", "--part", "dust cap")
    in_club.must("loan", "out", "Evening kit", "Ines", "--part", "Long tube=worn: a scratch")
    return in_club


def drawn(program: Program, path: Path, *words: str) -> bytes:
    program.must("sheet", *words, "--out", str(path))
    return path.read_bytes()


class Recorder:
    """Somebody who types these lines, and remembers what was asked."""

    interactive = True

    def __init__(self, lines: list[str]) -> None:
        self._lines, self.asked = list(lines), list[str]()

    def read(self, question: Question, begun: str = "") -> str:
        if not self._lines:
            raise EOFError
        self.asked.append(question.words)
        return self._lines.pop(0)


def test_the_sheet_asks_in_the_order_and_words_of_typing_up(
    run: Run, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    lines = [*TYPED, "20:31 sync Regulus", "setup", "Thistle", "", "", "", "", "21:00 saw M 81", "", "later"]
    reader = Recorder(lines)
    monkeypatch.setattr("obslog.cli.paper.reading.reader_for", lambda _state, _database: reader)
    run("night", "type-up")
    path = tmp_path / "night.pdf"
    assert run("sheet", "night", "--setups", "2", "--out", str(path)).code == 0
    asked = [words.strip().removesuffix(":") for words in reader.asked if words.strip() != "Line:"][:15]
    assert len(asked) == 15, "five of the night, five of each set-up"
    text = text_of(path.read_bytes())
    sky = next(words for words in asked if words.startswith("Sky"))
    label, _, hint = sky.partition(" (")
    said = f"{label} {hint[0].upper()}{hint[1:].removesuffix(')')}."  # above the boxes of the scales, as a sentence
    wanted = [said if words == sky else words for words in asked]
    wanted = [words.replace(", or yesterday)", ")") for words in wanted]  # paper is read on another day
    wanted = [*wanted[:10], "Line: one for each act", *wanted[10:], "Line: one for each act"]
    for words in wanted:
        assert words in text, words
    assert stand_in_order(wanted, text)


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("sheet", SHEETS)
def test_nothing_on_a_sheet_of_the_club_lies_over_anything_else(
    lending: Program, tmp_path: Path, sheet: str, paper: str
) -> None:
    content = drawn(lending, tmp_path / "sheet.pdf", *SHEETS[sheet], "--paper", paper)
    for number, page in enumerate(pages_of(content), start=1):
        assert outside_the_page(page) == []
        assert texts_over_texts(page) == []
        assert texts_over_their_boxes(page) == []
        assert any(text.text.startswith(f"page {number} of ") for text in page.texts)


@pytest.mark.parametrize("sheet", SHEETS)
def test_the_same_command_gives_the_same_bytes(lending: Program, tmp_path: Path, sheet: str) -> None:
    for name in ("a.pdf", "a.html"):
        first = drawn(lending, tmp_path / name, *SHEETS[sheet])
        assert drawn(lending, tmp_path / f"again-{name}", *SHEETS[sheet]) == first


def test_the_stars_on_the_night_sheet_are_those_of_the_brief(in_club: Program, tmp_path: Path) -> None:
    in_club.must("site", "show", "Mill Field")
    words = ("--site", "Mill Field", "--mount", "Heron")
    brief = in_club.document("brief", *words, "--at", "2026-03-02 21:00")
    text = text_of(drawn(in_club, tmp_path / "n.pdf", "night", *words, "--on", "2026-03-02"))
    stars = brief["mounts"][0]["stars"]
    assert len(stars) == 3
    assert stand_in_order([star["name"] for star in stars], text)
    for star in stars:
        assert f"{star['name']} {star['magnitude']:.1f} 21:00 {star['alt_deg']:.0f}°" in text
    assert stand_in_order([target["title"] for target in brief["targets"]], text)


def test_the_checklist_is_that_of_the_command(in_club: Program, tmp_path: Path) -> None:
    words = ("checklist", "Heron", "--site", "Mill Field", "--at", "2026-03-02")
    steps = in_club.document(*words)["steps"]
    text = text_of(drawn(in_club, tmp_path / "c.pdf", *words))
    assert stand_in_order([f"{step['order']}. {step['title']} [{step['step']}]" for step in steps], text)
    for step in steps:
        for value in step["values"]:
            assert " ".join(value.split()) in text.replace("> ", "")


def test_what_was_ticked_on_paper_is_typed_up_as_the_sheet_says(in_club: Program, tmp_path: Path) -> None:
    evening = ("checklist", "Heron", "--site", "Mill Field", "--at", "2026-03-01")
    text = text_of(drawn(in_club, tmp_path / "c.pdf", *evening))
    (said,) = re.findall(r"Typed up as: obslog (.+?), with (--value) .+? and with (--wrong)", text)
    line, value, wrong = said
    words = shlex.split(line.replace("TIME", "20:10").replace("STEP", "power"))
    assert in_club.document(*words, value, "12.6 12.1")["value"] == "12.6 12.1"
    ticked = in_club.document(*words, wrong)
    assert (ticked["step"], ticked["went_well"], ticked["at_utc"]) == ("power", False, "2026-03-02T20:10:00Z")


def test_everything_in_the_store_is_on_the_sheet_of_a_stocktake(lending: Program, tmp_path: Path) -> None:
    text = text_of(drawn(lending, tmp_path / "s.pdf", "stocktake"))
    items = [line for line in lending.document("store", "list")["items"] if line["kind"] != "kit"]
    assert len(items) >= 7
    for item in items:
        assert text.count(f"{item['name']} (") == 1, item["name"]
    assert "Ines" not in text
    assert "with Ines" in text_of(drawn(lending, tmp_path / "o.pdf", "stocktake", "--officer"))


def test_the_form_of_a_loan_has_its_parts_and_names_the_borrower_to_the_officer_alone(
    lending: Program, tmp_path: Path
) -> None:
    text = text_of(drawn(lending, tmp_path / "l.pdf", "loan", "Evening kit"))
    page = lending.document("loan", "show", "Evening kit")
    assert stand_in_order([part["part"] for part in page["parts"]], text)
    assert page["loan"]["reference"] in text
    assert "worn: a scratch" in text
    assert "Ines" not in text
    assert "Ines" in text_of(drawn(lending, tmp_path / "o.pdf", "loan", "Evening kit", "--officer"))


def test_what_is_written_on_a_run_goes_back_in_as_an_arrivals_sheet(in_club: Program, tmp_path: Path) -> None:
    words = ["pointing-run", "Heron", "--site", "Mill Field", "--at", "2026-03-01", "--stars", "6"]
    text = text_of(drawn(in_club, tmp_path / "r.pdf", *words))
    rows = re.findall(r"\d+ (sync|check) (.+?) \d+° up, [\w-]+, at (\d\d:\d\d)( east| west|)", text)
    assert len(rows) == 6
    head = "night,site,mount,local,role,target,pier_side,offset_east_arcmin,offset_north_arcmin,landing"
    lines = [
        f"2026-03-01,Mill Field,Heron,{at},{role},{star},{side.strip()},,,in" for role, star, at, side in rows
    ]
    sheet = tmp_path / "run.csv"
    sheet.write_text("\n".join([head, *lines]) + "\n", encoding="utf-8")
    assert "6 arrivals added" in in_club.must("import", "arrivals", str(sheet)).out


def test_what_the_star_list_needs_is_told_where_a_part_of_it_is_given(
    in_club: Program, tmp_path: Path
) -> None:
    out = ("--out", str(tmp_path / "n.pdf"))
    assert in_club.must("sheet", "night", *out).err == ""
    assert "--site, --mount and --on" in in_club.must("sheet", "night", "-m", "Heron", *out).err
    whole = ("-m", "Heron", "--site", "Mill Field", "--at", "20:00")
    assert in_club.must("sheet", "night", *whole, *out).err == ""


def test_a_page_is_written_where_the_name_ends_in_html(in_club: Program, tmp_path: Path) -> None:
    path = tmp_path / "n.html"
    written = in_club.document("sheet", "night", "--out", str(path))
    assert written == {"file": str(path), "pages": None, "signs_replaced": 0}
    assert path.read_text(encoding="utf-8").startswith("<!DOCTYPE html>")


def test_signs_that_the_font_does_not_have_are_told(in_club: Program, tmp_path: Path) -> None:
    in_club.must("mount", "add", "Big 🔭", "--type", "fork", "--controller", "shift")
    answer = in_club.must("sheet", "night", "-m", "Big 🔭", "--out", str(tmp_path / "n.pdf"))
    of_the_set_up_and_where_it_goes_on = 2
    assert f"{of_the_set_up_and_where_it_goes_on} characters are not in the font of the PDF" in answer.err


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["night", "--out", "n.doc"], "is not the name of a sheet"),
        (["night", "--out", "nowhere/n.pdf"], "nowhere"),
        (["night", "--out", "n.pdf", "-m", "Nobody"], "Nobody"),
        (["night", "--out", "n.pdf", "--on", "2026-13-01"], "2026-13-01"),
        (["night"], "--out"),
        (["pointing-run", "Heron", "--site", "Mill Field", "--stars", "99", "--out", "n.pdf"], "99"),
        (["loan", "Evening kit", "--out", "n.pdf"], "Evening kit"),
    ],
)
def test_what_cannot_be_done_is_told_in_a_line_and_nothing_is_written(
    in_club: Program, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: list[str], told: str
) -> None:
    monkeypatch.chdir(tmp_path)
    answer = in_club("sheet", *words)
    assert answer.code != 0
    assert told in answer.err
    assert len(answer.error_lines) <= 2
    assert [path.name for path in tmp_path.iterdir() if path.name.startswith("n")] == []


def test_another_file_is_not_written_over(in_club: Program, tmp_path: Path) -> None:
    path = tmp_path / "mine.pdf"
    path.write_text("my notes")
    assert in_club("sheet", "night", "--out", str(path)).code == 1
    assert path.read_text() == "my notes"
    in_club.must("sheet", "night", "--out", str(path), "--overwrite")
    assert path.read_bytes().startswith(b"%PDF")
