"""What an item of a sheet is: from its word, from what is on record by its name, or from the columns that it fills."""

from collections.abc import Sequence
from typing import Any

from obslog import fields
from obslog.english import enumerated, with_article
from obslog.errors import ObslogError
from obslog.exchange.spreadsheets.columns import EquipmentKind, also_said
from obslog.exchange.spreadsheets.reading import ValueRow
from obslog.vocabulary.mounts import MountType

OWN_COLUMNS: dict[str, tuple[str, ...]] = {
    "mount": ("mount_type", "controller"),
    "tube": ("aperture_mm", "focal_mm"),
    "eyepiece": ("focal_mm", "field_deg", "field_stop_mm"),
    "item": ("category",),
}
_OF_ONE_KIND = {
    column: [kind for kind, own in OWN_COLUMNS.items() if column in own]
    for own in OWN_COLUMNS.values()
    for column in own
}


class WhatIsIt(ObslogError):
    def __init__(self, name: str, why: str) -> None:
        super().__init__(f"{name}: {why}.", "Write mount, tube, eyepiece or item in a column headed 'kind'.")


class NotOfThisKind(ObslogError):
    def __init__(self, name: str, kind: str, column: str) -> None:
        others = " or ".join(_OF_ONE_KIND[column])
        super().__init__(
            f"{name} is {with_article(kind)}, but {column} is of {with_article(others)}.",
            "Correct the kind, or empty the cell.",
        )


def kind_of(row: ValueRow, name: str, on_record: Sequence[str]) -> tuple[str, str | None]:
    """What the row is about, and its category where that stands in place of its kind.

    `on_record` are the kinds of the items that are on record by that name. Raises WhatIsIt.
    """
    said = row.values.get("kind")
    category = row.values.get("category")
    if said is not None:
        return _kind_said(name, " ".join(str(said).casefold().split()), category)
    if len(on_record) == 1:
        return on_record[0], None
    if len(on_record) > 1:
        raise WhatIsIt(
            name, f"there is {enumerated([with_article(kind) for kind in on_record])} of that name"
        )
    told_by = {
        _OF_ONE_KIND[c][0] for c in row.values if len(_OF_ONE_KIND.get(c, ())) == 1 and c != "category"
    }
    if len(told_by) == 1:
        return told_by.pop(), None
    if category is not None:
        return _kind_said(name, " ".join(str(category).casefold().split()), category)
    raise WhatIsIt(name, "it is not said what it is")


def told_of_kind(row: ValueRow, name: str, kind: str, category: str | None) -> dict[str, Any]:
    """What the row tells of an item of that kind. Raises NotOfThisKind, OutOfRange."""
    told = {**row.values, "name": name}
    told.pop("kind", None)
    if category is not None:
        told["category"] = category
    for column in told:
        if column in _OF_ONE_KIND and kind not in _OF_ONE_KIND[column] and column != "category":
            raise NotOfThisKind(name, kind, column)
    if kind != "item":
        told.pop("category", None)
        said = " ".join(str(row.values.get("kind", "")).casefold().split())
        if kind == "mount" and (of_type := _mount_types().get(_without_mount(said))):
            told.setdefault("mount_type", of_type)
    if kind == "eyepiece" and "focal_mm" in told:
        fields.EYEPIECE_FOCAL_MM.check(told["focal_mm"])
    return told


def _kind_said(name: str, said: str, category: object) -> tuple[str, str | None]:
    """A kind by its word or another for it; any other word is the category of an item, unless it holds one of those."""
    words = {**{kind: kind for kind in OWN_COLUMNS}, **also_said()[EquipmentKind]}
    if said in words:
        return words[said], None
    if _without_mount(said) in _mount_types():
        return "mount", None
    if any(word in words and words[word] != "item" for word in said.split()):
        raise WhatIsIt(name, f"{said!r} may be the item itself, or something that belongs to one")
    return "item", said if category is None else None


def _without_mount(said: str) -> str:
    return said.removesuffix(" mount")


def _mount_types() -> dict[str, MountType | None]:
    """The words for a type of mount, which say what an item is too; an equatorial one may be a german or a fork."""
    words = {str(word): word for word in MountType} | also_said()[MountType]
    return {said: None if said in ("equatorial", "eq") else MountType(word) for said, word in words.items()}
