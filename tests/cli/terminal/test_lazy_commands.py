"""Commands that are built when they are looked up, and not before."""

import sys

import pytest

from obslog.cli.terminal.lazy_commands import CommandEntry, LazyCommands

TABLE = {
    "words": CommandEntry("obslog.cli.words", "add_to", "Say what the words mean."),
    "import": CommandEntry("obslog.cli.sheets", "import_app", "Import data."),
    "gone": CommandEntry("obslog.cli.no_such_module", "app", "Nothing."),
}


def test_to_go_through_the_names_builds_nothing() -> None:
    commands = LazyCommands(TABLE)
    assert list(commands) == list(commands.keys()) == ["words", "import", "gone"]
    assert len(commands) == 3
    assert "gone" in commands
    assert "Gone" not in commands


def test_a_command_is_built_once(monkeypatch: pytest.MonkeyPatch) -> None:
    commands = LazyCommands(TABLE)
    first = commands["words"]
    monkeypatch.delitem(sys.modules, "obslog.cli.words")
    assert commands["words"] is first
    assert "obslog.cli.words" not in sys.modules


def test_a_group_is_built_with_its_commands() -> None:
    group = LazyCommands(TABLE)["import"]
    assert group.name == "import"
    assert "arrivals" in group.commands


def test_of_commands_that_are_added_together_only_the_one_asked_for_is_built() -> None:
    table = {"find": CommandEntry("obslog.cli.night.observations", "add_to", "Find words.")}
    assert LazyCommands(table)["find"].name == "find"
    with pytest.raises(KeyError):
        LazyCommands(table)["progress"]
    assert LazyCommands(table).get("progress") is None


def test_the_table_alone_says_what_there_is() -> None:
    commands = LazyCommands(TABLE)
    with pytest.raises(TypeError, match="belongs in the table"):
        commands["more"] = None
    with pytest.raises(TypeError, match="stays in the table"):
        del commands["words"]
