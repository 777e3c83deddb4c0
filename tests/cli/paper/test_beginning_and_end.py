"""How typing up a night begins and ends: what is said first, the site that is taken, and whether to save it."""

from tests.cli.conftest import Run
from tests.cli.paper.typist import LINES, PAGE, Type


def test_a_blank_site_is_the_usual_one_and_stands_on_the_page_by_its_name(
    at_keyboard: Type, run: Run
) -> None:
    assert run("site", "retire", "Kestrel Ridge").code == 0
    answer = at_keyboard("", "page", *PAGE[1:])
    assert "site: Mill Field (the only one)" in answer.err
    assert " 1  site: Mill Field" in answer.err


def test_where_no_site_is_the_usual_one_a_blank_asks_for_its_name(at_keyboard: Type) -> None:
    answer = at_keyboard("", "Mill Field", "page")
    assert 'No site is named. Give its name; those in use are "Kestrel Ridge", "Mill Field".' in answer.err
    assert " 1  site: Mill Field" in answer.err


def test_a_name_is_not_said_to_be_left_out_where_it_cannot_be(at_keyboard: Type) -> None:
    errors = at_keyboard("Nowhere", "Mill Field", "2026-03-02", "Nobody").err
    assert "There is no site named 'Nowhere'. On record: Kestrel Ridge, Mill Field.\n" in errors
    assert "There is no member named 'Nobody'. On record: Bram Ostler, Ines. Blank: not known." in errors


def test_whoever_begins_is_told_how_to_go_back_and_how_to_leave(at_keyboard: Type) -> None:
    assert "Ctrl-C stops, and the next time it goes on from there." in at_keyboard().err


def test_a_pipe_is_told_nothing_of_keys(type_up: Type) -> None:
    assert "Ctrl-C" not in type_up(*PAGE[:2]).err


def test_an_empty_page_is_said_to_be_empty(at_keyboard: Type) -> None:
    assert "There is no answer '2' on the page. Nothing is on it yet." in at_keyboard("drop 2").err


def test_a_draft_whose_last_answer_was_blank_is_told_so(at_keyboard: Type) -> None:
    at_keyboard(*PAGE[:2], "")
    assert "The last answer was blank." in at_keyboard("yes").err


def test_a_line_typed_where_it_is_asked_whether_to_save_is_no_answer(at_keyboard: Type) -> None:
    answer = at_keyboard(*PAGE, LINES[0], "", LINES[1], "back", LINES[1], "", "Yes")
    assert f"{LINES[1].casefold()!r} is no answer. One more line for the page? Then back first." in answer.err
    assert [arrival["target"] for arrival in answer.document["setup"]["arrivals"]] == ["Regulus", "Procyon"]


def test_a_blank_answer_to_whether_to_save_is_for_later(at_keyboard: Type) -> None:
    answer = at_keyboard(*PAGE, LINES[0], "", "", "yes")
    assert answer.code == 1
    assert "The night is not saved yet" in answer.err
