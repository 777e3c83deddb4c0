"""How the answer to each verb is shown: mostly by the screens of the commands that do the same."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from obslog.cli.prompt import short_pages
from obslog.cli.terminal.caution import show_caution
from obslog.cli.terminal.screen import Screen
from obslog.club.evening.asked import Answer, SaidWords
from obslog.club.evening.hints import at_the_prompt

if TYPE_CHECKING:
    from obslog.club.live.answers import LiveAnswer

Show = Callable[[Screen, Answer], None]


def show_answer(screen: Screen, answer: Answer) -> None:
    """Show what came of a line; of quit nothing."""
    if isinstance(answer.value, SaidWords):
        for sentence in answer.value.words:
            screen.line(sentence, hang=2)
    elif answer.verb in _SHOWN:
        _SHOWN[answer.verb](screen, answer)
    for sentence in answer.taken:
        screen.note(sentence)


def show_said(screen: Screen, said: "Sequence[LiveAnswer]") -> None:
    """What is said of its own accord, the cautions first."""
    for one in said:
        if one.is_caution:
            show_caution(screen, one.words)
        else:
            screen.line(f"* {at_the_prompt(one.words)}", indent=2, hang=2)


def document(answer: Answer) -> object:
    """The answer as scripts read it."""
    if isinstance(answer.value, SaidWords):
        return {"said": answer.value.words}
    return answer.value


def _arrival(screen: Screen, answer: Answer) -> None:
    from obslog.cli.night.quick_verbs import show_arrival, show_edited
    from obslog.club.night.arrivals import RecordedArrival
    from obslog.club.night.observation_corrections import RemovedObservation
    from obslog.club.night.observations import RecordedObservations

    value = answer.value
    if isinstance(value, RecordedObservations | RemovedObservation):
        _seen(screen, answer)
        return
    if not isinstance(value, RecordedArrival):
        show_edited(screen, value)
        return

    told = replace(value, remarks=[at_the_prompt(remark) for remark in value.remarks])
    side = f"  pier {value.arrival.pier_side}" if value.arrival.pier_side else ""
    show_arrival(
        screen, replace(told, arrival=replace(told.arrival, offset=f"{_place(value)}{side}", landing=None))
    )


def _place(recorded: Any) -> str:
    return recorded.arrival.offset or recorded.arrival.landing or ""


def _seen(screen: Screen, answer: Answer) -> None:
    from obslog.cli.night.observations import show_edited
    from obslog.club.night.observations import RecordedObservations

    value = answer.value
    if isinstance(value, RecordedObservations):
        value = replace(value, remarks=[at_the_prompt(remark) for remark in value.remarks])
    show_edited(screen, value)


def _undone(screen: Screen, answer: Answer) -> None:
    from obslog.cli.night.quick_verbs import show_undone

    show_undone(screen, answer.value)


def _history(screen: Screen, answer: Answer) -> None:
    from obslog.cli.history import show_history

    show_history(screen, answer.value, most="most")


def _side(screen: Screen, answer: Answer) -> None:
    page = answer.value.setup
    screen.line(f"Tube on the {page.pier_side} side of the pier from {page.pier_side_since}.  ({page.mount})")
    for remark in answer.value.remarks:
        screen.note(at_the_prompt(remark))


def _redone(screen: Screen, answer: Answer) -> None:
    screen.line(f"Done again: {answer.value['redone']}")


def _snag(screen: Screen, answer: Answer) -> None:
    from obslog.cli.night.snag import show_added

    show_added(screen, answer.value)


def _tick(screen: Screen, answer: Answer) -> None:
    from obslog.cli.checklist.checklist import show_checklist_or_tick

    show_checklist_or_tick(screen, answer.value, short=False)


def _battery(screen: Screen, answer: Answer) -> None:
    from obslog.cli.upkeep.battery import show_battery

    show_battery(screen, answer.value)


def _sky(screen: Screen, answer: Answer) -> None:
    page = answer.value
    last = page.sky[-1]
    screen.line(f"sky: {last.scale} {last.value:g}  (night of {page.night} at {page.site})", hang=2)


def _note(screen: Screen, answer: Answer) -> None:
    page = answer.value
    screen.line(f"noted: {page.note.splitlines()[-1]}  (night of {page.night} at {page.site})", hang=2)


def _night(screen: Screen, answer: Answer) -> None:
    short_pages.show_night(screen, answer.value)


def _setup(screen: Screen, answer: Answer) -> None:
    short_pages.show_setup(screen, answer.value)


def _list(screen: Screen, answer: Answer) -> None:
    page, seen = answer.value
    short_pages.show_list(screen, page, seen)


def _next(screen: Screen, answer: Answer) -> None:
    short_pages.show_next(screen, answer.value, str(answer.beside))


def _where(screen: Screen, answer: Answer) -> None:
    short_pages.show_where(screen, answer.value, answer.beside)


def _when(screen: Screen, answer: Answer) -> None:
    short_pages.show_when(screen, answer.value, answer.beside)


def _pole(screen: Screen, answer: Answer) -> None:
    short_pages.show_pole(screen, answer.value, answer.beside)


def _brief(screen: Screen, answer: Answer) -> None:
    from obslog.cli.checklist.brief_screen import AT_THE_PROMPT, one_screen

    for line in one_screen(answer.value, answer.beside, AT_THE_PROMPT):
        screen.line(*line)


def _checklist(screen: Screen, answer: Answer) -> None:
    from obslog.cli.checklist.checklist import show_checklist

    show_checklist(screen, answer.value, short=bool(answer.beside))


def _targets(screen: Screen, answer: Answer) -> None:
    short_pages.show_targets(screen, answer.value, answer.beside)


def _stocktake(screen: Screen, answer: Answer) -> None:
    from obslog.cli.prompt.stocktake_pages import show_stocktake

    show_stocktake(screen, answer.value)


def _help(screen: Screen, answer: Answer) -> None:
    value = answer.value
    if len(value) == 1:
        (verb,) = value
        screen.line(f"{verb.summary} {verb.more}".rstrip())
        screen.line(f"Write: {verb.written}", hang=2)
        for example in verb.examples:
            screen.line(example, indent=4)
        return
    width = max(len(verb.name) for verb in value)
    for verb in value:
        screen.line(f"{verb.name:<{width}}  {verb.summary}", hang=width + 2)
    screen.line(
        "A beginning will do: sy for sync. More on one: help sync. A time may stand first: 21:05 sync vega"
    )


_SHOWN: dict[str, Show] = {
    **dict.fromkeys(("sync", "check", "goto", "edit"), _arrival),
    **dict.fromkeys(("saw", "suspected", "not-seen"), _seen),
    "undo": _undone,
    "history": _history,
    "redo": _redone,
    **dict.fromkeys(("pier", "flip"), _side),
    "snag": _snag,
    "tick": _tick,
    "battery": _battery,
    "sky": _sky,
    "note": _note,
    "night": _night,
    "setup": _setup,
    "list": _list,
    "next": _next,
    "where": _where,
    "when": _when,
    "pole": _pole,
    "brief": _brief,
    "checklist": _checklist,
    "targets": _targets,
    "stocktake": _stocktake,
    "help": _help,
}
