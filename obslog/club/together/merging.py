"""Merging bundles: what other laptops know is taken in, whole or not at all, and the same bundle twice adds nothing."""

from collections.abc import Sequence
from contextlib import ExitStack
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from obslog.club.privacy.leaving_members import wiped
from obslog.club.together.forgetting import Forgetting
from obslog.club.together.merged import Merged, merged_of
from obslog.errors import WrongInput
from obslog.exchange.bundles.keys import time_of
from obslog.exchange.bundles.reading import Bundle, read_bundle
from obslog.records.bundles.taking_in import take_in
from obslog.records.care.copies_before import copy_before, remove_older, take_back
from obslog.records.database import Database
from obslog.records.driver_errors import files_in_sentences
from obslog.records.engine import file_of
from obslog.records.files.copies import copies_holding
from obslog.records.merging.checks import ValueRefused
from obslog.records.tables.keys import new_key
from obslog.records.upgrading import known_revisions


class NoBundleThere(WrongInput):
    def __init__(self, path: Path, why: str) -> None:
        super().__init__(f"{path} cannot be read: {why}.", "Nothing was taken in. Name the bundle's file.")


class NewerValue(WrongInput):
    """A value that this version would not let anybody type, from a version that it does not know."""

    def __init__(self, refused: ValueRefused) -> None:
        super().__init__(
            refused.message,
            "A newer version wrote that. Nothing was taken in: update the program here, then merge it again.",
        )


class _OnlyLooked(Exception):
    """Takes back what was only looked at."""


def merge_bundles(
    database: Database, paths: Sequence[Path], now: datetime, *, only_look: bool = False
) -> Merged:
    """Take in what the bundles tell, in one transaction; with `only_look` all is taken back again.

    The file is copied before, and the copy kept where anything came in.
    Raises NoBundleThere, BrokenBundle, ValueRefused, NewerValue, ActNotTold, ActToldOtherwise; then nothing was taken.
    """
    merged: Merged | None = None
    with ExitStack() as files:
        bundles = [_opened(files, path, now) for path in paths]
        copy = None if only_look else copy_before(database, "merge", now)
        forgetting = Forgetting()
        try:
            with database.write(now) as session:
                taken = take_in(session, [bundle.entries for bundle in bundles], forgetting.prepare)
                merged = replace(merged_of(session, paths, taken, copy), forgotten=forgetting.neutral)
                if only_look:
                    raise _OnlyLooked
        except _OnlyLooked:
            pass
        except ValueRefused as error:
            if {bundle.manifest.schema for bundle in bundles} <= known_revisions():
                raise
            raise NewerValue(error) from error
        finally:
            if copy is not None and (merged is None or merged.copy is None):
                take_back(copy)
    assert merged is not None
    removed = _older_removed(database, merged.copy, now)
    if forgetting.neutral and not only_look:
        wiped(database)
        merged = replace(merged, copies=copies_holding(database.engine, forgetting.texts))
    return replace(merged, done=not only_look, removed=[str(one) for one in removed])


def _older_removed(database: Database, copy: str | None, now: datetime) -> list[Path]:
    place = file_of(database.engine)
    return remove_older(place, Path(copy), now) if place is not None and copy is not None else []


def _opened(files: ExitStack, path: Path, now: datetime) -> Bundle:
    if path.is_dir():
        raise NoBundleThere(path, "it is a folder")
    with files_in_sentences(str(path)):
        try:
            stream = files.enter_context(path.open("rb"))
        except FileNotFoundError as error:
            raise NoBundleThere(path, "there is no such file") from error
    return read_bundle(stream, max(now, time_of(str(new_key()))), called=path.name)
