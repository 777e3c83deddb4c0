"""The briefing at the sites of the invented club: one screen, in the order of the evening, with nothing of it lost."""

import io
from dataclasses import replace
from datetime import UTC, datetime

import pytest
from rich.cells import cell_len

from obslog.cli.checklist.brief_screen import one_screen
from obslog.cli.terminal.screen import Screen
from obslog.club.checklist.briefing import Brief, brief
from obslog.club.register.observing_site import ObservingSite, observing_site
from obslog.records.opening import Database
from obslog.vocabulary import SUN_CAUTION
from seed_demo.club import SITES

SCREEN_LINES, SCREEN_COLUMNS = 24, 80
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
    screen = Screen(terminal, terminal, styles=False)
    for line in one_screen(made, view.zone):
        screen.line(line.text, line.style, line.indent, line.hang)
    return terminal.getvalue().splitlines()


@pytest.fixture(autouse=True)
def eighty_columns(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "dumb")
    monkeypatch.setenv("COLUMNS", str(SCREEN_COLUMNS))


@pytest.mark.parametrize("hours", [0, -6])
@pytest.mark.parametrize("name", NAMES)
def test_it_is_one_screen_at_every_site(demo: Database, name: str, hours: int) -> None:
    view = observing_site(demo, name)
    made = brief(demo, view, IN_THE_DARK[name].replace(hour=IN_THE_DARK[name].hour + hours))
    lines = on_a_terminal(made, view)
    assert len(lines) <= SCREEN_LINES, "\n".join(lines)
    assert max(map(cell_len, lines)) <= SCREEN_COLUMNS


@pytest.mark.parametrize("name", NAMES)
def test_it_is_one_screen_for_each_mount(demo: Database, name: str) -> None:
    """The brief of one mount is that of all, with this one alone; the last is asked for by name to show it."""
    view = observing_site(demo, name)
    whole = brief(demo, view, IN_THE_DARK[name], member_name="Caspian Rook")
    for one in whole.mounts:
        lines = on_a_terminal(replace(whole, mounts=[one]), view)
        assert len(lines) <= SCREEN_LINES, "\n".join(lines)
    last = whole.mounts[-1]
    alone = brief(demo, view, IN_THE_DARK[name], [last.mount], member_name="Caspian Rook")
    assert alone.mounts == [last]
    assert alone.targets == whole.targets


def test_caution_darkness_pole_look_first_stars_targets_dues_stand_in_that_order(demo: Database) -> None:
    view = observing_site(demo, "Owlpenny Edge")
    made = brief(demo, view, IN_THE_DARK["Owlpenny Edge"], ["Bramble"], member_name="Caspian Rook")
    texts = [line.text for line in one_screen(made, view.zone)]
    beginnings = (SUN_CAUTION, "Fully dark", "Polaris is", "Look first", "Sync at", "Targets:", "Due:")
    places = [next(n for n, text in enumerate(texts) if text.startswith(begin)) for begin in beginnings]
    assert places == sorted(places)
    assert places[0] == 0, "nothing stands above the caution"


def test_every_section_names_the_command_that_shows_the_rest(demo: Database) -> None:
    view = observing_site(demo, "Owlpenny Edge")
    made = brief(demo, view, IN_THE_DARK["Owlpenny Edge"], ["Bramble"])
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
