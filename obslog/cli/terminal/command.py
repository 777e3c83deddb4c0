"""The shell around each command: a plain function in, a Typer command out.

    @command(app, "list", show=show_nights)
    def list_nights(database: "Database", most: Most = None) -> list[NightLine]:
        \"\"\"List the nights, the newest first.\"\"\"
        from obslog.club.night.nights import list_nights

        return list_nights(database, most)

    def show_nights(screen: Screen, nights: Sequence[NightLine]) -> None: ...

What the function asks for by one of the names in `HANDED_IN` is handed to it: `database` is opened for it and closed
again, `now` is the clock to the second, `state` is the rest. Its other parameters are the command's arguments and
options, which it declares as Typer has them; a date is declared with `options.day` and arrives as a date, also where
today or yesterday was typed. What it returns is printed as one JSON document with --json, an option that each command
with a `show` gets, and is else given to `show` with the screen. `show` is also handed those of the command's options
(and `now`) that it names after the first two. The function itself stays as it is, to be called from elsewhere.

Options that several commands take together are the fields of a record, declared as parameters would be. A command that
has a parameter `reach: Reach` takes --phone and --email where that parameter stands, and is called with the record:

    @dataclass(frozen=True, slots=True, kw_only=True)
    class Reach:
        phone: Annotated[str | None, typer.Option("--phone", help="The phone number.")] = None
        email: Annotated[str | None, typer.Option("--email", help="The e-mail address.")] = None

A command that writes something other than a page, such as a sheet, has no `show` and uses the screen itself.

A command with a `picture` takes --picture FILE: the function makes a picture of the same value, and may name options
(and `now`) as `show` does. Where it is to go is looked at before any work is done; the value is shown all the same.

`document` makes the JSON document where it is not the value itself. `then` sees the value after it was shown either
way, and may raise: `db check` fails so where it has found damage.
"""

import inspect
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import ExitStack, contextmanager
from dataclasses import is_dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Concatenate, ParamSpec, TypeVar, cast, overload

import typer

from obslog.cli.look.reader_gone import nobody_reads
from obslog.cli.server.second_try import tried_again
from obslog.cli.site_and_time import with_dates
from obslog.cli.terminal.help_pages import PlainCommand
from obslog.cli.terminal.options import AsJson, PictureFile
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State, state_of

if TYPE_CHECKING:
    from obslog.report.pictures.picture import Picture

HANDED_IN = ("database", "now", "state")

_Parameters = ParamSpec("_Parameters")
_Value = TypeVar("_Value")
_Show = Callable[Concatenate[Screen, _Value, ...], None]
_Draw = Callable[Concatenate[_Value, ...], "Picture"]
_Function = Callable[_Parameters, _Value]


@overload
def command(
    app: typer.Typer,
    name: str,
    *,
    show: _Show[_Value],
    document: Callable[[_Value], object] | None = None,
    picture: _Draw[_Value] | None = None,
    then: Callable[[_Value], None] | None = None,
    help: str | None = None,
) -> Callable[[_Function[_Parameters, _Value]], _Function[_Parameters, _Value]]: ...
@overload
def command(
    app: typer.Typer, name: str, *, help: str | None = None
) -> Callable[[_Function[_Parameters, None]], _Function[_Parameters, None]]: ...
def command(
    app: typer.Typer,
    name: str,
    *,
    show: Callable[..., None] | None = None,
    document: Callable[[Any], object] | None = None,
    picture: "Callable[..., Picture] | None" = None,
    then: Callable[[Any], None] | None = None,
    help: str | None = None,
) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    """Make the function a command of `app`; without `show` it shows what it has to itself, and takes no --json."""

    def register(function: Callable[..., Any]) -> Callable[..., Any]:
        parameters = inspect.signature(function).parameters
        handed = [name for name in parameters if name in HANDED_IN]
        asked = [parameter for name, parameter in parameters.items() if name not in HANDED_IN]

        def run(context: typer.Context, **given: Any) -> None:
            state = state_of(context)
            as_json = show is not None and given.pop("as_json")
            picture_file = _picture_file(given) if picture is not None else None
            with ExitStack() as opened:
                ours = _handed_in(handed, state, opened)
                given = with_dates(given, ours.get("database"), state)
                typed = gathered(asked, given)
                value = tried_again(lambda: function(**ours, **typed), ours.get("database"), state)
            state.screen.begin_answer()
            state.say_what_was_taken()
            known = given | {"now": state.now()}

            def draw() -> None:
                if picture is not None and picture_file is not None:
                    _write(picture(value, **_asked_by(picture, known, besides=1)), picture_file, state)

            with _also_without_a_reader(draw, state):
                if as_json:
                    state.screen.json(document(value) if document else value)
                elif show is not None:
                    show(state.screen, value, **_asked_by(show, known, besides=2))
            if then is not None:
                then(value)

        run.__name__, run.__doc__, run.__module__ = function.__name__, function.__doc__, function.__module__
        _declare(run, spread_out(asked), with_picture=picture is not None, with_json=show is not None)
        cast(Any, run).show = show
        cast(Any, run).makes = (function, document)  # what docs/make_schemas.py reads the types of
        app.command(name, cls=PlainCommand, help=help)(run)
        return function

    return register


def spread_out(parameters: Iterable[inspect.Parameter]) -> list[inspect.Parameter]:
    """The arguments and options as one types them: in place of a record, its fields."""
    return [field for parameter in parameters for field in _fields(parameter)]


def gathered(parameters: Iterable[inspect.Parameter], given: Mapping[str, Any]) -> dict[str, Any]:
    """What was typed, as the function takes it: the fields of a record put together again."""
    return {parameter.name: _value(parameter, given) for parameter in parameters}


def _value(parameter: inspect.Parameter, given: Mapping[str, Any]) -> Any:
    record = _record(parameter)
    if record is None:
        return given[parameter.name]
    return record(**{field.name: given[field.name] for field in _fields(parameter)})


def _fields(parameter: inspect.Parameter) -> list[inspect.Parameter]:
    record = _record(parameter)
    return [parameter] if record is None else list(inspect.signature(record).parameters.values())


def _record(parameter: inspect.Parameter) -> Callable[..., Any] | None:
    """The record that the parameter asks for; None where it is one argument or option."""
    annotation = parameter.annotation
    return annotation if isinstance(annotation, type) and is_dataclass(annotation) else None


def first_of(pair: tuple[object, object]) -> object:
    """For `document`, where a command returns a value with what showing it needs besides."""
    return pair[0]


def _options_named(function: Callable[..., object], besides: int) -> list[str]:
    return list(inspect.signature(function).parameters)[besides:]


def _handed_in(names: list[str], state: State, opened: ExitStack) -> dict[str, Any]:
    makers: dict[str, Callable[[], Any]] = {
        "database": lambda: opened.enter_context(state.database()),
        "now": state.now,
        "state": lambda: state,
    }
    return {name: makers[name]() for name in names}


def _asked_by(function: Callable[..., object], known: dict[str, Any], *, besides: int) -> dict[str, Any]:
    return {name: known[name] for name in _options_named(function, besides) if name in known}


def _picture_file(given: dict[str, Any]) -> Path | None:
    """The file that --picture names, once it is known that a picture can be written there."""
    file = given.pop("picture_file")
    if file is None:
        return None
    from obslog.report.pictures.files import check_place

    check_place(file)
    return Path(file)


@contextmanager
def _also_without_a_reader(draw: Callable[[], None], state: State) -> Iterator[None]:
    """Show first, and draw then: also where whoever reads the output has gone, as `head` does."""
    try:
        yield
        state.screen.flush()
    except OSError as error:
        if nobody_reads(error):
            draw()
        raise
    draw()


def _write(picture: "Picture", file: Path, state: State) -> None:
    from obslog.report.pictures.files import write_picture
    from obslog.report.pictures.ink import LIGHT, RED

    write_picture(picture, file, RED if state.screen.look.red else LIGHT)
    state.screen.note(f"Written: {file}")


def _declare(
    run: Callable[..., None], options: list[inspect.Parameter], *, with_picture: bool, with_json: bool
) -> None:
    """Let Typer see the context, the options, --picture and --json, but not what is handed in."""
    keyword = inspect.Parameter.KEYWORD_ONLY
    context = inspect.Parameter("context", keyword, annotation=typer.Context)
    as_json = inspect.Parameter("as_json", keyword, default=False, annotation=AsJson)
    picture = inspect.Parameter("picture_file", keyword, default=None, annotation=PictureFile)
    seen = [
        context,
        *(p.replace(kind=keyword) for p in options),
        *([picture] if with_picture else []),
        *([as_json] if with_json else []),
    ]
    cast(Any, run).__signature__ = inspect.Signature(seen)
    run.__annotations__ = {parameter.name: parameter.annotation for parameter in seen}
