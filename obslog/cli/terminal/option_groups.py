"""Options that several commands take together, declared once as the fields of a record.

    @dataclass(frozen=True, slots=True, kw_only=True)
    class Reach:
        phone: Annotated[str | None, typer.Option("--phone", help="The phone number.")] = None
        email: Annotated[str | None, typer.Option("--email", help="The e-mail address.")] = None

A command that has a parameter `reach: Reach` takes --phone and --email where that parameter stands, and is called with
the record. A field is declared as a parameter of the command would be, and its name is as much its own.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import is_dataclass
from inspect import Parameter, signature
from typing import Any


def spread_out(parameters: Iterable[Parameter]) -> list[Parameter]:
    """The arguments and options as one types them: in place of a record, its fields."""
    return [field for parameter in parameters for field in _fields(parameter)]


def gathered(parameters: Iterable[Parameter], given: Mapping[str, Any]) -> dict[str, Any]:
    """What was typed, as the function takes it: the fields of a record put together again."""
    return {parameter.name: _value(parameter, given) for parameter in parameters}


def _value(parameter: Parameter, given: Mapping[str, Any]) -> Any:
    record = _record(parameter)
    if record is None:
        return given[parameter.name]
    return record(**{field.name: given[field.name] for field in _fields(parameter)})


def _fields(parameter: Parameter) -> list[Parameter]:
    record = _record(parameter)
    return [parameter] if record is None else list(signature(record).parameters.values())


def _record(parameter: Parameter) -> Callable[..., Any] | None:
    """The record that the parameter asks for; None where it is one argument or option."""
    annotation = parameter.annotation
    return annotation if isinstance(annotation, type) and is_dataclass(annotation) else None
