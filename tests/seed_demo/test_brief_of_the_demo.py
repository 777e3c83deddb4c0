"""The briefing at the sites of the invented club: one screen, in the order of the evening, with nothing of it lost."""

import io
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import cache

import pytest
from rich.cells import cell_len

from obslog.cli.checklist.brief_screen import one_screen
from obslog.cli.look.look import Depth, Look
from obslog.cli.terminal.screen import Screen
from obslog.club.checklist.briefing import Brief, brief
from obslog.club.register.observing_site import ObservingSite, observing_site
from obslog.records.database import Database
from obslog.vocabulary.cautions import SUN_CAUTION
from seed_demo.club import SITES

SCREEN_LINES, SCREEN_COLUMNS = 24, 80
MEMBER = "Caspian Rook"
NAMES = [site.name for site in SITES]
# The dark evening of each site's own longitude: nine by its clock, within an hour or two.
IN_THE_DARK = {
    name: datetime(2026, 11, 1, 9 if name == "Whistlebark Bend" else 21, tzinfo=UTC) for name in NAMES
}


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def on_a_terminal(made: Brief, view: ObservingSite) -> list[str]:
    """What stands on a terminal of 80 columns."""
    terminal = Terminal()
    screen = Screen(terminal, terminal, Look(depth=Depth.NONE))
    for line in one_screen(made, view.zone):
        screen.line(line.text, line.style, line.indent, line.hang)
    return terminal.getvalue().splitlines()


@pytest.fixture(scope="module")
def evening(demo: Database) -> Callable[[str], Brief]:
    """The brief of all mounts at a site in the dark, for a member: what most tests here look at, made once a site."""

    @cache
    def at(name: str) -> Brief:
        return brief(demo, observing_site(demo, name), IN_THE_DARK[name], member_name=MEMBER)

    return at


def of_one(whole: Brief, mount: str) -> Brief:
    """The brief of one mount is that of all, with this one alone: `test_it_is_one_screen_for_each_mount` shows it."""
    return replace(whole, mounts=[one for one in whole.mounts if one.mount == mount])


@pytest.fixture(autouse=True)
def eighty_columns(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "dumb")
    monkeypatch.setenv("COLUMNS", str(SCREEN_COLUMNS))


@pytest.mark.parametrize("name", NAMES)
def test_it_is_one_screen_at_every_site(demo: Database, evening: Callable[[str], Brief], name: str) -> None:
    """In the dark for a member, and six hours before for nobody."""
    view = observing_site(demo, name)
    before = brief(demo, view, IN_THE_DARK[name] - timedelta(hours=6))
    for made in (evening(name), before):
        lines = on_a_terminal(made, view)
        assert len(lines) <= SCREEN_LINES, "\n".join(lines)
        assert max(map(cell_len, lines)) <= SCREEN_COLUMNS


@pytest.mark.parametrize("name", NAMES)
def test_it_is_one_screen_for_each_mount(demo: Database, evening: Callable[[str], Brief], name: str) -> None:
    """The brief of one mount is that of all, with this one alone; the last is asked for by name to show it."""
    view, whole = observing_site(demo, name), evening(name)
    for one in whole.mounts:
        lines = on_a_terminal(of_one(whole, one.mount), view)
        assert len(lines) <= SCREEN_LINES, "\n".join(lines)
    last = whole.mounts[-1]
    alone = brief(demo, view, IN_THE_DARK[name], [last.mount], member_name=MEMBER)
    assert alone.mounts == [last]
    assert alone.targets == whole.targets


def test_caution_darkness_pole_look_first_stars_targets_dues_stand_in_that_order(
    demo: Database, evening: Callable[[str], Brief]
) -> None:
    view = observing_site(demo, "Owlpenny Edge")
    texts = [line.text for line in one_screen(of_one(evening("Owlpenny Edge"), "Bramble"), view.zone)]
    beginnings = (SUN_CAUTION, "Fully dark", "Polaris is", "Look first", "Sync at", "Showpieces:", "Due:")
    places = [next(n for n, text in enumerate(texts) if text.startswith(begin)) for begin in beginnings]
    assert places == sorted(places)
    assert places[0] == 0, "nothing stands above the caution"


def test_every_section_names_the_command_that_shows_the_rest(
    demo: Database, evening: Callable[[str], Brief]
) -> None:
    view = observing_site(demo, "Owlpenny Edge")
    made = of_one(evening("Owlpenny Edge"), "Bramble")
    text = " ".join(line.text for line in one_screen(made, view.zone))
    commands = (
        "sky sun-moon -s",
        "sky pole -s",
        "checklist Bramble -s",
        "pointing stars Bramble -s",
        "targets -s",
    )
    for command in (*commands, "service due", "snag list", "--full"):
        assert command in text, command
