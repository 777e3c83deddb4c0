"""The store-room, services, orders and batteries at the keyboard."""

from pathlib import Path

import pytest

from tests.cli.program import Program

SAMPLES = Path(__file__).parents[2] / "samples"
HOSTILE = "red \u009b31m \u202e note"


@pytest.fixture
def store(in_club: Program) -> Program:
    """The small club with a second member, a battery and an evening kit."""
    in_club.must("member", "add", "Tomasz")
    in_club.must("item", "add", "Battery", "--category", "battery")
    in_club.must("kit", "add", "Evening kit", "--part", "Heron", "--part", "Wide 25", "--part", "dust cap")
    return in_club


def test_papers_are_written_cleared_and_undone(store: Program) -> None:
    words = ("--tag", "M-01", "--value", "900", "--acquired", "gift", "--acquired-on", "2020-05-01")
    page = store.document("store", "note", "heron", *words, "--place", "trunk")
    told = page["papers"]
    assert (told["tag"], told["value"], told["acquired"], told["place"]) == ("M-01", 900, "gift", "trunk")
    assert (told["kit"], told["cost"], told["status"]) == ("Evening kit", None, "in")
    page = store.document("store", "note", "Heron", "--clear", "acquired-on", "--clear", "tag")
    assert (page["papers"]["tag"], page["papers"]["acquired_on"], page["papers"]["value"]) == (
        None,
        None,
        900,
    )
    store.must("undo")
    assert store.document("store", "show", "Heron")["papers"]["tag"] == "M-01"
    assert "gift" in store.must("store", "show", "Heron").out


@pytest.mark.parametrize(
    "words",
    [
        ("note", "Heron"),
        ("note", "Heron", "--clear", "name"),
        ("note", "Heron", "--tag", "1", "--clear", "tag"),
        ("note", "Heron", "--value", "-1"),
        ("note", "Heron", "--acquired", "stolen"),
        ("note", "Heron", "--acquired-on", "soon"),
        ("note", "Evening kit", "--tag", "1"),
        ("photo", "Heron"),
        ("photo", "Heron", "a.jpg", "--check", "b.jpg"),
        ("photo", "Heron", "no such file.jpg"),
        ("write-off", "Heron"),
        ("show", "Heren"),
        ("list", "--kind", "hat"),
    ],
)
def test_wrong_input_is_said_in_two_lines(store: Program, words: tuple[str, ...]) -> None:
    answer = store("store", *words)
    assert (answer.code, len(answer.error_lines)) == (2, 2)


def test_the_list_has_everything_and_names_nobody_unless_asked(store: Program) -> None:
    store.must("store", "note", "Heron", "--value", "900")
    store.must("loan", "out", "Evening kit", "Ines")
    document = store.document("store", "list")
    assert [(item["name"], item["status"]) for item in document["items"]] == [
        ("Evening kit", "out"),
        ("Bracken", "in"),
        ("Heron", "out"),
        ("Thistle", "in"),
        ("Long tube", "in"),
        ("Stop 20", "in"),
        ("Wide 25", "out"),
        ("Battery", "in"),
        ("Lead battery", "in"),
    ]
    assert document["worth"] == {"value": 900, "known": 1, "unknown": 7}
    assert "Ines" not in store.must("store", "list").out + store.must("store", "show", "Heron").out
    assert "with Ines" in store.must("store", "list", "--officer").out
    assert "to Ines" in store.must("store", "show", "Heron", "--officer").out
    values = store.must("store", "list", "--values", "--kind", "mount").out
    assert "1 item has a value, in total 900.00; for 2 the value is not known." in values
    assert store.document("store", "list", "--missing")["items"] == []
    assert "Nothing" in store.must("store", "list", "--missing").err


def test_what_is_lost_on_loan_is_written_off_and_comes_back(store: Program) -> None:
    store.must("loan", "out", "Evening kit", "Ines")
    answer = store("store", "write-off", "Wide 25", "--why", "lost")
    assert answer.code == 1
    assert "--lost-on-loan" in answer.error_lines[1]
    page = store.document("store", "write-off", "Wide 25", "--why", "lost", "--lost-on-loan")
    assert (page["papers"]["status"], page["papers"]["retired_why"]) == ("written off", "lost")
    assert [event["what"] for event in page["history"]][-3:] == ["back", "missing", "written off"]
    assert [loan["what"] for loan in store.document("loan", "list")] == ["Evening kit"]
    assert store.document("store", "reinstate", "Wide 25")["papers"]["status"] == "in"
    assert store.document("store", "missing", "Wide 25")["papers"]["status"] == "missing"
    assert store.document("store", "found", "Wide 25")["papers"]["status"] == "in"


def test_a_retired_kit_comes_back(store: Program) -> None:
    store.must("kit", "retire", "Evening kit", "--why", "dispersed")
    assert "Evening kit" not in store.must("store", "list").out
    assert "Evening kit" in store.must("store", "list", "--with-retired").out
    page = store.document("store", "reinstate", "Evening kit")
    assert page["papers"]["status"] == "in"
    assert [event["what"] for event in page["history"]][-2:] == ["retired", "in use"]


def test_hostile_text_steers_no_terminal(store: Program) -> None:
    store.must("item", "add", "Case", "--category", "case", "--note", HOSTILE)
    store.must("store", "write-off", "Case", "--why", "mice \u00b7 moths")
    out = store.must("store", "show", "Case").out
    assert "\u009b" not in out
    assert "\u202e" not in out
    assert store("store", "write-off", "Battery", "--why", HOSTILE).code == 2


def test_a_service_with_its_bill_and_what_is_due(store: Program) -> None:
    words = ("--cost", "35", "--parts", "grease", "--task", "grease", "--on", "2026-01-31")
    line = store.document("service", "add", "Heron", "greased", *words, "--next-in-months", "1")
    assert (line["cost"], line["tasks"], line["next_on"]) == (35, ["grease"], "2026-02-28")
    due = store.document("service", "due")
    assert [(one["name"], one["basis"], one["due_on"]) for one in due] == [("Heron", "date", "2026-02-28")]
    assert "2026-02-28" in store.must("service", "due").out
    assert "2026-02-28" in store.must("service", "list").out
    assert "due on 2026-02-28" in store.must("store", "show", "Evening kit").out
    store.must("service", "add", "Heron", "cleaned", "--next-when", "it plays")
    answer = store.must("service", "due")
    assert "Nothing is due" in answer.err
    assert "when it plays" in answer.out


@pytest.mark.parametrize(
    "words",
    [
        ("--next-on", "2026-01-01"),
        ("--next-in-months", "0"),
        ("--next-in-months", "1", "--next-on", "2027-01-01"),
        ("--task", "polish"),
        ("--for", "centre"),
        ("--cost", "-1"),
        ("--cost", "nan"),
    ],
)
def test_a_service_that_cannot_be_is_refused(store: Program, words: tuple[str, ...]) -> None:
    answer = store("service", "add", "Heron", "cleaned", *words)
    assert (answer.code, len(answer.error_lines)) == (2, 2)
    assert store.document("service", "list") == []


def test_orders_are_closed_by_the_service_that_mends_them(store: Program) -> None:
    store.must("snag", "add", "centre", "it", "plays", "--mount", "Heron", "--member", "Ines")
    store.must("snag", "add", "key-in", "wrong", "month", "--mount", "Heron", "--member", "Ines")
    shown = store.must("service", "orders")
    assert "it plays" in shown.out
    assert "wrong month" not in shown.out
    assert "1 at steps that people do" in shown.err
    assert "wrong month" in store.must("service", "orders", "--all").out
    mark = store.document("service", "orders", "Heron")[0]["reference"]
    assert store.document("service", "add", "Heron", "meshed", "--for", mark)["mended"] == [mark]
    assert "Nothing to mend" in store.must("service", "orders").err


def test_the_routine_and_a_battery(store: Program) -> None:
    assert "common practice" in store.must("service", "routine").out
    assert "not on record" in store.must("service", "routine", "Heron").out
    assert {task["of"] for task in store.document("service", "routine", "finder")["tasks"]} == {"finder"}
    assert store("service", "routine", "Nothing").code == 2
    assert "No tests" in store.must("service", "battery", "Battery").err
    store.must("service", "battery", "Battery", "--rest-volts", "12.7", "--capacity-percent", "80")
    answer = store.must("service", "battery", "Battery", "--capacity-percent", "55")
    assert "under the club's 60 %" in answer.out
    assert "Never leave a charging battery alone" in answer.out
    document = store.document("service", "battery", "Battery")
    assert [test["capacity_percent"] for test in document["tests"]] == [55, 80]
    assert store("service", "battery", "Heron").code == 2
    assert store("service", "battery", "Battery", "--on", "2026-03-01").code == 2


def test_briefing_and_checklist_name_a_loan_and_a_service(store: Program) -> None:
    words = ("brief", "--site", "Mill Field", "--mount", "Heron")
    assert store.document(*words)["mounts"][0]["notices"] == []
    store.must("service", "add", "Heron", "cleaned", "--on", "2026-01-01", "--next-on", "2026-02-01")
    store.must("loan", "out", "Evening kit", "Ines")
    for shown in (store.must(*words).out, store.must("checklist", "Heron", "--site", "Mill Field").out):
        assert shown.count("Evening kit is on loan, due back on 2026-03-30") == 1
        assert shown.count("service was due on 2026-02-01") == 1
        assert "on loan, due back on 2026-03-30 with Ines" not in shown


def test_a_mechanical_service_starts_a_new_era_of_the_fit(in_club: Program) -> None:
    """The sheet has eight nights from 3 February to 21 April; the service lies in the middle of them."""
    place = ("--lat", "54.6", "--lon", "-3.1", "--elevation-m", "180", "--tz", "Europe/London")
    in_club.must("site", "add", "Tarn", *place)
    for name in ("Iris", "Jon"):
        in_club.must("member", "add", name)
    in_club.now = in_club.now.replace(month=5)
    in_club.must("import", "arrivals", str(SAMPLES / "german_three_syncs.csv"))

    def eras() -> set[str]:
        return {term["since"] for term in in_club.document("pointing", "fit", "Heron")["mechanical"]}

    assert eras() == {"2026-02-03"}
    in_club.must("service", "add", "Heron", "cleaned", "--on", "2026-03-15")
    assert eras() == {"2026-02-03"}
    in_club.must(
        "service", "add", "Heron", "worm meshed", "--on", "2026-03-15", "--mechanical", "--cost", "20"
    )
    assert eras() == {"2026-02-03", "2026-03-15"}
    in_club.must("undo")
    assert eras() == {"2026-02-03"}


def test_the_item_of_a_service_is_found_whatever_its_kind(store: Program) -> None:
    store.must("service", "add", "batt", "charged", "--on", "2026-03-01")
    store.must("service", "add", "Heron", "greased")
    assert [row["name"] for row in store.document("service", "list", "battery")] == ["Battery"]
    assert [row["text"] for row in store.document("service", "list", "heron")] == ["greased"]
    store.must("item", "add", "Heron", "--category", "case")
    answer = store("service", "add", "Heron", "greased")
    assert answer.code == 2
    assert "--kind" in answer.error_lines[-1]
    assert store.document("service", "add", "Heron", "oiled", "--kind", "item")["kind"] == "item"
