"""The first five minutes of a club: through a pipe, at a terminal, left and taken up again."""

import io
import os
import re
import shutil
import sqlite3
import sys
from collections.abc import Callable, Sequence
from contextlib import closing
from pathlib import Path
from random import Random

import pexpect
import pytest

from tests.cli.program import Answer, Program
from tests.cli.test_wrong_input import content
from tests.test_docs import agrees

ROOT = Path(__file__).resolve().parents[3]
SITE = ["Fen Edge", "52°12'N 0.12°E", "1", "20"]
MOUNT = ["Heron", "german", "shift"]
TUBE, EYEPIECE, MEMBER = ["Long tube", "200 f/5"], ["Wide 25", "25 52"], ["Ines"]
ALL = [*SITE, *MOUNT, *TUBE, *EYEPIECE, *MEMBER]
SCRIPT = (
    "import sys; from datetime import UTC, datetime; from obslog.cli.main import main; "
    "sys.exit(main(sys.argv[1:], lambda: datetime(2026, 3, 2, 21, 40, tzinfo=UTC)))"
)
Type = Callable[..., Answer]


@pytest.fixture
def start(program: Program, monkeypatch: pytest.MonkeyPatch) -> Type:
    """Types the lines into `start` through a pipe."""

    def typed(*lines: str, words: Sequence[str] = ()) -> Answer:
        monkeypatch.setattr("sys.stdin", io.StringIO("".join(f"{line}\n" for line in lines)))
        return program("start", *words)

    return typed


def on_record(program: Program) -> dict[str, list[dict[str, object]]]:
    kinds = ("site", "mount", "tube", "eyepiece", "member")
    return {kind: program.document(kind, "list") for kind in kinds}


def test_all_answers_through_a_pipe_make_what_the_commands_make(
    start: Type, program: Program, new_program: Program
) -> None:
    answer = start(*ALL)
    assert answer.code == 0, answer.err
    new_program.must(
        "site", "add", "Fen Edge", "--lat", "52.2", "--lon", "0.12", "--elevation-m", "20", "--tz", "Europe/London"
    )  # fmt: skip
    new_program.must("mount", "add", "Heron", "--type", "german", "--controller", "shift")
    new_program.must("tube", "add", "Long tube", "--aperture-mm", "200", "--focal-mm", "1000")
    new_program.must("eyepiece", "add", "Wide 25", "--focal-mm", "25", "--field-deg", "52")
    new_program.must("member", "add", "Ines")
    assert on_record(program) == on_record(new_program)
    assert "Site: 52.2° north, 0.12° east\n" in answer.err
    assert "What comes next:" in answer.out


def test_a_number_that_stands_a_line_too_late_is_nobodys_name(start: Type, program: Program) -> None:
    """The eyepiece's line has the field already, so that the 52 behind it meets the next question."""
    answer = start(*SITE, *MOUNT, *TUBE, *EYEPIECE, "52")
    assert (answer.code, program.document("member", "list")) == (2, [])
    assert "Member, name: '52' has no letter in it" in answer.err
    assert "obslog member add 52" in answer.err
    assert start("Łucja 2").code == 0
    assert [member["name"] for member in program.document("member", "list")] == ["Łucja 2"]


@pytest.fixture
def new_program(
    capsys: pytest.CaptureFixture[str], sqlite_template: Path, tmp_path: Path, program: Program
) -> Program:
    """A second program, on a fresh database of its own."""
    path = tmp_path / "other.db"
    path.write_bytes(sqlite_template.read_bytes())
    path.chmod(0o600)  # as the program makes it
    return Program(capsys, {"OBSLOG_DB": str(path)}, program.now)


def test_left_after_any_answer_it_goes_on_with_the_next_one(start: Type, program: Program) -> None:
    for count, line in enumerate(ALL):
        answer = start(line)
        assert answer.code == 0, (line, answer.err)
        assert ("Go on with what is missing" in answer.out) is (count < len(ALL) - 1)
    assert start("not asked for").err == ""
    assert [len(records) for records in on_record(program).values()] == [1] * 5
    assert on_record(program)["site"][0]["elevation_m"] == 20.0


def test_a_blank_line_is_for_later(start: Type, program: Program) -> None:
    answer = start("Fen Edge", "52.2 0.12", "", "", "", *TUBE, "stop", *EYEPIECE)
    assert answer.code == 0
    kept = on_record(program)
    assert (kept["site"][0]["zone"], kept["site"][0]["elevation_m"]) == (None, None)
    assert (kept["mount"], kept["eyepiece"], kept["member"]) == (
        [],
        [],
        [],
    )  # what follows the stop is not read
    answer = start("london", "", *MOUNT, *EYEPIECE, *MEMBER)
    assert "What comes next:" in answer.out
    assert on_record(program)["site"][0]["elevation_m"] is None  # unknown, and not zero


def test_of_two_numbers_either_may_be_left_for_later(start: Type, program: Program) -> None:
    answer = start(*SITE, *MOUNT, "Long tube", "", "1000", "Wide 25", "", "52", *MEMBER)
    assert answer.code == 0, answer.err
    assert ("Tube: focal length 1000 mm\n" in answer.err, "Eyepiece: apparent field 52°\n" in answer.err) == (
        True,
        True,
    )
    answer = start("200", "25")
    assert "Tube: aperture 200 mm, focal length 1000 mm, f/5\n" in answer.err
    assert "What comes next:" in answer.out


def test_back_is_the_answer_before(start: Type, program: Program) -> None:
    answer = start("back", "Fen Edg", "back", "Fen Edge", "0.12 52.2", "back", "52.2 0.12", "london", "")
    assert answer.code == 0, answer.err
    assert answer.err.count("This is the first question.") == 1
    (site,) = on_record(program)["site"]
    assert (site["name"], site["lat_deg"], site["lon_deg"]) == ("Fen Edge", 52.2, 0.12)


def test_back_leads_from_one_thing_to_the_last_answer_about_the_one_before(
    start: Type, program: Program
) -> None:
    to_mount, from_eyepiece = ["back", "back"], ["back"] * 4
    start(*SITE, "Heron", *to_mount, "30", "german", "model", *TUBE, *from_eyepiece, "shift")
    kept = on_record(program)
    assert [site["elevation_m"] for site in kept["site"]] == [30.0]
    assert [(mount["name"], mount["controller"]) for mount in kept["mount"]] == [("Heron", "shift")]


def test_back_to_a_thing_left_for_later_asks_for_its_name(start: Type, program: Program) -> None:
    start(*SITE, "", "back", *MOUNT)
    assert [mount["name"] for mount in on_record(program)["mount"]] == ["Heron"]


def test_the_member_put_on_record_is_me_from_then_on(start: Type, program: Program) -> None:
    answer = start(*ALL)
    assert "Member: Ines, and that is you\n" in answer.err
    assert "You are Ines." in answer.out
    assert program.document("member", "me")["me"] == "Ines"


def test_who_typed_in_another_database_is_nobody_in_this_one(start: Type, program: Program) -> None:
    program.must("member", "add", "Vera")
    program.must("member", "me", "Vera")
    program.environment["OBSLOG_DB"] += ".own"
    halfway = start(*SITE)
    assert (
        "You are Vera, whom this database does not know. Say who you are: obslog member me NAME"
        in halfway.out
    )
    assert "Member: Tomasz, and that is you\n" in start("", "", "", "Tomasz").err
    assert program.document("member", "me")["me"] == "Tomasz"
    assert "that is you" not in start("", "", "", "back", "Tomasz").err  # who they are is known here now


def test_who_has_said_who_they_are_stays_so(start: Type, program: Program) -> None:
    program.environment["OBSLOG_ME"] = "Tomasz"
    assert "that is you" not in start("", "", "", "", "Ines").err
    del program.environment["OBSLOG_ME"]
    assert program.document("member", "me")["me"] is None


@pytest.mark.parametrize(
    ("lines", "what", "hint"),
    [
        (["Fen Edge", "52,12"], "Site, place: The commas in '52,12'", "semicolon"),
        (["Fen Edge", "0.12 52.2", "london"], "Site, time zone: 0.12° north", "Did you mean 52.2° north, 0.12° east?"),
        (["Fen Edge", "40.7 74", "new york"], "Site, time zone: Longitude 74", "did you mean -74?"),
        ([*SITE, "Heron", "equatorial"], "Mount, type: 'equatorial'", "if a counterweight"),
        ([*SITE, *MOUNT, "Long tube", "8"], "Tube, aperture: An aperture of 8", "8 in"),
        ([*SITE, *MOUNT, "Long tube", "200 f/5000"], "Tube, aperture: The focal length of the tube", "50000"),
    ],
)  # fmt: skip
def test_a_bad_line_through_a_pipe_is_refused_and_the_lines_before_it_stay(
    start: Type, program: Program, lines: list[str], what: str, hint: str
) -> None:
    answer = start(*lines)
    assert answer.code == 2
    assert answer.out == ""
    said, to_do = answer.error_lines[-2:]
    assert said.startswith(what)
    assert hint in to_do
    assert "The answers before it are on record." in to_do
    assert "--sure" not in answer.err
    assert [site["name"] for site in on_record(program)["site"]] == ["Fen Edge"]


def test_where_the_first_answer_is_refused_nothing_is_said_to_be_on_record(start: Type) -> None:
    assert "Nothing was put on record." in start("\x1b").err


def test_a_doubtful_zone_is_taken_with_an_exclamation_mark(start: Type, program: Program) -> None:
    assert start("Fen Edge", "0.12 52.2", "london!").code == 0
    assert on_record(program)["site"][0]["zone"] == "Europe/London"


def test_who_asks_for_help_is_told_once_more_what_the_question_is_for(start: Type, program: Program) -> None:
    answer = start("?", "Fen Edge", "52.2 0.12", "help", "1", "quit")
    assert 'What you call it, like "Fen Edge".' in answer.err
    assert "1  Europe/London: Britain (UK)" in answer.err
    (site,) = on_record(program)["site"]
    assert (site["name"], site["zone"]) == ("Fen Edge", "Europe/London")
    assert on_record(program)["mount"] == []


WORDS = [
    *ALL, *SITE, *[""] * 6,
    "back", "?", "52.2", "geo:1,2", "london!", "sydney", "1", "2", "99", "f/5", "8 in", "-1", "!",
    "\u202e", "2 3", "x" * 300, "fork", "shift", "Ines!", "0", "1e9", "50 60",
]  # fmt: skip


def test_any_lines_are_taken_or_refused_by_their_question_and_nothing_refused_is_kept(
    start: Type, program: Program, sqlite_template: Path
) -> None:
    chance = Random(20261128)
    for _ in range(50):
        before = content(program.environment["OBSLOG_DB"])
        lines = chance.choices(WORDS, k=chance.randint(1, 6))
        answer = start(*lines)
        assert answer.code in (0, 2), (lines, answer.err)
        if answer.code == 2:
            assert answer.error_lines[-2].startswith(
                ("Site, ", "Mount, ", "Tube, ", "Eyepiece, ", "Member, ")
            )
        said = [
            line for line in answer.err.splitlines() if re.match("(Site|Mount|Tube|Eyepiece|Member): ", line)
        ]
        assert said or content(program.environment["OBSLOG_DB"]) == before, lines
        if "What comes next:" in answer.out:  # nothing more would be asked
            shutil.copy(sqlite_template, program.environment["OBSLOG_DB"])


def test_each_answer_is_undone_by_itself(start: Type, program: Program) -> None:
    start(*SITE, *MOUNT)
    assert program.must("undo").out == "Undone: edit mount Heron\n"
    assert program.document("mount", "list")[0]["controller"] is None
    assert "controller shift" in start("shift").err


def test_with_json_the_document_is_alone_on_standard_output(start: Type) -> None:
    document = start(*ALL, words=["--json"]).document
    assert document["complete"] is True
    assert [thing["name"] for thing in document["asked_for"]] == [
        "Fen Edge",
        "Heron",
        "Long tube",
        "Wide 25",
        "Ines",
    ]


MOST_PRESSES, BETWEEN_PRESSES_S = 6, 10.0


def at_a_terminal(path: Path, columns: int) -> pexpect.spawn:
    environment = {
        "OBSLOG_DB": str(path),
        "OBSLOG_CONFIG": str(path.with_name("settings")),
        "PYTHONPATH": str(ROOT),
        "TERM": "xterm",
        "NO_COLOR": "1",
        "LANG": "C.UTF-8",
    }
    return pexpect.spawn(
        sys.executable,
        ["-c", SCRIPT, "start"],
        env={**environment, "PATH": os.environ["PATH"]},
        dimensions=(24, columns),
        encoding="utf-8",
        timeout=120,
    )


def ended(child: pexpect.spawn, *, by_interrupt: bool = False) -> str:
    """What the rest of it showed, after it has ended well.

    Ctrl-C is pressed again where nothing came of it, as a person would: a signal that comes just before the program
    begins to wait for a key does not end the waiting.
    """
    if by_interrupt:
        for _ in range(MOST_PRESSES):
            child.sendintr()
            if child.expect([pexpect.EOF, pexpect.TIMEOUT], timeout=BETWEEN_PRESSES_S) == 0:
                break
    else:
        child.expect(pexpect.EOF)
    child.close()
    assert child.exitstatus == 0
    rest = child.before
    assert isinstance(rest, str)
    return rest


def test_at_a_narrow_terminal_left_twice_and_taken_up_again(sqlite_path: Path) -> None:
    """A wrong order seen and gone back from, a bad answer asked again, Ctrl-C, then Ctrl-D, then the rest."""
    child = at_a_terminal(sqlite_path, 40)
    shown = io.StringIO()
    child.logfile_read = shown
    for prompt, answer in (
        ("Name: ", "Fen Edge"),
        ("Place: ", "0.12 52.2"),
        ("Time zone: ", "london"),
        ("is wrong, type", None),
        ("Time zone: ", "back"),
        ("Place: ", "52.2 0.12"),
        ("Time zone: ", "1"),
        ("Elevation: ", "high"),
        ("cannot be read", None),
        ("Elevation: ", "20"),
        ("Mount \\(2 of 5\\)", None),
        ("Name: ", "Heron"),
    ):
        child.expect(prompt)
        if answer is not None:
            child.sendline(answer)
    child.expect("Type: ")
    assert "type, controller not known yet" in " ".join(ended(child, by_interrupt=True).split())
    assert max(len(line) for line in shown.getvalue().splitlines()) <= 40

    child = at_a_terminal(sqlite_path, 40)
    child.expect_exact("To put on record: mount, tube,")
    child.expect_exact("Mount Heron (1 of 4)")
    child.expect("Type: ")
    child.sendline("2")
    child.expect("Controller: ")
    child.sendeof()
    ended(child)

    child = at_a_terminal(sqlite_path, 40)
    for prompt, answer in (
        ("Controller: ", "shift"), ("Name: ", "Long tube"), ("Aperture: ", "200 f/5"), ("Name: ", "Wide 25"),
        ("Focal length: ", "25"), ("field: ", "52"), ("Name: ", "Ines"),
    ):  # fmt: skip
        child.expect(prompt)
        child.sendline(answer)
    assert "What comes next:" in ended(child)
    with closing(sqlite3.connect(sqlite_path)) as file:
        assert file.execute("SELECT lat_deg, lon_deg, zone, elevation_m FROM sites").fetchall() == [
            (52.2, 0.12, "Europe/London", 20.0)
        ]
        assert file.execute("SELECT mount_type, controller FROM mounts").fetchall() == [("fork", "shift")]


def test_the_session_on_the_page_is_what_a_terminal_shows(tmp_path: Path) -> None:
    page = (ROOT / "docs" / "first-night.md").read_text(encoding="utf-8")
    session = page.partition("```text\n$ obslog start\n")[2].partition("```")[0]
    answers = [line.partition(": ")[2] for line in session.splitlines() if line.startswith(PROMPTS)]
    assert len(answers) == len(ALL)
    child = at_a_terminal(tmp_path / "new.db", 120)
    shown = io.StringIO()
    child.logfile_read = shown
    for answer in answers:
        child.expect(
            "(?:Name|Place|Time zone|Elevation|Type|Controller|Aperture|Focal length|Apparent field): $"
        )
        child.sendline(answer)
    ended(child)
    assert agrees(session, shown.getvalue(), set()), shown.getvalue()


PROMPTS = (
    "Name: ",
    "Place: ",
    "Time zone: ",
    "Elevation: ",
    "Type: ",
    "Controller: ",
    "Aperture: ",
    "Focal length: ",
)
