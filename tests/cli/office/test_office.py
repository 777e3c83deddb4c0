"""The officer's health and handover, on the screen and as a page; each remedy that is named mends what it names."""

import shlex
import stat
from pathlib import Path

from obslog.cli.office.office import MOST_SHOWN
from obslog.club.register.named_records import add
from obslog.records.opening import open_database
from tests.cli.program import Program

IN_PLACE = {
    "TAG": "T-{}", "AMOUNT": "10", "MM": "800", "--type WORD": "--type german",
    "--controller WORD": "--controller shift", '"LATITUDE LONGITUDE"': '"52.2 0.12"', "--look": "--yes",
    "ZONE": "Europe/London",
}  # fmt: skip


def test_each_remedy_that_is_named_mends_it(in_club: Program) -> None:
    database = open_database(in_club.environment["OBSLOG_DB"], in_club.now, lambda _sentence: None)
    add(database, "mount", "Old fork", {}, in_club.now)  # as a sheet brings one in, with its name alone
    add(database, "site", "The hill", {}, in_club.now)
    add(database, "tube", "Short tube", {}, in_club.now)
    database.close()
    in_club.must("member", "add", "Bram Oslter")
    in_club.must("kit", "add", "Evening kit", "--part", "Wide 25", "--part", "dust cap")
    in_club.must("kit", "missing", "Evening kit", "dust cap")
    in_club.must("store", "missing", "Wide 25")
    checks = in_club.must("officer", "health", "--json").document["checks"]
    wanting = [one for check in checks for one in check["wanting"]]
    assert {one["kind"] for one in wanting} == {"tag", "value", "kit", "mount", "tube", "site", "member"}
    for number, one in enumerate(wanting):
        line = one["mend"]
        for placeholder, value in IN_PLACE.items():
            line = line.replace(placeholder, value.format(number))
        in_club.must(*shlex.split(line)[1:])
    assert in_club.must("officer", "health").out == "Nothing is wanting in the records.\n"


def test_a_long_list_is_cut_and_all_of_it_shown_where_asked(in_club: Program) -> None:
    for number in range(MOST_SHOWN):
        in_club.must("item", "add", f"Thing {number}", "--category", "case")
    out = in_club.must("officer", "health").out
    assert "17 of 17: items without a tag" in out
    assert "and 7 more: obslog officer health --all" in out
    whole = in_club.must("officer", "health", "--all").out
    assert "more:" not in whole
    assert whole.count("--tag TAG") == 17


def test_the_page_and_the_screen_hand_over_the_same(in_club: Program, tmp_path: Path) -> None:
    in_club.must("loan", "out", "Wide 25", "Ines")
    screen = in_club.must("officer", "handover").out
    page = tmp_path / "office.html"
    told = in_club.must("officer", "handover", "--out", str(page))
    assert (told.out, f"Written: {page}" in told.err) == ("", True)
    assert stat.S_IMODE(page.stat().st_mode) == 0o600
    for text in (screen, page.read_text(encoding="utf-8")):
        for words in (
            "1 loan out",
            "Wide 25",
            "Ines",
            "Where the records lie",
            in_club.environment["OBSLOG_DB"],
        ):
            assert words in text
    in_club.must("officer", "handover", "--out", str(page))
    page.write_text("mine")
    assert in_club("officer", "handover", "--out", str(page)).code == 1
    assert in_club("officer", "handover", "--out", str(tmp_path / "office.txt")).code == 2
    assert page.read_text() == "mine"
