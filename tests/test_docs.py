"""The docs are run: every command shown in README and docs works, and the command reference is current.

A block fenced as `console` holds lines that begin with `$ `, run in order and all of a file in one new folder. The
lines below a command are what it prints and then what it says beside it, and are compared with that: `...` stands for
anything or nothing, also for several lines; several spaces count as one, and so does the end of a line, for a screen
wraps where it is full. In a block fenced as `console fails` every command has to fail.

The clock stands still at READ_AT, but the reader's does not. So a date or an instant that a command of the page names
has to be the same in what is shown below; any other depends on the day of reading, and is only to be there. Whatever
else depends on that day has to be left out behind dots: OBSLOG_SLOW=1 reads every page on other days too.

Below `obslog prompt` a line that begins with `> ` is one that is typed there; the others are what the prompt answers.
"""

import importlib.util
import io
import os
import re
import shlex
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager, redirect_stderr, redirect_stdout
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from types import ModuleType
from urllib.parse import quote

import pytest
from sqlalchemy import Connection

from obslog.cli.main import main
from obslog.records.roles.rights import ServerRole
from tests.postgres_server import server_programs

ROOT = Path(__file__).resolve().parents[1]
PAGES = [ROOT / "README.md", *sorted((ROOT / "docs").glob("*.md"))]
ON_A_SERVER = ROOT / "docs" / "server.md"
ITS_NAME = "clubserver"
READ_AT = datetime(2026, 11, 25, 20, 0, tzinfo=UTC)
OTHER_DAYS = (datetime(2027, 6, 9, 9, 30, tzinfo=UTC), datetime(2028, 2, 29, 23, 50, tzinfo=UTC))
DAYS = (READ_AT, *OTHER_DAYS) if os.environ.get("OBSLOG_SLOW") else (READ_AT,)
FENCE = re.compile(r"^```(?P<info>console[^\n]*)\n(?P<body>.*?)^```", re.MULTILINE | re.DOTALL)
SETTING_UP = re.compile(r"python3? -m venv|(\S*/)?pip install")
DATE = re.compile(r"\b\d{4}-\d\d-\d\d(?:T\d\d:\d\d(?::\d\d)?(?:\.\d+)?Z)?")
EXPORT = re.compile(r"export (?P<name>\w+)=(?P<value>.*)")


@dataclass(frozen=True)
class Shown:
    """A command as a page shows it."""

    line: str
    fails: bool
    output: str = ""

    @property
    def typed(self) -> list[str]:
        """The lines that are typed at the prompt which the command opens."""
        return [line.removeprefix("> ") for line in self.output.splitlines() if line.startswith("> ")]

    @property
    def answers(self) -> str:
        return "".join(f"{line}\n" for line in self.output.splitlines() if not line.startswith("> "))


def shown_commands(page: str) -> Iterator[Shown]:
    for block in FENCE.finditer(page):
        fails = block["info"].strip() == "console fails"
        _, *parts = re.split(r"^\$ ", block["body"].replace("\\\n", " "), flags=re.MULTILINE)
        for line, _, output in (part.partition("\n") for part in parts):
            if not SETTING_UP.match(line):
                yield Shown(line, fails, output)


def named_dates(page: str) -> set[str]:
    """The dates and instants that the commands of a page name."""
    return {date for command in shown_commands(page) for date in DATE.findall(command.line)}


def comparable(text: str, named: set[str]) -> str:
    """What is compared of an output: any space counted as one, and dates that the page does not name made alike."""

    def same(match: re.Match[str]) -> str:
        return match[0] if match[0] in named else "(a date)"

    return DATE.sub(same, " ".join(text.split()))


def agrees(shown: str, printed: str, named: set[str]) -> bool:
    """Whether a command printed what is shown below it; nothing shown agrees with anything."""
    if not shown.strip():
        return True
    parts = comparable(shown, named).split("...")
    pattern = ".*?".join(re.escape(part.strip()) for part in parts)
    return re.fullmatch(pattern, comparable(printed, named)) is not None


def run(command: Shown, environment: dict[str, str], now: datetime = READ_AT) -> int:
    """The exit code of a command line: the program in this process, anything else in a shell."""
    if setting := EXPORT.match(command.line):
        environment[setting["name"]] = shlex.split(setting["value"])[0]
        return 0
    words = shlex.split(command.line)
    if words[:2] == ["obslog", "demo"]:
        return run_demo(words[1:], now, environment)
    if words[0] == "obslog" and "<" in words:
        return run_with_a_file(words, now, environment)
    if words[0] == "obslog":
        with typed_in(command.typed):
            return main(words[1:], lambda: now, environment)
    return subprocess.run(["sh", "-c", command.line], check=False, timeout=120).returncode


@contextmanager
def typed_in(lines: list[str]) -> Iterator[None]:
    """Let standard input give these lines."""
    before, sys.stdin = sys.stdin, io.StringIO("".join(f"{line}\n" for line in lines))
    try:
        yield
    finally:
        sys.stdin = before


def run_with_a_file(words: list[str], now: datetime, environment: dict[str, str]) -> int:
    """Run the program with the lines of a file as its standard input: `obslog start < answers.txt`."""
    *words, arrow, name = words
    assert arrow == "<", words
    keyboard = sys.stdin
    try:
        sys.stdin = io.StringIO(Path(name).read_text(encoding="utf-8"))
        return main(words[1:], lambda: now, environment)
    finally:
        sys.stdin = keyboard


_demos: dict[tuple[datetime, tuple[str, ...]], tuple[int, str, str, bytes]] = {}


def run_demo(words: list[str], now: datetime, environment: dict[str, str]) -> int:
    """Build the demo; where a page before had the same command at the same instant, its file and words once more.

    That it is the same each time is shown in `tests/cli/test_demo.py`.
    """
    assert words[1] == "--into", words
    path, key = Path(words[2]), (now, tuple(words))
    assert not path.exists(), "then it would be refused"
    if key not in _demos:
        out, err = io.StringIO(), io.StringIO()
        with redirect_stdout(out), redirect_stderr(err):
            code = main(words, lambda: now, environment)
        _demos[key] = (code, out.getvalue(), err.getvalue(), path.read_bytes())
    code, out_text, err_text, file = _demos[key]
    path.write_bytes(file)
    path.chmod(0o600)  # as the program makes it
    sys.stdout.write(out_text)
    sys.stderr.write(err_text)
    return code


@pytest.mark.parametrize("now", DAYS, ids=lambda day: f"{day:%Y-%m-%d}")
@pytest.mark.parametrize("page", [page for page in PAGES if page != ON_A_SERVER], ids=lambda page: page.name)
def test_every_command_shown_works(
    page: Path,
    now: datetime,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    read_through(page.read_text(encoding="utf-8"), now, tmp_path, monkeypatch, capsys)


@pytest.fixture
def club_server(
    postgres_socket: str, postgres_admin: Connection, monkeypatch: pytest.MonkeyPatch
) -> Iterator[str]:
    """The tests' own server as the page has it: its folder, with the database `obslog`, its programs on the path."""
    programs = server_programs()
    assert programs is not None
    monkeypatch.setenv("PATH", str(programs), prepend=os.pathsep)
    if pg_dump_is_older(postgres_admin):
        pytest.skip("no pg_dump as new as the server is here")
    for name in ("obslog", "obslog_club", "obslog_back"):
        postgres_admin.exec_driver_sql(f"CREATE DATABASE {name} TEMPLATE template0")
    yield postgres_socket
    for name in ("obslog", "obslog_back", "obslog_club"):
        postgres_admin.exec_driver_sql(f"DROP DATABASE IF EXISTS {name} WITH (FORCE)")
    for name in ("ines", *(f"{club}_{role}" for club in ("obslog", "obslog_back") for role in ServerRole)):
        postgres_admin.exec_driver_sql(f"DROP ROLE IF EXISTS {name}")


def pg_dump_is_older(admin: Connection) -> bool:
    """Whether the server is of a newer version than the program that copies it, which then refuses to."""
    told = subprocess.run(["pg_dump", "--version"], capture_output=True, text=True, check=True).stdout
    found = re.search(r"(\d+)[.\d]*", told)
    assert found is not None, told
    return int(found[1]) < int(admin.exec_driver_sql("SHOW server_version_num").scalar_one()) // 10_000


def test_every_command_of_the_page_about_a_server_works(
    club_server: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """On PostgreSQL; the server's name on the page stands for the socket of the tests' own."""
    page = ON_A_SERVER.read_text(encoding="utf-8")
    addressed = re.sub(rf"@{ITS_NAME}/(\w+)", rf"@/\1?host={quote(club_server, safe='')}", page)
    text = addressed.replace(f"--host={ITS_NAME}", f"--host={club_server}")
    assert text != addressed != page
    read_through(text, READ_AT, tmp_path, monkeypatch, capsys)


def read_through(
    text: str,
    now: datetime,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Run the commands of a page in a new folder, as a person of whom nothing is known, and compare what they print."""
    monkeypatch.chdir(tmp_path)
    for name in ("HOME", "XDG_DATA_HOME", "XDG_CONFIG_HOME", "LOCALAPPDATA"):
        monkeypatch.setenv(name, str(tmp_path / "home"))
    environment: dict[str, str] = {}
    named = named_dates(text)
    for command in shown_commands(text):
        code = run(command, environment, now)
        said = capsys.readouterr()
        assert (code != 0) is command.fails, f"{command.line}\nended with {code}: {said.err}"
        seen = said.out + said.err
        assert agrees(command.answers, seen, named), f"{command.line}\nprinted:\n{seen}"


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_examples_quote_as_every_shell_does(page: Path) -> None:
    """With double quotes: to one shell in wide use a single quote is a letter like any other."""
    lines = [command.line for command in shown_commands(page.read_text(encoding="utf-8"))]
    assert [line for line in lines if "'" in re.sub(r'"[^"]*"', "", line)] == []


def test_the_pages_that_show_commands_are_run() -> None:
    shown = {page.name: len(list(shown_commands(page.read_text(encoding="utf-8")))) for page in PAGES}
    assert shown["README.md"] > 5
    assert shown["first-night.md"] > 20


def test_each_page_with_commands_shows_what_they_print() -> None:
    found = {page.name: list(shown_commands(page.read_text(encoding="utf-8"))) for page in PAGES}
    assert [
        name
        for name, all_shown in found.items()
        if all_shown and not any(one.output.strip(". \n") for one in all_shown)
    ] == []


@pytest.mark.parametrize(
    ("shown", "agreed"),
    [
        ("", True),
        ("Heron: steady\n  6 set-ups  since 2026-03-02\nall told\n", True),
        ("Heron: steady\n...\n", True),
        ("Heron: ...\n6 set-ups since 2026-03-02\nall told", True),
        ("...\nall told", True),
        ("...\nHeron: steady 6\nset-ups since 2026-03-02\n...\nall told\n...", True),
        ("...\nHeron: steady\nall told\n...", False),
        ("Heron: steady\n", False),  # there is more, and no dots say so
        ("Heron: worsening\n...", False),
        ("...\n7 set-ups...", False),
        ("Heron: steady\n6 set-ups since 2026-03-09\nall told", False),  # a date that the page names
        (
            "Heron: steady\n6 set-ups since 2031-01-01\nall told",
            False,
        ),  # and one in its place that it does not
    ],
)
def test_what_a_page_shows_is_compared_with_what_is_printed(shown: str, agreed: bool) -> None:
    printed = "Heron: steady\n  6 set-ups\tsince 2026-03-02\nall told\n"
    assert agrees(shown, printed, {"2026-03-02", "2026-03-09"}) is agreed


def test_a_date_that_depends_on_today_may_be_another_day_but_has_to_be_there() -> None:
    assert agrees("due 2026-11-25", "due 2027-01-03\n", set())
    assert agrees("at 2026-11-25T20:00Z", "at 2027-01-03T21:15Z", set())
    assert not agrees("due 2026-11-25", "due soon", set())


def test_a_command_that_a_page_should_not_show_would_be_noticed() -> None:
    page = "```console\n$ obslog nihgt list\nno such\n```\n```console fails\n$ obslog --version\n```\n"
    wrong, right = shown_commands(page)
    assert (wrong.fails, run(wrong, {})) == (False, 2)
    assert (right.fails, run(right, {})) == (True, 0)


def test_the_readme_names_the_commands_that_do_not_answer_in_json() -> None:
    sections = re.split(r"^#{2,4} obslog ", _making().reference(), flags=re.MULTILINE)[1:]
    helps = {section.partition("\n")[0]: section for section in sections if "\nCommands:" not in section}
    without = {name for name, text in helps.items() if "--json" not in text}
    assert {"sync", "loan form"} <= helps.keys()
    page = " ".join((ROOT / "README.md").read_text(encoding="utf-8").split())
    said = re.search(r"Every command but (.*?) answers in JSON", page)
    assert said is not None
    assert set(re.findall(r"`(.*?)`", said[1])) == without


@pytest.mark.parametrize("page", [*PAGES, ROOT / "DEVELOPERS.md"], ids=lambda page: page.name)
def test_every_file_that_a_page_names_is_there(page: Path) -> None:
    named = re.findall(
        r"`((?:obslog|tests|docs|builders|migrations)/[\w/.-]+\.\w+)`", page.read_text("utf-8")
    )
    pattern = "obslog/layer/subject/file.py"  # how deep a file lies
    assert [name for name in named if name != pattern and not (ROOT / name).exists()] == []


def test_the_command_reference_is_current() -> None:
    making = _making()
    page = ROOT / "docs" / "commands.md"
    assert page.read_text(encoding="utf-8") == making.reference(), "run: python docs/make_commands.py"


def test_the_page_of_words_is_current() -> None:
    page = ROOT / "docs" / "glossary.md"
    assert page.read_text(encoding="utf-8") == _making().glossary(), "run: python docs/make_commands.py"


def _making() -> ModuleType:
    spec = importlib.util.spec_from_file_location("make_commands", ROOT / "docs" / "make_commands.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module
