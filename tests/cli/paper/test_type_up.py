"""Typing up a night from paper: asked in order, checked as typed, read back, resumed after an interruption."""

import io
import json
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from obslog.cli.paper.dialogue import _in_a_line
from obslog.club.paper.page import read_page_line
from obslog.errors import ObslogError
from tests.cli.answers.held import hold
from tests.cli.conftest import Run
from tests.cli.paper.typist import LINES, MORNING, PAGE, Type
from tests.cli.program import Program


def test_a_night_is_typed_up_as_it_was(type_up: Type, run: Run) -> None:
    saved = type_up(*PAGE, *LINES, "", "yes").document
    hold(["night", "type-up"], saved)
    assert (saved["night"]["night"], saved["night"]["open"]) == ("2026-03-02", False)
    assert saved["night"]["present"] == ["Bram Ostler", "Ines"]  # in order of name
    assert [a["target"] for a in saved["setup"]["arrivals"]] == ["Regulus", "Procyon"]
    seen = run("observation", "list", "--json", at=MORNING).document
    assert [(o["at_utc"], o["sighting"]) for o in seen] == [
        ("2026-03-02T21:05:00Z", "seen"),
        ("2026-03-03T00:20:00Z", "not seen"),  # after midnight it is the next date, and the same night
    ]


def test_what_was_typed_up_is_computed_ahead(type_up: Type, in_club: Program) -> None:
    type_up(*PAGE, *LINES, "", "yes")
    with closing(sqlite3.connect(in_club.environment["OBSLOG_DB"])) as file:
        kinds = {kind for (kind,) in file.execute("SELECT kind FROM kept_results")}
    assert {"landings", "fit", "first stars"} <= kinds


def test_it_is_one_act(type_up: Type, run: Run) -> None:
    assert type_up(*PAGE, *LINES, "", "yes").code == 0
    assert run("undo", at=MORNING).code == 0
    assert run("night", "list", "--json", at=MORNING).document == []


def test_it_is_read_back_and_not_saved_without_a_yes(type_up: Type, run: Run) -> None:
    answer = type_up(*PAGE, *LINES, "", "no")
    assert answer.code == 1
    assert "21:05  seen M 81" in answer.err
    assert run("night", "list", "--json", at=MORNING).document == []


def test_what_was_seen_and_went_wrong_is_not_read_back_as_of_the_last_set_up(type_up: Type) -> None:
    """They stand in order of time behind all set-ups, and stood there as if the last mount had shown them."""
    answer = type_up(*PAGE, *LINES, "0:30 snag cables trod on; back at once", "", "no")
    lines = answer.err.splitlines()
    seen = lines.index("What was seen, by whom")
    assert lines[seen - 1] == "  20:40  check Procyon  3.0W 2.0N"
    assert [line.split(",")[0] for line in lines[seen + 1 : seen + 3]] == [
        "  21:05  seen M 81", "  00:20  not seen M 101",
    ]  # fmt: skip
    assert lines[seen + 3 : seen + 5] == ["What went wrong", "  cables (Heron): trod on; back at once"]


def test_a_slip_is_questioned_at_once_and_asked_again(at_keyboard: Type) -> None:
    answer = at_keyboard(
        "Mil Field", "Mill Field", "2026-13-02", *PAGE[1:3], "2", *PAGE[3:],
        "21:05 looked M 81", "20:00 saw Antares", "20:00 saw Antares; low!", "19:50 saw M 42; bright", "", "yes",
    )  # fmt: skip
    assert answer.code == 0, answer.err
    for words in (
        "The date '2026-13-02'",
        "has no scale",
        "No line begins with 'looked'",
        "below the horizon",
        "end the line with !",
        "19:50 is before",
    ):
        assert words in answer.err
    assert [o["target"] for o in answer.document["observations"]] == ["M 42", "Antares"]


def test_through_a_pipe_all_bad_lines_are_told_and_nothing_is_saved(type_up: Type, run: Run) -> None:
    answer = type_up(*PAGE, LINES[0], "21:05 looked M 81", LINES[1], "20:00 saw Antares", "", "yes")
    assert answer.code == 2
    assert "Nothing was saved: 2 answers cannot be taken." in answer.err
    assert "answer 12, '21:05 looked M 81': No line begins with 'looked'." in answer.err
    assert "answer 14, '20:00 saw Antares': Antares stood" in answer.err
    assert run("night", "list", "--json", at=MORNING).document == []
    assert type_up(*PAGE, *LINES, "", "yes").code == 0  # no draft is in the way


def test_through_a_pipe_a_bad_heading_ends_it(type_up: Type) -> None:
    answer = type_up("Mell Field", *PAGE[1:], *LINES, "", "yes")
    assert answer.code == 2
    assert "answer 1, 'Mell Field': There is no site named 'Mell Field'." in answer.err


def test_the_page_so_far_is_shown_with_numbers(at_keyboard: Type) -> None:
    answer = at_keyboard(*PAGE, LINES[0], "page", "", "yes")
    assert " 1  site: Mill Field" in answer.err
    assert "10  set up at: 20:10" in answer.err
    assert "11  20:31 sync Regulus 12E 9S" in answer.err
    assert answer.code == 0


def test_one_can_go_back_to_the_answer_before(at_keyboard: Type) -> None:
    answer = at_keyboard(*PAGE[:8], "Bram Ostler", "back", "Ines", PAGE[9], LINES[0], "", "yes")
    assert answer.document["setup"]["observer"] == "Ines"


def test_any_answer_and_any_line_is_changed(at_keyboard: Type) -> None:
    answer = at_keyboard(
        *PAGE, *LINES, "change 2", "2026-03-01", "change 11", "20:32 sync Regulus 2E", "drop 13", "", "yes"
    )
    assert answer.document["night"]["night"] == "2026-03-01"
    assert [(a["at"], a["offset"]) for a in answer.document["setup"]["arrivals"]] == [
        ("20:32", "2.0E 0.0N"),
        ("20:40", "3.0W 2.0N"),
    ]
    assert [o["target"] for o in answer.document["observations"]] == ["M 101"]


@pytest.mark.parametrize("answers", [("Yesterday",), ("2026-02-28", "change 2", "yesterday")])
def test_yesterday_is_kept_as_its_date_and_means_the_same_the_day_after(
    at_keyboard: Type, sqlite_path: Path, answers: tuple[str, ...]
) -> None:
    interrupted = at_keyboard(PAGE[0], *answers)
    assert interrupted.code == 1
    draft = sqlite_path.with_name(f"{sqlite_path.name}.type-up.json").read_text()
    assert json.loads(draft)[1] == ["night", "2026-03-02"]


def test_a_change_that_does_not_fit_is_asked_again(at_keyboard: Type) -> None:
    answer = at_keyboard(*PAGE, *LINES, "change 9", "Inez", "Bram Ostler", "", "yes")
    assert "There is no member named 'Inez'" in answer.err
    assert answer.document["setup"]["observer"] == "Bram Ostler"
    assert len(answer.document["setup"]["arrivals"]) == 2


def test_a_mount_taken_away_and_named_again_is_asked_about(at_keyboard: Type) -> None:
    answer = at_keyboard(
        *PAGE,
        "21:05 saw M 81",
        "change 6",
        "",
        "change 6",
        "Heron",
        "Long tube",
        "Wide 25",
        "20:10",
        "",
        "yes",
    )
    assert answer.code == 0, answer.err
    setup = answer.document["setup"]
    assert (setup["tube"], setup["observer"], setup["started"]) == ("Long tube", "Ines", "20:10")


@pytest.mark.parametrize("word", ["change 99", "drop 99"])
def test_a_number_that_is_not_there_is_said(at_keyboard: Type, word: str) -> None:
    answer = at_keyboard(*PAGE, *LINES, word, "", "yes")
    assert "There is no answer '99' on the page." in answer.err
    assert answer.code == 0


def test_what_every_page_has_is_not_dropped(at_keyboard: Type) -> None:
    answer = at_keyboard(*PAGE, *LINES, "drop 1", "", "yes")
    assert "The site is asked for on every page and cannot be dropped." in answer.err
    assert answer.code == 0


def test_another_set_up_is_asked_about_and_dropped_whole(at_keyboard: Type) -> None:
    other = ("setup", "Heron", "", "", "Bram Ostler", "22:00")
    answer = at_keyboard(*PAGE, LINES[0], *other, "22:10 check Procyon 1E", "", "yes")
    assert [(s["setup"], s["observer"]) for s in answer.document["setups"]] == [
        (1, "Ines"),
        (2, "Bram Ostler"),
    ]
    assert at_keyboard(*PAGE, LINES[0], *other, "drop 12", "", "no").code == 1


def test_after_the_read_back_one_can_go_on_typing(at_keyboard: Type) -> None:
    answer = at_keyboard(*PAGE, LINES[0], "", "back", LINES[1], "", "yes")
    assert len(answer.document["setup"]["arrivals"]) == 2


def test_an_empty_page_is_not_saved(at_keyboard: Type, run: Run) -> None:
    answer = at_keyboard("Mill Field", "2026-03-02", "", "", "", "", "", "")
    assert "Nothing is on the page" in answer.err
    assert answer.code == 1
    assert run("night", "list", "--json", at=MORNING).document == []


def test_a_misspelt_observer_is_asked_about_at_once(at_keyboard: Type) -> None:
    answer = at_keyboard(
        "Mill Field", "2026-03-02", "", "", "", "", "Inez", "Ines", "20:00 saw M 45", "", "yes"
    )
    assert "There is no member named 'Inez'. On record: Bram Ostler, Ines. Blank: not known." in answer.err
    assert answer.document["observations"][0]["observer"] == "Ines"


def test_an_interrupted_dialogue_goes_on_where_it_was(type_up: Type, sqlite_path: Path) -> None:
    interrupted = type_up(*PAGE, *LINES[:2])
    assert interrupted.code == 1
    draft = sqlite_path.with_name(f"{sqlite_path.name}.type-up.json")
    assert draft.exists()
    saved = type_up("yes", *LINES[2:], "", "yes").document
    assert len(saved["setup"]["arrivals"]) == 2
    assert len(saved["observations"]) == 2
    assert not draft.exists()


def test_where_one_was_is_said_when_it_goes_on(type_up: Type) -> None:
    type_up("Mill Field")
    assert "An unfinished night with 1 answer is here: Mill Field." in type_up("no").err
    type_up(*PAGE, *LINES[:3])
    assert f"The last answer was '{LINES[2]}'." in type_up("yes").err


def test_a_night_that_is_read_back_may_wait_for_later(type_up: Type, run: Run) -> None:
    answer = type_up(*PAGE, *LINES, "", "")
    assert answer.code == 1
    assert answer.err.splitlines()[-1] == "Go on where you were: obslog night type-up"
    assert run("night", "list", "--json", at=MORNING).document == []
    assert len(type_up("yes", "yes").document["observations"]) == 2


class Stopped(io.StringIO):
    """A keyboard at which somebody stops the program after some lines."""

    def readline(self, size: int | None = -1, /) -> str:  # type: ignore[override]  # of two base classes of StringIO
        line = super().readline(-1 if size is None else size)
        if not line:
            raise KeyboardInterrupt
        return line


class Waiting(io.StringIO):
    """A keyboard at which, while a line is waited for, another program writes to the database."""

    path: Path

    def readline(self, size: int | None = -1, /) -> str:  # type: ignore[override]  # of two base classes of StringIO
        with closing(sqlite3.connect(self.path, timeout=0)) as other:
            other.execute("BEGIN IMMEDIATE")
            other.rollback()
        return super().readline(-1 if size is None else size)


def test_nobody_has_to_wait_while_somebody_types(
    run: Run, sqlite_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    keyboard = Waiting("".join(f"{line}\n" for line in (*PAGE, *LINES, "", "yes")))
    keyboard.path = sqlite_path
    monkeypatch.setattr("sys.stdin", keyboard)
    assert run("night", "type-up", at=MORNING).code == 0


def test_stopped_by_hand_it_says_that_the_answers_are_kept(
    type_up: Type, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin", Stopped("".join(f"{line}\n" for line in PAGE)))
    answer = run("night", "type-up", at=MORNING)
    assert answer.code == 130
    assert "The answers so far are kept. Go on where you were: obslog night type-up" in answer.err
    assert type_up("yes", *LINES, "", "yes").code == 0


def test_a_draft_may_be_dropped(type_up: Type) -> None:
    assert type_up(*PAGE[:3]).code == 1
    saved = type_up("no", *PAGE, LINES[0], "", "yes").document
    assert saved["observations"] == []


@pytest.mark.parametrize("answer", ["", "what"])
def test_a_draft_is_kept_until_yes_or_no_is_said(type_up: Type, answer: str) -> None:
    assert type_up(*PAGE, *LINES).code == 1
    assert type_up(answer).code == 1
    assert len(type_up(answer, "yes", "", "yes").document["observations"]) == 2


def test_an_arrival_below_the_horizon_is_questioned_and_taken_with_an_exclamation_mark(
    at_keyboard: Type,
) -> None:
    """By hand: at 20:00 in March the hour angle of Altair (RA 19 h 51 min) is about 11 h, at +9 deg far below 52 N."""
    answer = at_keyboard(*PAGE, "20:00 sync Altair", "20:00 sync Altair !", "", "yes")
    assert answer.code == 0
    assert "below the horizon" in answer.err
    assert "end the line with !" in answer.err


def test_a_night_by_eye_alone(at_keyboard: Type) -> None:
    saved = at_keyboard(
        "Mill Field", "2026-03-02", "", "", "", "", "Ines", "20:00 sync Vega", "20:00 saw M 45", "", "yes"
    )
    assert "belongs to a mount" in saved.err
    assert saved.document["setup"] is None
    assert saved.document["observations"][0]["observer"] == "Ines"


def test_what_the_paper_does_not_tell_is_unknown(type_up: Type, run: Run) -> None:
    assert type_up(*PAGE[:9], "", *LINES[:1], "", "yes").code == 0
    assert run("setup", "show", "--json", at=MORNING).document["started"] == ""


@pytest.mark.parametrize("text", ["", "21:05", "21:05 saw", "saw M 81", "21:05 ate M 81"])
def test_what_is_no_line_is_refused(at_keyboard: Type, text: str) -> None:
    with pytest.raises(ObslogError) as refused:
        read_page_line(text)
    if text:  # a blank line ends the page
        answer = at_keyboard(*PAGE, text, LINES[0], "", "yes")
        assert refused.value.message in answer.err
        assert len(answer.document["setup"]["arrivals"]) == 1
        assert answer.document["observations"] == []


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("21:05 check Castor windy", "a remark stands behind a semicolon."),
        ("21:04 check Castor at 21:05 3E", "Put the time in front of the line: 21:05."),
    ],
)
def test_hints_are_those_of_a_line(at_keyboard: Type, text: str, hint: str) -> None:
    said = at_keyboard(*PAGE, text, "", "no").err
    assert hint in " ".join(said.split())
    assert "--" not in said[said.index("Castor") :]


@pytest.mark.parametrize("mount", ["Heron", '"Old Grumble"'])
def test_a_set_up_is_put_right_by_the_number_of_its_answer(mount: str) -> None:
    hint = f"Give a later time with --at, or correct the set-up: obslog setup edit {mount} --start TIME"
    assert _in_a_line(hint) == "Give a later time, or correct the set-up: change NUMBER"


def test_how_lines_go_is_told_once_and_not_with_each(at_keyboard: Type) -> None:
    answer = at_keyboard(*PAGE, *LINES[:2], "back", LINES[1], "", "yes")
    assert answer.err.count("Now a line for each act") == 1
