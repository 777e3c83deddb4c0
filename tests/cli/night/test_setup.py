"""Set-ups from the command line: begun, corrected, ended, shown."""

from tests.cli.program import Program


def test_a_set_up_is_corrected_and_the_correction_undone(outside: Program) -> None:
    corrected = outside.document("setup", "edit", "Heron", "--start", "21:20", "--observer", "Bram Ostler")
    assert (corrected["setup"]["started"], corrected["setup"]["observer"]) == ("21:20", "Bram Ostler")
    assert corrected["remarks"] == ["2 entries of the set-up are now by Bram Ostler too."]
    outside.must("undo")
    assert outside.document("setup", "show")["observer"] == "Ines"


def test_a_beginning_after_the_first_arrival_is_refused_in_two_lines(outside: Program) -> None:
    answer = outside("setup", "edit", "--start", "21:36")
    assert (answer.code, answer.out, len(answer.error_lines)) == (2, "", 2)
    assert "its first entry is of 21:35" in answer.err
    assert outside("setup", "edit").code == 2


def test_the_hint_at_a_time_before_the_set_up_names_a_command_that_mends_it(outside: Program) -> None:
    outside.must("setup", "start", "Bracken")
    late = outside("sync", "Capella", "--mount", "Bracken", "--at", "20:00")
    assert late.code == 2
    assert "obslog setup edit --start TIME" in late.err
    outside.must("setup", "edit", "Bracken", "--start", "20:00")
    outside.must("sync", "Capella", "--mount", "Bracken", "--at", "20:00")


def test_a_set_up_is_ended_and_the_night_goes_on(outside: Program) -> None:
    assert outside.document("setup", "end", "Heron")["open"] is False
    assert outside("sync", "Vega").code == 1
    assert outside.document("night", "show")["open"] is True
    outside.must("undo")
    assert outside.document("setup", "show")["open"] is True


def test_what_is_shown_is_what_json_tells(outside: Program) -> None:
    shown, told = outside.must("setup", "show", "Heron").out, outside.document("setup", "show", "Heron")
    assert [a["target"] for a in told["arrivals"]] == ["Regulus", "Procyon"]
    assert all(a["target"] in shown and a["offset"] in shown for a in told["arrivals"])


def test_a_flip_is_said_and_shown(outside: Program) -> None:
    shown = outside.must("setup", "flip", "east", "--at", "21:39")
    assert "tube on the east side of the pier since 21:39" in shown.out
    assert outside.document("check", "Capella", "--at", "21:40")["arrival"]["pier_side"] == "east"
    page = outside.document("setup", "show")
    assert (page["pier_side"], page["pier_side_since"]) == ("east", "21:39")
    assert [a["pier_side"] for a in page["arrivals"]] == [None, None, "east"]
    assert outside("setup", "flip", "up").code == 2
