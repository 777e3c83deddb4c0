"""What is on record of a kind beside its name: told once, for the command that adds one and that which changes it."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from inspect import Parameter, Signature
from typing import TYPE_CHECKING, Annotated, Any

import typer

from obslog.cli.register.named_records import Record, add_retire, given, show_record
from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import Name, Note, Rename
from obslog.english import with_article

if TYPE_CHECKING:
    from obslog.records.database import Database


@dataclass(frozen=True, slots=True)
class Detail:
    """One detail: its column, its type, the option that fills it in, and whether nothing is added without it."""

    column: str
    type: Any
    option: Any
    needed: bool = False

    def parameter(self, *, when_added: bool) -> Parameter:
        if when_added and self.needed:
            return _parameter(self.column, Annotated[self.type, self.option])
        return _parameter(self.column, Annotated[self.type | None, self.option], None)


def add_and_edit(
    group: typer.Typer, kind: str, details: Sequence[Detail], *, example: str, added: str | None = None
) -> None:
    """Give a group the commands that add one of its kind, change it and retire it; `added` is what the first adds."""

    def add_one(database: "Database", now: datetime, name: str, **values: Any) -> Record:
        from obslog.club.register.named_records import add

        return add(database, kind, name, given(values), now)

    def edit_one(database: "Database", now: datetime, name: str, rename: str | None, **values: Any) -> Record:
        from obslog.club.register.named_records import edit

        return edit(database, kind, name, given(values), now, rename=rename)

    asked = [detail.parameter(when_added=True) for detail in details]
    _declare(add_one, [*asked, _parameter("note", Note, None)])
    add_one.__doc__ = f"Put {added or with_article(kind)} on record.\n\n{example}\n"
    command(group, "add", show=show_record)(add_one)

    asked = [detail.parameter(when_added=False) for detail in details]
    _declare(edit_one, [*asked, _parameter("rename", Rename, None), _parameter("note", Note, None)])
    edit_one.__doc__ = f"Change what is on record of {with_article(kind)}."
    command(group, "edit", show=show_record)(edit_one)
    add_retire(group, kind)


def _declare(function: Any, options: Sequence[Parameter]) -> None:
    """Let `command` see these options where the function takes them all by keyword."""
    handed_in = [_parameter(name, None) for name in ("database", "now")]
    function.__signature__ = Signature([*handed_in, _parameter("name", Name), *options])


def _parameter(name: str, annotation: Any, default: Any = Parameter.empty) -> Parameter:
    return Parameter(name, Parameter.KEYWORD_ONLY, annotation=annotation, default=default)
