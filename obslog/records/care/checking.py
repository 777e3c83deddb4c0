"""A full check of a database: damage, references, values, times, the schema, merges, and the place of its file."""

from datetime import datetime

from sqlalchemy import Engine
from sqlalchemy.orm import Session

from obslog.records.care.copying import OpenDatabase
from obslog.records.care.damage import damage_in_file, loose_on_server, not_to_be_found
from obslog.records.care.finding import Finding
from obslog.records.care.impossible_times import impossible_times
from obslog.records.care.impossible_values import broken_rules, unreadable_values
from obslog.records.care.schema_drift import drift_found
from obslog.records.care.surroundings import surroundings
from obslog.records.driver_errors import in_sentences
from obslog.records.engine import file_of
from obslog.records.merging.checks import kind_words
from obslog.records.merging.kept_for_later import may_settle_all, set_aside_otherwise
from obslog.records.tables.column_types import key_of
from obslog.records.tables.keys import reference_of

_INDEX_AT_ODDS = ("missing from index", "wrong # of entries in index")
_SAID_OF_VALUES = ("CHECK constraint failed in ",)  # each such row is told with its rule and value below


def look_through(database: OpenDatabase, now: datetime, *, shared: bool = False) -> list[Finding]:
    """All that a full check finds, the grave first; nothing is changed.

    A damaged file is looked through no further: what else it says cannot be relied on. Raises what in_sentences raises,
    where not even that can be looked at.
    """
    engine = database.engine
    with in_sentences(database.where):
        found = _damaged(engine)
        if not any(one.subject == "damage" and not one.repairable for one in found):
            drift = drift_found(engine)
            found += drift
            if not any(one.grave and not one.repairable for one in drift):
                if engine.dialect.name != "sqlite":
                    found += _loose(loose_on_server(engine))
                found += [*_unfindable(engine), *_values(engine), *_times(engine, now)]
                if not any(one.grave for one in found):
                    found += _set_aside(engine)
    if path := file_of(engine):
        found += surroundings(path, shared=shared)
    return sorted(found, key=lambda one: not one.grave)


def _damaged(engine: Engine) -> list[Finding]:
    if engine.dialect.name != "sqlite":
        return []
    lines, loose = damage_in_file(engine)
    at_odds = [line for line in lines if any(words in line for words in _INDEX_AT_ODDS)]
    rest = [line for line in lines if line not in at_odds and not line.startswith(_SAID_OF_VALUES)]
    found = []
    if rest:
        found.append(
            Finding(
                subject="damage",
                what="The file is damaged.",
                count=len(rest),
                example=rest[0],
                advice="Keep the file as it is, and go back to the newest copy: obslog db restore",
                grave=True,
                lines=lines,
            )
        )
    elif at_odds:
        found.append(
            Finding(
                subject="damage",
                what="An index says something else than its table.",
                count=len(at_odds),
                example=at_odds[0],
                advice="obslog db check --repair makes the indexes anew. Watch the disk: failing ones begin so.",
                grave=True,
                repairable=True,
                lines=at_odds,
            )
        )
    return found + _loose(loose)


def _loose(lines: list[str]) -> list[Finding]:
    """What refers to nothing, as a finding, if anything does."""
    if not lines:
        return []
    return [
        Finding(
            subject="references",
            what="Rows refer to records that are not there.",
            count=len(lines),
            example=lines[0],
            advice="Something was deleted past the program. Go back to a copy that still has it: obslog db restore",
            grave=True,
            lines=lines,
        )
    ]


def _unfindable(engine: Engine) -> list[Finding]:
    return [
        Finding(
            subject="search",
            what=f"{line}.",
            count=count,
            advice="obslog db check --repair makes the search texts anew.",
            grave=True,
            repairable=True,
            lines=[line],
        )
        for line, count in not_to_be_found(engine)
    ]


def _values(engine: Engine) -> list[Finding]:
    found = broken_rules(engine)
    with engine.connect() as connection:
        return found + unreadable_values(connection)


def _times(engine: Engine, now: datetime) -> list[Finding]:
    with engine.connect() as connection:
        return impossible_times(connection, now)


def _set_aside(engine: Engine) -> list[Finding]:
    """What a merge of an older version put aside, or beside others, by other rules than those of today."""
    with Session(engine) as session:
        otherwise = set_aside_otherwise(session) if may_settle_all(session) else []
    if not otherwise:
        return []
    stand = "record stands" if len(otherwise) == 1 else "records stand"
    return [
        Finding(
            subject="merging",
            what=f"{len(otherwise)} {stand} otherwise than this version merges.",
            count=len(otherwise),
            advice="An older version merged them. obslog db check --repair settles them anew; do so on each laptop.",
            grave=False,
            repairable=True,
            lines=[f"{kind_words(kind)} {reference_of(key_of(key))}" for kind, key in otherwise],
        )
    ]
