"""Commands whose text arguments are taken as they are, for the quick verbs of the dark.

Typer hands every argument, even a text or one that was not given, to pydantic, whose import takes longer than all
the rest of a quick verb's own work. Here only numbers that were really given go that way, and words that are none of
those that fit.
"""

from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from typer.core import TyperCommand, TyperGroup


@dataclass(frozen=True)
class _AsItIs:
    """Stands in for Typer's conversion of one parameter, and calls on it only where there is something to convert."""

    descriptor: Any

    def coerce(self, value: Any, param: Any, ctx: Any) -> Any:
        text = self.descriptor.annotation in (str, list[str])
        if value is None or value == () or text:
            return list(value or ()) if param.multiple or param.nargs == -1 else value
        kind = self.descriptor.annotation
        if isinstance(kind, type) and issubclass(kind, StrEnum) and value in set(kind):
            return kind(value)
        from typer._coercion import build_runtime_param

        return build_runtime_param(self.descriptor).coerce(value, param=param, ctx=ctx)


class _PlainText:
    """Where Typer's insides are not those that are known here, its own conversion stays."""

    def get_params(self, ctx: Any) -> list[Any]:
        parameters: list[Any] = super().get_params(ctx)  # type: ignore[misc]
        for parameter in parameters:
            descriptor = getattr(parameter, "type_descriptor", None)
            if descriptor is not None and getattr(parameter, "_runtime_param", self) is None:
                parameter._runtime_param = _AsItIs(descriptor)
        return parameters


class PlainTextCommand(_PlainText, TyperCommand):
    """A command that takes its text arguments as they are."""


class PlainTextGroup(_PlainText, TyperGroup):
    """A group of commands whose own options are taken as they are."""
