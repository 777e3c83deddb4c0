"""A member who leaves is asked about first, for it cannot be undone."""

import io
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from obslog.cli.privacy.leaving import MOST_MENTIONS, show_leaving
from obslog.club.privacy.leaving_members import Leaving, Mention
from tests.cli.program import Program, Terminal
from tests.cli.screens import Shown, screens, shown_by


def at_the_keyboard(monkeypatch: pytest.MonkeyPatch, typed: str) -> None:
    keyboard = Terminal(typed)
    monkeypatch.setattr("sys.stdin", keyboard)


def test_where_nobody_can_be_asked_it_is_refused(in_club: Program, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO("yes\n"))
    answer = in_club("member", "leave", "Ines")
    assert answer.code == 2
    assert "--yes" in answer.error_lines[-1]
    in_club.must("member", "show", "Ines")


@pytest.mark.parametrize("typed", ["no\n", "\n", "", "yesterday\n"])
def test_anything_but_yes_changes_nothing(
    in_club: Program, monkeypatch: pytest.MonkeyPatch, typed: str
) -> None:
    at_the_keyboard(monkeypatch, typed)
    answer = in_club("member", "leave", "Ines")
    assert answer.code == 1
    assert "Nothing was changed." in answer.err
    in_club.must("member", "show", "Ines")


def test_yes_does_it_after_saying_what_will_be_done(
    in_club: Program, monkeypatch: pytest.MonkeyPatch
) -> None:
    in_club.must("member", "contact", "Ines", "--phone", "01632 960 123")
    at_the_keyboard(monkeypatch, "yes\n")
    answer = in_club("member", "leave", "Ines")
    assert answer.code == 0
    assert "contact would be deleted" in answer.err
    assert in_club("member", "show", "Ines").code == 2


def test_looking_asks_nothing(in_club: Program, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO(""))
    assert in_club.document("member", "leave", "Ines", "--look")["done"] is False


COLUMNS = ("where", "reference", "field", "names", "replaced", "text")


def a_mention(n: int, **changed: Any) -> Mention:
    values: dict[str, Any] = {
        "kind": "snags", "reference": f"ref{n}", "field": "text", "text": f"Ines said {n}", "whole_name": True,
        "replaced": False,
    }  # fmt: skip
    return Mention(**(values | changed))


def a_leaving(**changed: Any) -> Leaving:
    values: dict[str, Any] = {
        "name": "Former member 3", "done": True, "contact_deleted": False, "no_longer_waits_for": [], "mentions": [],
        "acts": 5, "wiped": True, "copies": [],
    }  # fmt: skip
    return Leaving(**(values | changed))


def leaving_shown(left: Leaving) -> Iterator[Shown]:
    return shown_by(lambda screen: show_leaving(screen, left))


UNDONE = "The history holds neither the old name nor the contact, so this cannot be undone."
ELSEWHERE = "Backups, exported sheets, calendars and printed forms made before still hold the old name."


def test_what_was_done_is_told_with_what_remains_and_no_more() -> None:
    for shown in leaving_shown(a_leaving()):
        assert shown.words == (
            f"Their name is Former member 3 now; records are kept under it. {UNDONE} {ELSEWHERE}"
        )
    for wiped, told in (
        (False, "Another program has the file open: remnants stay in its unused pages for a while."),
        (None, "The server keeps old versions of rows until it has vacuumed; its own backups stay."),
    ):
        for shown in leaving_shown(a_leaving(wiped=wiped)):
            assert shown.words.endswith(f"{UNDONE} {told} {ELSEWHERE}")


@pytest.mark.parametrize(("done", "was"), [(True, "was"), (False, "would be")])
def test_contact_places_and_copies_are_told_each_in_a_sentence(done: bool, was: str) -> None:
    left = a_leaving(
        done=done, contact_deleted=True, no_longer_waits_for=["Box", "Scope"], copies=["a.db", "b.db"], wiped=None
    )  # fmt: skip
    for shown in leaving_shown(left):
        assert shown.in_order(
            f"Their contact {was} deleted.", f"Their place in the waiting list for Box {was} given up.",
            f"Their place in the waiting list for Scope {was} given up.",
            "This copy still holds the old name; delete it when it is not needed: a.db", "not needed: b.db",
        )  # fmt: skip
        assert ("cannot be undone" in shown.words, "server" in shown.words) == (done, done)
        first = (
            "Their name is Former" if done else "Nothing was changed. Their name would be Former member 3."
        )
        assert shown.words.startswith(first)


def test_texts_that_name_them_stand_in_their_order_and_the_rest_are_counted() -> None:
    mentions = [
        a_mention(0, kind="loan_parts", field="note out", replaced=True), a_mention(1, whole_name=False), a_mention(2),
    ]  # fmt: skip
    for shown in leaving_shown(a_leaving(mentions=mentions)):
        assert [list(row.values()) for row in shown.rows(*COLUMNS)][:3] == [
            ["loan parts", "ref0", "note out", "all", "yes", "Ines said 0"],
            ["snags", "ref1", "text", "a part", "no", "Ines said 1"],
            ["snags", "ref2", "text", "all", "no", "Ines said 2"],
        ]  # fmt: skip
        assert shown.in_order(
            "Texts that name them; correct by hand those that were not replaced:", "ref0", UNDONE
        )
        assert "more" not in shown.words
    for count, told in ((MOST_MENTIONS, ""), (MOST_MENTIONS + 1, "and 1 more"), (45, "and 25 more")):
        many = [a_mention(n, reference=f"r{n:02}.") for n in range(count)]
        for shown in leaving_shown(a_leaving(mentions=many)):
            assert [f"r{n:02}." in shown.words for n in range(count)] == [n < 20 for n in range(count)]
            assert f"{told} (--json has all)" in shown.words if told else "more (" not in shown.words


def test_a_thing_that_is_called_after_them_is_said_to_keep_its_name_in_the_history() -> None:
    for whole, told in (
        (True, "In the history the old name stands only where something above is called by it."),
        (False, UNDONE),
    ):
        named = a_mention(1, kind="kits", field="name", whole_name=whole, text="Ines Okafor's box")
        for shown in leaving_shown(a_leaving(mentions=[named])):
            assert shown.in_order("Ines Okafor's box", told)
            assert ("In the history" in shown.words) == whole


def test_looking_tells_from_the_records_what_would_be_done(in_club: Program) -> None:
    """Two texts name her, one by the whole name; the kit she waits for is named, and her name stays."""
    for line in (
        ("member", "edit", "Ines", "--rename", "Ines Okafor"),
        ("member", "contact", "Ines Okafor", "--phone", "01632 960 123"),
        ("kit", "add", "Box", "--part", "Heron"), ("loan", "out", "Box", "Bram Ostler"),
        ("loan", "reserve", "Box", "Ines Okafor"), ("mount", "edit", "Heron", "--note", "as Ines Okafor left it"),
        ("mount", "edit", "Bracken", "--note", "ask Okafor"),
    ):  # fmt: skip
        in_club.must(*line)
    for shown in screens(in_club.environment, in_club.now, "member", "leave", "Ines Okafor", "--look"):
        assert shown.in_order(
            "Nothing was changed. Their name would be Former member ", "Their contact would be deleted.",
            "Their place in the waiting list for Box would be given up.",
            "Texts that name them; correct by hand those that would not be replaced:",
        )  # fmt: skip
        rows = [row for row in shown.rows(*COLUMNS) if row["where"] == "equipment"]
        assert [[row["field"], row["names"], row["replaced"], row["text"]] for row in rows] == [
            ["note", "all", "yes", "as Ines Okafor left it"], ["note", "a part", "no", "ask Okafor"],
        ]  # fmt: skip
    in_club.must("member", "show", "Ines Okafor")


def test_copies_that_hold_the_name_are_named_before_the_question(
    in_club: Program, monkeypatch: pytest.MonkeyPatch
) -> None:
    copy = Path(in_club.environment["OBSLOG_DB"]).with_name("sunday.db")
    in_club.must("db", "backup", str(copy))
    at_the_keyboard(monkeypatch, "no\n")
    answer = in_club("member", "leave", "Bram Ostler")
    assert answer.code == 1
    assert f"This copy will still hold the old name: {copy}" in answer.err
    assert "It cannot be undone" in answer.out + answer.err


def test_how_many_texts_lose_the_name_is_told_before_the_question(
    in_club: Program, monkeypatch: pytest.MonkeyPatch
) -> None:
    look = "See them: obslog member leave Ines --look"
    for note, told in ((None, None), ("as Ines left it", f"The name goes from 1 text too. {look}")):
        if note:
            in_club.must("mount", "edit", "Heron", "--note", note)
        at_the_keyboard(monkeypatch, "no\n")
        assert ("The name goes from" in (err := in_club("member", "leave", "Ines").err)) == (told is not None)
        assert told is None or told in err


@pytest.mark.parametrize("options", [(), ("--also-texts",)])
def test_texts_lose_the_name_with_and_without_the_option(in_club: Program, options: tuple[str, ...]) -> None:
    in_club.must("mount", "edit", "Heron", "--note", "as Ines left it")
    in_club.must("member", "leave", "Ines", "--yes", *options)
    assert in_club.document("mount", "show", "Heron")["note"] == "as Former member left it"


LEFT_ALREADY = [
    ("loan", "out", "Heron", "{left}"),
    ("loan", "reserve", "Heron", "{left}"),
    ("night", "note", "--with", "Ines, {left}"),
    ("setup", "start", "Heron", "--observer", "{left}"),
    ("setup", "edit", "--observer", "{left}"),
    ("goto", "M 81", "centred", "--observer", "{left}"),
    ("edit", "1", "--observer", "{left}"),
    ("saw", "M 81", "--observer", "{left}"),
    ("snag", "add", "power", "cable loose", "--member", "{left}"),
    ("service", "add", "Heron", "greased", "--by", "{left}"),
    ("stocktake", "start", "--member", "{left}"),
    ("checklist", "Heron", "--tick", "power", "--member", "{left}"),
]


@pytest.mark.parametrize("words", LEFT_ALREADY, ids=lambda words: " ".join(words[:2]))
def test_nothing_new_is_written_of_who_has_left(outside: Program, words: tuple[str, ...]) -> None:
    outside.must("member", "add", "Quentin")
    outside.must("member", "leave", "Quentin", "--yes")
    left = next(
        row["name"]
        for row in outside.document("member", "list", "--all")
        if row["name"].startswith("Former member ")
    )
    before = outside.document("history", "--most", "1")
    answer = outside(*(word.format(left=left) for word in words))
    assert answer.code == 1
    assert answer.error_lines == [f"{left} has already left.", "See who is here: obslog member list"]
    assert outside.document("history", "--most", "1") == before
