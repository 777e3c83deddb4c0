"""Names in the shell: what a half-typed word may become, for arguments and options that take a name on record.

Which names a parameter takes follows from what it is called; words of a list are completed by Typer itself, but for
the steps of the checklist, which may be the club's own. As in
`fast_arguments`, the parameter's own method is replaced when a command is looked at. The database is only read, and
whatever goes wrong there is no name to offer and nothing to say: a shell prints it amid the line being typed.
"""

import re
from collections.abc import Callable, Mapping
from functools import partial
from typing import Any

from obslog.cli.terminal.fast_arguments import declared_type
from obslog.cli.terminal.state import State
from obslog.settings import database_target
from obslog.vocabulary.steps import Step

ITEMS = ("mount", "tube", "eyepiece", "item")
STAR = "star"
STEP = "step"
_MEMBER = ("member",)
KINDS: dict[str, tuple[str, ...]] = {
    **{kind: (kind,) for kind in ("mount", "tube", "eyepiece", "kit", "site", "member", STAR)},
    "mounts": ("mount",),
    "item": (*ITEMS, "kit"),
    "part": ITEMS,
    "parts": ITEMS,
    "battery": ("item",),
    **dict.fromkeys((STEP, "tick"), (STEP,)),
    **dict.fromkeys(("observer", "observers", "present", "not_seen_by"), _MEMBER),
}
# Commands whose words begin with what was looked at.
_STARS_FIRST = (
    "sync",
    "check",
    "goto",
    "where",
    "when",
)
_BY = {"service add": _MEMBER, "loan out": _MEMBER, "loan back": _MEMBER, "kit replace": ITEMS}
_COMMAND_OF_SHELL = "_OBSLOG_COMPLETE"
_SPECIAL_IN_ZSH = re.compile(r"[\\\"'`$:()\[\]{}]")


def offer_names(parameters: list[Any], callback: Callable[..., Any] | None) -> None:
    """Let each parameter that takes a name offer those on record."""
    declared = getattr(callback, "__annotations__", {})
    for parameter in parameters:
        is_text = declared_type(declared.get(parameter.name))[0] is str
        if is_text and "shell_complete" not in vars(parameter):
            parameter.shell_complete = partial(_offered, parameter)


def kinds_for(parameter: Any, context: Any) -> tuple[str, ...]:
    """The kinds whose names the parameter of that command takes; none for a new name or a free text."""
    group = context.parent.info_name if context.parent else None
    name, command = parameter.name, context.info_name
    is_argument = parameter.param_type_name == "argument"
    if is_argument and command == "add" and name in ("name", "kit"):
        return ()
    if is_argument and name == "name":
        return (group,) if group in (*ITEMS, "site", "member") else ()
    if name == "words":
        return (STAR,) if command in _STARS_FIRST else ()
    if name == "by":
        return _BY.get(f"{group} {command}", ())
    return KINDS.get(name, ())


def for_shell(name: str, environment: Mapping[str, str]) -> str | None:
    """The name as the shell that asks can take it into its line; None where it cannot or must not."""
    shell = environment.get(_COMMAND_OF_SHELL, "").partition("_")[2]
    if not name.isprintable() or name.startswith("-"):
        return None
    if shell == "bash":
        return _for_bash(name, _word_at_hand(environment))
    if shell == "zsh":
        return None if _SPECIAL_IN_ZSH.search(name) else name
    if shell in ("powershell", "pwsh"):
        return name if re.fullmatch(r"\w+", name) else "'" + re.sub("(['‘’‚‛])", r"\1\1", name) + "'"
    return name  # fish puts its own escapes


def _for_bash(name: str, typed: str) -> str | None:
    if typed.startswith('"'):
        return None if "!" in name else re.sub(r'([\\"$`])', r"\\\1", name)
    if typed.startswith("'"):
        return None if "'" in name else name
    return re.sub(r"([^\w@%+,./-])", r"\\\1", name)


def _word_at_hand(environment: Mapping[str, str]) -> str:
    """The word being typed as it stands in bash's line, its opening quote included."""
    words = environment.get("COMP_WORDS", "").split("\n")
    place = environment.get("COMP_CWORD", "")
    return words[int(place)] if place.isdecimal() and int(place) < len(words) else ""


def _offered(parameter: Any, context: Any, incomplete: str) -> list[Any]:
    from typer._click.shell_completion import CompletionItem

    state = context.find_root().obj
    if not isinstance(state, State):
        return []
    try:
        names = _names(kinds_for(parameter, context), context, state)
    except Exception:  # a shell would show it in the midst of what is being typed
        return []
    found = [for_shell(name, state.environment) for name in _begun(incomplete, names)]
    return [CompletionItem(name) for name in found if name is not None]


def _begun(typed: str, names: list[str]) -> list[str]:
    """The names that begin so; where none does, those of which a word begins so.

    Both at once would keep bash, which goes on as far as all agree, from completing what was begun.
    """
    from obslog.grammar.name_choice import begins_a_word

    begin = [name for name in names if name.casefold().startswith(typed.casefold())]
    return begin or [name for name in names if begins_a_word(typed, name)]


def _names(kinds: tuple[str, ...], context: Any, state: State) -> list[str]:
    if kinds == (STAR,):
        from obslog.sky.names.star_tables import all_stars

        return sorted(star.name for star in all_stars())
    if not kinds:
        return []
    from obslog.records.quick_names import names_on_record, own_steps

    target = database_target(context.find_root().params.get("db"), state.environment)
    return own_steps(target) or list(Step) if kinds == (STEP,) else names_on_record(target, kinds)
