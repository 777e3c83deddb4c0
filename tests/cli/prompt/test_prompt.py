"""Lines from a file do the same as at a terminal: each is answered, what is refused is told with its number."""

import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from obslog.club.evening.verbs import VERBS
from obslog.grammar.lines import read_line
from tests.cli.answers.held import hold
from tests.cli.program import Answer, Program
from tests.cli.prompt.terminals import PROGRAM, ROOT

Piped = Callable[..., Answer]
BEGUN = ["night start mill with ines", "20:10 setup start heron, long tube, wide 25, ines"]
# A line of each verb, and what its answer says.
ANSWERED = {
    "20:12 pier west": "Tube on the west side of the pier from 20:12.  (Heron)",
    "20:50 sy regulus 3E2N pw": "1.  20:50  sync  Regulus  3.0E 2.0N  pier west  (Heron)",
    "ch procyon 1W": "2.  21:40  check  Procyon  1.0W 0.0N  pier west  (Heron)",
    "g m31 edge": "3.  21:40  goto  M 31  edge  pier west  (Heron)",
    "sa m81; oval": "seen M 81  Ines",
    "sus m82": "suspected M 82",
    "not-seen m51": "not seen M 51",
    "edit saw 3; nothing": "not seen M 51",
    "edit saw 3 remove": "Removed: ",
    "sn key summer time": "key-in: summer time (Heron, Ines, Mill Field)",
    "edit 3 in": "3.  21:40  goto  M 31  in  pier west  (Heron)",
    "u": "Undone: edit arrival 3",
    "redo": "Done again: edit arrival 3",
    "history most 3": "edit arrival 3",
    "ti power 12.6 12.1": "power: done, 12.6 12.1 (Heron, Ines, Mill Field)",
    "battery 12.6": "Lead battery",
    "sky sqm 20.9": "sky: sky-meter 20.9  (night of 2026-03-02 at Mill Field)",
    "eye stop": "Eyepiece from now on: Stop 20, true field 68.7",
    "fl": "Tube on the east side of the pier from 21:40.  (Heron)",
    "next": "Go-tos now land within ",
    "wher m13": "M 13, Great Cluster in Hercules at 21:40: ",
    "when m13": "M 13, Great Cluster in Hercules, night of 2026-03-02",
    "l": "Heron, set-up 1 of the night of 2026-03-02 at Mill Field (open)",
    "br": "Mill Field, night of 2026-03-02, 21:40",
    "checkl short": "Checklist: Heron at Mill Field, 2026-03-02 21:40, Ines",
    "pole": "Polaris at 21:40, 37' from the pole",
    "targ mess": "Targets at Mill Field, 21:40 to ",
    "note dew": "noted: dew  (night of 2026-03-02 at Mill Field)",
    "night": "2026-03-02 at Mill Field (open)",
    "setup": "Heron, set-up 1 of the night of 2026-03-02 at Mill Field (open)",
    "stocktake start ines": "A stocktake is open from 2026-03-02, counted by Ines.",
    "stocktake saw wide 25": "Wide 25: seen",
    "stocktake done": "Lines are no longer counted.",
    "quiet": "Only cautions are said now",
    "help sync": "Write: sync STAR [WHERE]",
}


def test_each_verb_is_answered(piped: Piped) -> None:
    lines = [*BEGUN, *ANSWERED, "quit", "sy vega"]
    answer = piped(lines)
    assert (answer.code, answer.err) == (0, "")
    place = 0
    for line, told in ANSWERED.items():
        place = answer.out.find(told, place)
        assert place >= 0, line
    told_of = {read_line(line, tuple(VERBS)).verb for line in lines}
    assert told_of == set(VERBS), "so that no verb is left out here"


def test_a_scanner_types_tags_and_the_stocktake_is_finished_by_an_exclamation_mark(
    piped: Piped, in_club: Program
) -> None:
    in_club.must("store", "note", "Heron", "--tag", "M-01", "--place", "shelf 2")
    first = piped(["stocktake start ines", "at shelf 2", "M-01", "T-999"])
    assert (first.code, first.err) == (0, "")
    assert first.out.splitlines()[2:] == [
        "You are at shelf 2.",
        "Heron (M-01): seen at shelf 2",
        "T-999: not on record; kept as it is.",
    ]
    later = piped(["wide 25", "done", "stocktake", "stocktake finish"])  # the next start goes on with it
    assert later.code == 1
    assert "Wide 25: seen elsewhere at shelf 2" in later.out
    assert "Stocktake from 2026-03-02, counted by Ines: 2 of 7 items seen." in later.out
    assert "end the line with !" in later.err
    assert "Finished: stocktake from 2026-03-02, 2 of 7 items seen." in piped(["stocktake finish !"]).out


def test_what_is_refused_is_told_with_its_number_and_the_rest_is_kept(piped: Piped, in_club: Program) -> None:
    answer = piped(
        [*BEGUN, "# first stars", "", "sy reguls 3E", "sy regulus 3E", "frobnicate", "g canopus in"]
    )
    assert answer.code == 1
    assert answer.error_lines == [
        "line 5: There is no star or object named 'reguls'.",
        "Did you mean Regulus or Seginus? To keep a name as it is written, end the line with !",
        "line 7: No line begins with 'frobnicate'.",
        "The verbs: help",
        answer.error_lines[4],
        answer.error_lines[5],
        "3 lines refused, the 3 others are kept.",
        "Mend and send only those: lines 5, 7, 8.",
    ]
    assert answer.error_lines[4].startswith("line 8: Canopus stood ")
    page = in_club.document("setup", "show")
    assert [(a["role"], a["target"], a["offset"]) for a in page["arrivals"]] == [
        ("sync", "Regulus", "3.0E 0.0N")
    ]


def test_an_exclamation_mark_is_sure(piped: Piped, in_club: Program) -> None:
    assert piped([*BEGUN, "g canopus in!", "g grandpa's lamp edge !"]).code == 0
    page = in_club.document("setup", "show")
    assert [a["target"] for a in page["arrivals"]] == ["Canopus", "grandpa's lamp"]


def test_json_is_one_document_of_all_lines(piped: Piped) -> None:
    answer = piped([*BEGUN, "sy regulus 3E", "sy reguls"], "--json")
    assert answer.code == 1
    hold(["prompt"], answer.document)
    night, setup, sync, refused = answer.document
    assert (night["line"], night["verb"], night["answer"]["site"]) == (1, "night", "Mill Field")
    assert setup["answer"]["mount"] == "Heron"
    assert sync["answer"]["arrival"]["offset_east_arcmin"] == 3
    assert (refused["line"], refused["answer"]) == (4, None)
    assert refused["refused"]["message"] == "There is no star or object named 'reguls'."


def test_what_was_set_holds_after_a_restart_and_not_in_the_next_setup(piped: Piped, in_club: Program) -> None:
    piped([*BEGUN, "20:40 pier w", "quiet"])
    piped(["20:50 sy regulus"])
    piped(["setup start heron", "g m81"])
    sides = [in_club.document("setup", "show", "--setup", n)["arrivals"][0]["pier_side"] for n in ("1", "2")]
    assert sides == ["west", None]
    kept = Path(in_club.environment["OBSLOG_DB"] + ".prompt.json")
    assert json.loads(kept.read_text())["quiet"] is True
    assert kept.stat().st_mode & 0o077 == 0


def test_a_night_that_ends_is_computed_ahead_like_by_its_command(piped: Piped, in_club: Program) -> None:
    assert piped([*BEGUN, "20:50 sy regulus 3E", "night end; fog"]).code == 0
    night = in_club.document("night", "show")
    assert (night["open"], night["note"]) == (False, "fog")


@pytest.mark.parametrize("lines", [[], ["", "# nothing"], ["quit"]])
def test_nothing_to_do_is_no_fault(piped: Piped, lines: list[str]) -> None:
    answer = piped(lines)
    assert (answer.code, answer.out, answer.err) == (0, "", "")


def test_bytes_that_are_no_text_spoil_their_own_line_alone(in_club: Program) -> None:
    in_club.must("night", "start", "Mill Field")
    ran = subprocess.run(
        [sys.executable, "-c", PROGRAM, "prompt"],
        input=b"note caf\xe9\nnote caf\xc3\xa9\n",
        env={**in_club.environment, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        check=False,
    )
    assert ran.returncode == 1
    assert b"line 1: The line contains characters that cannot be decoded." in ran.stderr
    assert in_club.document("night", "show")["note"] == "caf\u00e9"


def test_a_folder_where_nothing_can_be_kept_stops_no_line(
    piped: Piped, in_club: Program, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(_self: object, _settings: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("obslog.cli.prompt.kept.KeptSettings.write", full)
    answer = piped(BEGUN)
    assert answer.code == 0
    assert answer.error_lines[0].endswith("no space left on device.")
    assert in_club.document("setup", "show")["mount"] == "Heron"
