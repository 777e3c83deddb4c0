"""The checklist in the club's file: the order of the steps, and its own words for them."""

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from obslog import fields
from obslog.club.routine.club_steps import SHIPPED_STEPS, StepEntry
from obslog.club.routine.file_lines import Path
from obslog.club.routine.file_values import FileValues, said
from obslog.club.routine.step_guides import steps_for
from obslog.errors import nearest_names
from obslog.records.tables.base import name_key
from obslog.vocabulary.mounts import MountType

ORDER: Path = ("checklist", "steps")
MOST_STEPS = 200
WORDS = {
    "title": fields.STEP_TITLE,
    "do": fields.STEP_WORDS,
    "tolerance": fields.STEP_TOLERANCE,
    "why": fields.STEP_WORDS,
}
OF_OWN = ("mounts", "about_the_mount")
_KEY = re.compile(r"[a-z][a-z0-9]*(-[a-z0-9]+)*")
_LIKE_A_REFERENCE = re.compile(r"[0-9a-f]+")
_SHIPPED = {entry.step: entry for entry in SHIPPED_STEPS}
_SHIPPED_TITLES = {kind: {guide.step: guide.title for guide in steps_for(kind)} for kind in MountType}


def read_steps_of_file(values: FileValues, told: Mapping[str, Any]) -> tuple[StepEntry, ...]:
    """The steps in order, then those left out; as shipped where the file says nothing of them."""
    described = {
        key: _entry(values, key, words)
        for key, words in values.table(told.get("step", {}), ("step",)).items()
        if _is_key(values, key, ("step", key))
    }
    order = _order(values, told, described)
    listed = [described.get(key) or _SHIPPED.get(key) or StepEntry(step=key) for key in order]
    left = [key for key in (*_SHIPPED, *described) if key not in order]
    left_out = [_left_out(described.get(key) or _SHIPPED[key]) for key in dict.fromkeys(left)]
    entries = (*listed, *left_out)
    _refuse_same_titles(values, entries, described)
    return entries


def _order(values: FileValues, told: Mapping[str, Any], described: Mapping[str, StepEntry]) -> list[str]:
    """The keys of the steps that are on the checklist."""
    if "checklist" not in told:
        _fault_steps_without_a_place(values, described)
        return list(_SHIPPED)
    checklist = values.table(told["checklist"], ("checklist",))
    values.only(checklist, ("checklist",), ("steps",))
    found: dict[str, Path] = {}
    for key, path in values.texts(checklist.get("steps", []), ORDER, fields.STEP):
        if key in found:
            first = values.lines.of(found[key])
            values.fault(path, f"The step {said(key)} is listed on line {first} already.", "List it once.")
        elif key in _SHIPPED or key in described:
            found[key] = path
        elif _is_key(values, key, path):
            _fault_unknown_step(values, key, path, known=[*_SHIPPED, *described])
    if not found and not values.faults:
        values.fault(
            ("checklist",),
            "The checklist has no steps.",
            "List them, or take the part [checklist] away for the one that ships.",
        )
    if len(found) > MOST_STEPS:
        values.fault(ORDER, f"The checklist has more than {MOST_STEPS} steps.", "Leave some out.")
    return list(found)


def _fault_steps_without_a_place(values: FileValues, described: Iterable[str]) -> None:
    for key in described:
        if key not in _SHIPPED:
            values.fault(
                ("step", key), f"The step {key} has no place.", "List the steps in order: [checklist] steps"
            )


def _fault_unknown_step(values: FileValues, key: str, path: Path, known: list[str]) -> None:
    near = nearest_names(key, known, most=1)
    meant = f"Did you mean {near[0]}? " if near else ""
    values.fault(
        path,
        f"The step {said(key)} does not ship, and nothing is said of it.",
        f"{meant}A step of your own is told of in a part of its own: [step.{key}]",
    )


def _entry(values: FileValues, key: str, told: object) -> StepEntry:
    """What the file says of one step."""
    path, ships = ("step", key), key in _SHIPPED
    words = values.table(told, path)
    values.only(words, path, tuple(WORDS) if ships else (*WORDS, *OF_OWN))
    found = {
        name: values.text(words[name], (*path, name), holds) for name, holds in WORDS.items() if name in words
    }
    if not ships:
        for name in ("title", "do"):
            if name not in words:
                values.fault(path, f"The step {key} has no {name}.", f'Say it: {name} = "..."')
    return StepEntry(
        step=key,
        title=found.get("title"),
        do=found.get("do"),
        tolerance=found.get("tolerance"),
        why=found.get("why"),
        mounts=() if ships else _mounts(values, words, path),
        about_the_mount=not ships
        and "about_the_mount" in words
        and values.yes_or_no(words["about_the_mount"], (*path, "about_the_mount")),
    )


def _mounts(values: FileValues, words: Mapping[str, Any], path: Path) -> tuple[MountType, ...]:
    found: list[MountType] = []
    for word, place in values.texts(words.get("mounts", []), (*path, "mounts"), fields.STEP):
        if word in list(MountType):
            found.append(MountType(word))
        else:
            values.fault(place, f"{said(word)} is no type of a mount.", f"Types: {', '.join(MountType)}.")
    return tuple(kind for kind in MountType if kind in found)


def _is_key(values: FileValues, key: str, path: Path) -> bool:
    if key in _SHIPPED:
        return True
    if not _KEY.fullmatch(key) or len(key) > fields.STEP.longest:
        values.fault(
            path,
            f"The step {said(key)} cannot be called so.",
            f"A step is one word of small letters, digits and hyphens, up to {fields.STEP.longest}: dew-heaters",
        )
        return False
    if _LIKE_A_REFERENCE.fullmatch(key):
        values.fault(
            path,
            f"The step {said(key)} could be taken for the reference of a snag.",
            "Add a letter after f, or a second word.",
        )
        return False
    return True


def _left_out(entry: StepEntry) -> StepEntry:
    return StepEntry(
        step=entry.step,
        left_out=True,
        title=entry.title,
        do=entry.do,
        tolerance=entry.tolerance,
        why=entry.why,
        mounts=entry.mounts,
        about_the_mount=entry.about_the_mount,
    )


def _refuse_same_titles(
    values: FileValues, entries: Sequence[StepEntry], described: Mapping[str, StepEntry]
) -> None:
    """Two steps of one title could not be told apart; a title that ships stays with its step."""
    taken: dict[str, str] = {}
    for titles in _SHIPPED_TITLES.values():
        taken |= {name_key(title): step for step, title in titles.items() if step in _SHIPPED}
    for entry in entries:
        if entry.title is None or entry.step not in described:
            continue
        other = taken.setdefault(name_key(entry.title), entry.step)
        if other != entry.step:
            values.fault(
                ("step", entry.step, "title"),
                f"The steps {other} and {entry.step} have the same title, {said(entry.title)}.",
                "Call one of them otherwise.",
            )
