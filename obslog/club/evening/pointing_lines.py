"""Lines about arrivals: sync, check, goto, the correction of one, and what is taken back."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TypeVar

from obslog.club.evening.asked import Asked
from obslog.club.night.arrival_corrections import RemovedArrival, edit_arrival, remove_arrival
from obslog.club.night.arrival_entries import ArrivalEntry, apply_entry, entry_of
from obslog.club.night.arrivals import RecordedArrival, question_arrival, record_arrival
from obslog.club.night.open_night import chosen_setup, instant_in_night
from obslog.club.night.plausibility import WORTH_A_LOOK_ARCMIN, Doubtful, question_all
from obslog.club.register.names_on_record import names_on_record
from obslog.errors import WrongInput
from obslog.grammar.arrival_words import ArrivalSaid, read_arrival
from obslog.grammar.target_names import UnknownTarget, target_named
from obslog.offsets import WrittenOffset
from obslog.records.tables.logbook_tables import Arrival
from obslog.vocabulary.arrivals import Role

_ANY_STAR = "Vega"
_Said = TypeVar("_Said")


def arrive(asked: Asked, role: Role) -> RecordedArrival:
    """Put an arrival on record; the side of the pier is the line's, else the one that was said for what follows."""
    entry = entry_of(_said(asked, asked.line.words), ArrivalEntry(at=asked.line.at))
    if not asked.sure:
        _question_first_star(asked, role, entry)
    return record_arrival(asked.database, role, entry, asked.setup, asked.now, sure=asked.sure)


def correct(asked: Asked) -> RecordedArrival | RemovedArrival:
    """`edit 3 3W 2N`: the arrival of that number, or the last one that was typed in, corrected or removed."""
    words = list(asked.line.words)
    if words and words[0].casefold() == "last":
        words.pop(0)
    number = int(words.pop(0)) if words and words[0].isdecimal() else None
    if [word.casefold() for word in words] == ["remove"]:
        return remove_arrival(asked.database, number, asked.setup_tonight, asked.now)
    role = Role(words.pop(0).casefold()) if words and words[0].casefold() in list(Role) else None
    entry = replace(_corrected(asked, words), role=role)
    return edit_arrival(asked.database, number, entry, asked.setup_tonight, asked.now, sure=asked.sure)


def _question_first_star(asked: Asked, role: Role, entry: ArrivalEntry) -> None:
    """Raise FirstStarFarOff where the first star of the set-up stood so far off that something was keyed in wrongly."""
    if not isinstance(entry.where, WrittenOffset) or entry.target is None:
        return
    target = target_named(entry.target)
    with asked.database.read() as session:
        where = chosen_setup(session, asked.setup)
        at_utc = instant_in_night(entry.at, where.night, where.site, asked.now)
        tried = Arrival(setup_id=where.setup.id, at_utc=at_utc, role=role, target=target.name)
        apply_entry(session, tried, entry, target, where)
        east, north = tried.offset_east_arcmin or 0.0, tried.offset_north_arcmin or 0.0
        if max(abs(east), abs(north)) < WORTH_A_LOOK_ARCMIN:
            return
        from obslog.club.live.first_star import first_star_question

        question = first_star_question(session, where, target, at_utc, (east, north))
        if question is not None:
            question_all(lambda: _raise(question), lambda: question_arrival(tried, target, where))


def _raise(question: Doubtful) -> None:
    raise question


def as_meant(asked: Asked, words: Sequence[str], read: Callable[[Sequence[str]], _Said]) -> _Said:
    """What the words say, with the chosen name in place of one that is not known. Raises UnknownTarget."""
    try:
        return read(words)
    except UnknownTarget as error:
        if asked.target is None:
            raise
        return read((asked.target, *error.words[len(error.name.split()) :]))


def _said(asked: Asked, words: Sequence[str]) -> ArrivalSaid:
    names = names_on_record(asked.database)
    return as_meant(
        asked,
        words,
        lambda words: read_arrival(words, note=asked.line.text, as_written=asked.keeps_names, names=names),
    )


def _corrected(asked: Asked, words: Sequence[str]) -> ArrivalEntry:
    """What a correction says; a place or a setting may stand alone, the star is then as it was."""
    told = ArrivalEntry(at=asked.line.at)
    if not words:
        return replace(told, note=asked.line.text)
    try:
        said = read_arrival((_ANY_STAR, *words), note=asked.line.text, names=names_on_record(asked.database))
    except WrongInput:
        return entry_of(_said(asked, words), told)
    return replace(entry_of(said, told), target=None)
