"""Looks at every part of an entry that was read: keys, times, names, texts, and that its parts fit each other."""

import re
from collections.abc import Collection
from datetime import UTC, datetime
from typing import Any

from msgspec import Struct

from obslog.exchange.bundles.entries import (
    ActEntry,
    ActFields,
    BatchEntry,
    BatchFields,
    ChangeEntry,
    ChangeFields,
    Entry,
)
from obslog.exchange.bundles.errors import ClockAhead, WrongEntry
from obslog.exchange.bundles.keys import are_keys, first_key_of, in_order, is_key, time_of
from obslog.exchange.bundles.limits import LONGEST_SENTENCE, MOST_COLUMNS, MOST_ROWS_A_LINE, Limits
from obslog.exchange.bundles.lines import parsed
from obslog.exchange.bundles.strict_json import NotMeant
from obslog.fields import TextField, UnusableText
from obslog.times import YEAR

_SENTENCE, _WHO = TextField("The sentence", LONGEST_SENTENCE), TextField("The name", LONGEST_SENTENCE)
_KIND, _COLUMN = re.compile(r"[A-Z][A-Za-z0-9]{0,63}"), re.compile(r"[A-Za-z_][A-Za-z0-9_]{0,63}")


class EntryReader:
    """Reads the lines of one bundle, as it is called, at a time."""

    def __init__(self, called: str, now: datetime, limits: Limits) -> None:
        self._called, self._now, self._ahead = called, now, limits.ahead
        self._too_late = first_key_of(now + limits.ahead)

    def entry(self, data: bytes, number: int) -> Entry:
        """The entry that a line holds, `number` being its place. Raises WrongEntry, ClockAhead."""
        try:
            fields, extra = parsed(data)
            if isinstance(fields, ActFields):
                return self._act(fields, extra)
            if isinstance(fields, ChangeFields):
                return self._change(fields, extra)
            return self._batch(fields, extra)
        except NotMeant as error:
            raise WrongEntry(self._called, number, error.what) from error

    def _act(self, act: ActFields, extra: dict[str, Any]) -> ActEntry:
        _check_keys(act, "id", "origin", "undoes_id")
        if not YEAR.holds(act.at_utc.year):
            raise NotMeant("`at_utc` is no time that anybody means")
        at_utc = act.at_utc.astimezone(UTC)
        if at_utc - self._now > self._ahead:
            raise ClockAhead(self._called, "An act", at_utc, self._now)
        self._check_clock(act.id, act.undoes_id)
        _check_text(_SENTENCE, "sentence", act.sentence)
        _check_text(_WHO, "who", act.who)
        return ActEntry(
            id=act.id,
            at_utc=at_utc,
            sentence=act.sentence,
            who=act.who,
            origin=act.origin,
            undoes_id=act.undoes_id,
            extra=extra,
        )

    def _change(self, change: ChangeFields, extra: dict[str, Any]) -> ChangeEntry:
        _check_keys(change, "id", "act_id", "record_id")
        self._check_clock(change.act_id)
        _check_kind(change.record_kind)
        images = [image for image in (change.before, change.after) if image is not None]
        if not images:
            raise NotMeant("it has neither `before` nor `after`")
        for image in images:
            _check_columns(image)
            if image.get("id", change.record_id) != change.record_id:
                raise NotMeant("an image is of another record")
        _check_columns(change.withheld)
        return ChangeEntry(**_values(change), extra=extra)

    def _batch(self, batch: BatchFields, extra: dict[str, Any]) -> BatchEntry:
        _check_keys(batch, "id", "act_id")
        self._check_clock(batch.act_id)
        _check_kind(batch.record_kind)
        _check_columns(batch.columns)
        _check_columns(batch.withheld)
        _check_rows(batch)
        return BatchEntry(**_values(batch), extra=extra)

    def _check_clock(self, *act_ids: str | None) -> None:
        """The order of acts is that of their keys: one far ahead would come after all others for years."""
        for act_id in act_ids:
            if act_id is not None and act_id >= self._too_late:
                raise ClockAhead(self._called, "The key of an act", time_of(act_id), self._now)


def _values(fields: Struct) -> dict[str, Any]:
    return {name: getattr(fields, name) for name in fields.__struct_fields__}


def _check_keys(fields: Struct, *names: str) -> None:
    for name in names:
        key = getattr(fields, name)
        if key is not None and not is_key(key):
            raise NotMeant(f"`{name}` is no key")


def _check_text(field: TextField, name: str, text: str | None) -> None:
    try:
        if text is not None:
            field.checked(text)
    except UnusableText as error:
        raise NotMeant(
            f"`{name}` does not have 1 to {field.longest:,} characters that can be shown"
        ) from error


def _check_kind(kind: str) -> None:
    if not _KIND.fullmatch(kind):
        raise NotMeant("`record_kind` is no name of a kind")


def _check_columns(names: Collection[str]) -> None:
    if len(names) > MOST_COLUMNS:
        raise NotMeant(f"a record has more than {MOST_COLUMNS} columns")
    if not all(map(_COLUMN.fullmatch, names)) or len(set(names)) != len(names):
        raise NotMeant("a column's name is none, or stands there twice")


def _check_rows(batch: BatchFields) -> None:
    ids, rows = batch.ids, batch.rows
    if not 1 <= len(ids) <= MOST_ROWS_A_LINE:
        raise NotMeant(f"a line of a batch has 1 to {MOST_ROWS_A_LINE:,} records")
    if len(rows) != len(ids) or set(map(len, rows)) != {len(batch.columns)}:
        raise NotMeant("its keys, columns and rows are not equally many")
    if not are_keys(ids) or not in_order(ids):
        raise NotMeant("`ids` are not keys in their order, each once")
    if "id" in batch.columns:
        place = batch.columns.index("id")
        if [row[place] for row in rows] != ids:
            raise NotMeant("a row is of another record")
