"""What is asked of a text beside its length, where the program would stop at it later."""

import json
from collections.abc import Callable

from obslog.club.register.contacts import checked_reach
from obslog.club.whole_club.sheet_tables import record_kinds
from obslog.errors import WrongInput
from obslog.horizon import read_horizon
from obslog.times import zone_named


class UnknownRecordKind(WrongInput):
    def __init__(self, kind: str) -> None:
        super().__init__(f"{kind[:40]!r} is no kind of record.", "Leave the history as it was exported.")


class NotAnImage(WrongInput):
    def __init__(self) -> None:
        super().__init__("is not a record as JSON.", "Leave the history as it was exported.")


def check_of(table: str, column: str) -> Callable[[str], object] | None:
    """The check of a column's texts, which raises ObslogError; None where its length is all."""
    return _CHECKS.get((table, column)) or _CHECKS.get(("", column))


def _known_kind(kind: str) -> None:
    if kind not in record_kinds():
        raise UnknownRecordKind(kind)


def _image(text: str) -> None:
    try:
        image = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise NotAnImage from error
    if not isinstance(image, dict):
        raise NotAnImage


_CHECKS: dict[tuple[str, str], Callable[[str], object]] = {
    ("sites", "zone"): zone_named,
    ("sites", "horizon"): read_horizon,
    ("contacts", "email"): lambda text: checked_reach("email", text),
    ("", "record_kind"): _known_kind,
    ("changes", "before"): _image,
    ("changes", "after"): _image,
    ("parked_records", "image"): _image,
}
