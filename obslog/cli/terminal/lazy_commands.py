"""A group of commands, each imported and built when it is asked for.

A command line names one command; importing and building all the others would cost a quick verb many times its own
work. The summary that the list of commands shows is therefore written in the table, and a test holds it to the
command's own.
"""

from collections.abc import Iterator, Mapping, MutableMapping
from dataclasses import dataclass
from importlib import import_module
from typing import Any

import typer
from typer.main import get_command

from obslog.cli.terminal.help_pages import PlainGroup


@dataclass(frozen=True, slots=True)
class CommandEntry:
    """Where a command comes from: a module, and in it a group, or a function that adds commands to one."""

    module: str
    attribute: str
    summary: str


Table = dict[str, CommandEntry]


class LazyCommands(MutableMapping[str, Any]):
    """The commands of a table by their names; to look one up builds it, to go through the names builds none."""

    def __init__(self, table: Table) -> None:
        self.table = table
        self._built: dict[str, Any] = {}

    def __getitem__(self, name: str) -> Any:
        if name not in self._built:
            self._built[name] = _build(name, self.table[name])
        return self._built[name]

    def __contains__(self, name: object) -> bool:
        return name in self.table

    def __setitem__(self, name: str, command: Any) -> None:
        raise TypeError(f"{name} belongs in the table of commands")

    def __delitem__(self, name: str) -> None:
        raise TypeError(f"{name} stays in the table of commands")

    def __iter__(self) -> Iterator[str]:
        return iter(self.table)

    def __len__(self) -> int:
        return len(self.table)


class LazyGroup(PlainGroup):
    """A group whose commands are those of `table`, which its help shows in `parts`; a subclass gives both."""

    table: Table
    parts: Mapping[str, Table]

    def __init__(self, **given: Any) -> None:
        super().__init__(**given | {"commands": None})
        self.commands = LazyCommands(self.table)

    def format_commands(self, ctx: Any, formatter: Any) -> None:
        longest = max(map(len, self.table))
        for heading, part in self.parts.items():
            with formatter.section(heading):
                formatter.write_dl([(f"{name:<{longest}}", entry.summary) for name, entry in part.items()])

    def shell_complete(self, ctx: Any, incomplete: str) -> list[Any]:
        from typer._click.shell_completion import CompletionItem

        if incomplete.startswith("-"):  # no command begins so, and none is built
            return super().shell_complete(ctx, incomplete)
        return [
            CompletionItem(name, help=entry.summary)
            for name, entry in self.table.items()
            if name.startswith(incomplete)
        ]


def _build(name: str, entry: CommandEntry) -> Any:
    """The command itself. What is added together with it is left out."""
    part = getattr(import_module(entry.module), entry.attribute)
    holder = typer.Typer(add_completion=False, rich_markup_mode=None, pretty_exceptions_enable=False)
    holder.callback()(_nothing)  # with a callback of its own a Typer is a group, even if it holds one command
    if isinstance(part, typer.Typer):
        holder.add_typer(part, name=name, cls=PlainGroup)
    else:
        part(holder)
        holder.registered_commands = [one for one in holder.registered_commands if one.name == name]
    group: Any = get_command(holder)
    return group.commands[name]


def _nothing() -> None:
    """Stands for what comes before a command; the program's own options are read by the program."""
