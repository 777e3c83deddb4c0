"""The club's routine at the keyboard: from its file to the sentences that members read."""

import re
from datetime import UTC, datetime
from pathlib import Path

import pytest

from tests.cli.program import Program

OWN = """\
[checklist]
steps = ["pack", "assemble", "key-in", "sync-stars", "verify", "finish", "dew-heaters"]

[step.dew-heaters]
title = "Unplug the dew heaters"
do = "Pull both plugs before the battery is lifted out."
why = "A heater that stays plugged in empties the battery on the way home."

[step.finish]
title = "Cap it and go home"

[conditions]
fine = "sound"
scuffed = "worn"
gone = "missing"

[loan]
days = 21
renewals = 1
agrees = ["I bring it back on a Thursday."]

[[task]]
of = "mount"
task = "regrease"
every_months = 12
every_nights = 30
do = "New grease on worm and wheel."
"""
LEFT_PLUGGED_IN = "heater left plugged in"


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "routine.toml"
    path.write_text(OWN, encoding="utf-8")
    return path


@pytest.fixture
def with_own(in_club: Program, file: Path) -> Program:
    """A club whose file is loaded."""
    in_club.must("rule", "load", str(file))
    return in_club


def nights(program: Program, snag: str, days: tuple[int, ...] = (1, 5, 9, 13, 17, 21)) -> None:
    """Evenings with Heron, on each of which the same step goes wrong."""
    for day in days:
        program.now = datetime(2026, 4, day, 20, tzinfo=UTC)
        program.must("night", "start", "Mill Field")
        program.must("setup", "start", "Heron", "--observer", "Ines")
        program.must("snag", "add", snag, LEFT_PLUGGED_IN)
        program.must("night", "end")


def test_a_step_of_the_clubs_own_whose_snags_move_it_to_the_top(with_own: Program) -> None:
    nights(with_own, "dew-heaters")
    shown = with_own.must("checklist", "Heron", "--site", "Mill Field").out
    first = shown[shown.index("Look first:") :].splitlines()[1].strip()
    assert first == f'!! Unplug the dew heaters: "{LEFT_PLUGGED_IN}" on 6 of the last 6 nights with Heron'
    assert " 7. Unplug the dew heaters\n" in shown
    assert "6 times in 6 set-ups" in shown
    brief = with_own.document("brief", "--mount", "Heron", "--site", "Mill Field")
    assert brief["mounts"][0]["look_first"][0]["step"] == "dew-heaters"


def test_a_step_that_was_left_out_is_told_of_with_what_went_wrong_at_it(with_own: Program) -> None:
    nights(with_own, "level")
    shown = with_own.must("checklist", "Heron", "--site", "Mill Field").out
    assert '!! Level the tripod (left out of the club\'s checklist): "heater left plugged in" on 6' in shown
    assert "! Level the tripod (left out of the club's checklist); Heron: 6 times in 6 set-ups" in shown
    assert ". Level the tripod" not in shown
    refused = with_own("checklist", "Heron", "--site", "Mill Field", "--tick", "level")
    assert refused.code == 2
    assert "no step level" in refused.err


def test_ticks_and_snags_of_the_clubs_own_step(with_own: Program) -> None:
    ticked = with_own.must(
        "checklist", "Heron", "--site", "Mill Field", "--tick", "dew-heaters", "--value", "both"
    )
    assert ticked.out.startswith("dew-heaters: done, both (Heron")
    assert "done: both" in with_own.must("checklist", "Heron", "--site", "Mill Field", "--short").out
    refused = with_own("snag", "add", "dew-heeters", "x", "--mount", "Heron")
    assert (refused.code, "Did you mean dew-heaters" in refused.err) == (2, True)
    with_own.must("snag", "add", "Dew-Heaters", "plug stuck", "--mount", "Heron")
    (snag,) = with_own.document("snag", "list")
    assert snag["step"] == "dew-heaters"
    (order,) = with_own.document("service", "orders")
    assert (order["step"], order["persons_step"]) == ("dew-heaters", True)
    with_own.must("service", "add", "Heron", "plug", "freed", "--for", "dew-heaters")
    assert with_own.document("snag", "list") == []


def test_the_file_is_looked_at_loaded_and_taken_back(in_club: Program, file: Path) -> None:
    looked = in_club.document("rule", "look", str(file))
    assert (looked["loaded"], looked["faults"]) == (False, [])
    assert in_club.document("rule", "routine")["own"] == []
    loaded = in_club.document("rule", "load", str(file))
    assert loaded["changes"] == looked["changes"]
    shown = in_club.document("rule", "routine")
    assert shown["own"] == ["checklist", "conditions", "loan", "task"]
    assert shown["steps"][6] == {
        "place": 7,
        "step": "dew-heaters",
        "title": "Unplug the dew heaters",
        "own": True,
    }
    assert (shown["loan_days"], shown["renewals"]) == (21, 1)
    in_club.must("undo")
    assert in_club.document("rule", "routine")["own"] == []
    assert "Nothing differs" in in_club.must("rule", "look", str(_written(in_club, file))).err


def _written(program: Program, beside: Path) -> Path:
    path = beside.with_name("written.toml")
    program.must("rule", "write", str(path))
    return path


def test_what_is_written_on_one_laptop_is_loaded_on_another(with_own: Program, file: Path) -> None:
    path = _written(with_own, file)
    before = with_own.document("rule", "routine")
    with_own.must("undo")
    with_own.must("rule", "load", str(path))
    assert with_own.document("rule", "routine") == before
    refused = with_own("rule", "write", str(path))
    assert (refused.code, "is there already" in refused.err) == (1, True)
    shipped = file.with_name("shipped.toml")
    with_own.must("rule", "write", str(shipped), "--as-shipped")
    with_own.must("rule", "load", str(shipped))
    assert with_own.document("rule", "routine")["own"] == []


def test_a_faulty_file_is_told_of_line_by_line_and_not_loaded(in_club: Program, file: Path) -> None:
    file.write_text(OWN.replace("days = 21", "days = 0").replace('"sound"', '"so so"'), encoding="utf-8")
    looked = in_club.must("rule", "look", str(file))
    assert [line.split(":")[0] for line in looked.out.splitlines()] == ["line 13", "line 18"]
    refused = in_club("rule", "load", str(file))
    assert refused.code == 2
    assert "line 13: 'fine' means 'so so'" in refused.err
    assert "2 faults, so nothing was changed" in refused.err
    assert in_club("rule", "load", str(file.with_name("none.toml"))).code == 2


def test_what_is_due_by_the_clubs_own_routine_is_said_with_its_evidence(with_own: Program) -> None:
    with_own.must("service", "add", "Heron", "greased", "--on", "2025-03-01", "--task", "regrease")
    words = "'regrease' of the club's routine is due since 2026-03-01, every 12 months or 30 nights"
    assert words in with_own.must("service", "due").out.replace("\n", " ")
    assert any(
        words in one["words"]
        for one in with_own.document("checklist", "Heron", "--site", "Mill Field")["notices"]
    )
    assert words in str(with_own.document("review", "Heron"))
    assert words in str(with_own.document("officer", "handover"))
    refused = with_own("service", "add", "Heron", "greased", "--task", "grease")
    assert (refused.code, "It has regrease" in refused.err) == (2, True)


def test_a_loan_in_the_clubs_words_and_on_its_terms(with_own: Program) -> None:
    lent = with_own.must("loan", "out", "Heron", "Ines", "--part", "Heron=scuffed: a chip")
    assert "due 2026-03-23" in lent.out  # 21 days after 2 March
    assert "agrees to the club's terms is not on record" in lent.err
    form = with_own.must("loan", "form", "Heron").out
    assert "- I bring it back on a Thursday." in form
    assert "I do not lend it on" not in form
    assert "scuffed: a chip" in form
    with_own.must("loan", "renew", "Heron")
    refused = with_own("loan", "renew", "Heron")
    assert (refused.code, "--beyond-terms" in refused.err) == (1, True)
    with_own.must("loan", "renew", "Heron", "--beyond-terms")
    refused = with_own("loan", "back", "Heron", "--part", "Heron=worn")
    assert (refused.code, "fine, scuffed, gone" in refused.err) == (2, True)
    assert "scuffed -> fine" in with_own.must("loan", "back", "Heron", "--all-good").out


def test_the_sheets_have_the_clubs_steps(with_own: Program, tmp_path: Path) -> None:
    checklist, night = tmp_path / "checklist.html", tmp_path / "night.html"
    with_own.must("sheet", "checklist", "Heron", "--site", "Mill Field", "--out", str(checklist))
    assert "7. Unplug the dew heaters [dew-heaters]" in checklist.read_text(encoding="utf-8")
    with_own.must("sheet", "night", "--out", str(night))
    assert "sync-stars, verify, finish, dew-heaters." in night.read_text(encoding="utf-8")


def test_markup_in_the_file_stays_text_on_screens_sheets_and_pages(in_club: Program, file: Path) -> None:
    title = "[red]<script>alert(1)</script>{{7*7}}"
    file.write_text(OWN.replace("Unplug the dew heaters", title), encoding="utf-8")
    in_club.must("rule", "load", str(file))
    nights(in_club, "dew-heaters")
    assert title in in_club.must("checklist", "Heron", "--site", "Mill Field").out
    sheet, page = file.with_name("sheet.html"), file.with_name("page.html")
    in_club.must("sheet", "checklist", "Heron", "--site", "Mill Field", "--out", str(sheet))
    in_club.must("page", "mount", "Heron", "--out", str(page))
    for written in (sheet, page):
        text = written.read_text(encoding="utf-8")
        assert "<script>alert" not in text
        assert "[red]&lt;script&gt;alert(1)&lt;/script&gt;{{7*7}}" in text


PAGE = Path(__file__).resolve().parents[2] / "docs" / "club-routine.md"


@pytest.fixture
def example(tmp_path: Path) -> Path:
    """The whole file that the page for officers shows."""
    (block,) = re.findall(r"^```toml\n(.*?)^```", PAGE.read_text(encoding="utf-8"), re.DOTALL | re.MULTILINE)
    path = tmp_path / "example.toml"
    path.write_text(block, encoding="utf-8")
    return path


def test_the_example_of_the_page_can_be_loaded_and_does_what_the_page_says(
    in_club: Program, example: Path
) -> None:
    looked = in_club.document("rule", "look", str(example))
    assert looked["faults"] == []
    told = {(one["part"], one["name"]): one["change"] for one in looked["changes"]}
    assert told["checklist", "dew-heaters"] == "new"
    assert told["checklist", "pack"] == "changed"
    assert told["checklist", "finder"] == "moved"
    assert told["task", "tube, collimation"] == "taken away"
    in_club.must("rule", "load", str(example))
    nights(in_club, "dew-heaters")
    sentence = f'!! Unplug the dew heaters: "{LEFT_PLUGGED_IN}" on 6 of the last 6 nights with Heron'
    assert sentence in in_club.must("checklist", "Heron", "--site", "Mill Field").out
    in_club.must("service", "add", "Heron", "greased", "--on", "2025-03-01", "--task", "regrease")
    due = in_club.document("service", "due")
    page = PAGE.read_text(encoding="utf-8")
    assert sentence in page
    words = next(one["words"] for one in due if one["name"] == "Heron")
    assert words.split(", and used")[0] in page


def test_the_example_leaves_no_step_out(in_club: Program, example: Path) -> None:
    in_club.must("rule", "load", str(example))
    steps = in_club.document("rule", "routine")["steps"]
    assert [step["step"] for step in steps if step["place"] is None] == []
    assert len(steps) == 18
