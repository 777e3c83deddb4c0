"""The rows of the tables made what the log says they are, as far as they can stand beside each other.

Begins with the records of which something new is in the log, and goes on to whatever these reach. What comes of it
depends on what is in the log alone, whichever record is begun with.
"""

from collections.abc import Iterable, Mapping
from contextlib import closing
from dataclasses import dataclass, field

from sqlalchemy.orm import Session

from obslog.records.history.folding import fold
from obslog.records.merging import obstacles
from obslog.records.merging.batch_images import keep_images_of
from obslog.records.merging.checks import defaults
from obslog.records.merging.known_world import Key, KnownWorld
from obslog.records.merging.obstacles import Parked
from obslog.records.merging.row_images import Row, delete_rows, insert_images, rows_of
from obslog.records.merging.row_writing import write_rows
from obslog.records.merging.same_aliases import Aliases, changed_names, read_aliases
from obslog.records.merging.standing import Aside, Standing, joined_row, stand
from obslog.records.tables.logbook import SameRecord

JOINS = SameRecord.__name__


@dataclass(slots=True)
class Settled:
    """What settling changed in the tables, and what does not stand as the log says."""

    before: dict[Key, Row | None] = field(default_factory=dict)
    after: dict[Key, Row | None] = field(default_factory=dict)
    asides: dict[Key, tuple[Aside, ...]] = field(default_factory=dict)


def settle(session: Session, touched: Iterable[Key]) -> Settled:
    """Make rows of what the log says of these records, and of whatever they reach, in the session's transaction."""
    wanted = set(touched)
    before = read_aliases(session)
    _settle_joins(session, {record_id for kind, record_id in wanted if kind == JOINS}, before)
    aliases = read_aliases(session)
    with closing(KnownWorld(session, aliases)) as world:
        rows = _decided(world, wanted, changed_names(before, aliases))
        _keep_images(world, rows)
        return _write(world, rows)


def would_settle(session: Session, touched: Iterable[Key]) -> Settled:
    """What `settle` would make of these records, none of which joins others; nothing is written."""
    with closing(KnownWorld(session, read_aliases(session))) as world:
        return _settled(world, _decided(world, touched, ()))


def _decided(world: KnownWorld, touched: Iterable[Key], names: Iterable[str]) -> dict[Key, Standing]:
    """How these records stand, those that another record stands for since just now, and whatever they reach."""
    world.push(key for key in touched if key[0] != JOINS)
    for record_id in names:  # of whatever kind: a stranger may have said another
        world.push((kind, record_id) for kind in world.kinds if kind != JOINS)
    while (key := world.next()) is not None:
        world.decide(key, _standing(world, key))
    for kind, record_id in sorted(world.hosts):
        if (kind, record_id) not in world.decided:
            world.state_of(kind, record_id)
            world.decide((kind, record_id), _standing(world, (kind, record_id)))
    return _with_what_others_say(world)


def _settle_joins(session: Session, ids: set[str], aliases: Aliases) -> None:
    """The rows that say which records are one: they stand beside anything, and all else hangs on them."""
    world = KnownWorld(session, aliases)
    kind = world.kinds[JOINS]
    try:
        states = {record_id: world.state_of(JOINS, record_id) for record_id in ids}
    finally:
        world.close()
    there = rows_of(session, kind, ids)
    alive = {record_id: state.fields for record_id, state in states.items() if state and state.alive}
    delete_rows(session, kind, there.keys() - alive.keys())
    insert_images(session, kind, [alive[record_id] for record_id in sorted(alive.keys() - there.keys())])


def _standing(world: KnownWorld, key: Key) -> Standing:
    kind, record_id = key
    state = world.states[key]
    if state is None or not state.alive or world.aliases.stands_for(record_id) != record_id:
        return Standing(None)
    return stand(world.kinds[kind], record_id, state.fields, world)


def _with_what_others_say(world: KnownWorld) -> dict[Key, Standing]:
    """The decisions, the rows of which hold what records of the same meaning add to them."""
    saying = obstacles.said_again_by(
        world.session, [record_id for (_kind, record_id), one in world.decided.items() if one.row is not None]
    )
    decided = dict(world.decided)
    same: dict[Key, set[str]] = {}
    for (kind, record_id), standing in decided.items():
        if host := standing.same_as:
            same.setdefault((kind, host), set()).add(record_id)
        if standing.row is not None:
            before = {one for one in saying.get(record_id, ()) if (kind, one) not in decided}
            if before:
                same.setdefault((kind, record_id), set()).update(before)
    for (kind, host), others in same.items():
        standing = decided[kind, host]
        if standing.row is None:
            continue
        entries = list(world.entries[kind, host])
        for other in others:
            world.state_of(kind, other)
            entries += world.entries[kind, other]
        together = fold(entries, as_one=True).fields
        row, asides = joined_row(world.kinds[kind], standing.row, together, world)
        decided[kind, host] = Standing(row, (*standing.asides, *asides))
    return decided


def _keep_images(world: KnownWorld, decided: Mapping[Key, Standing]) -> None:
    """Keep what came with many as it came, where its row says something else: nothing else would tell it."""
    told_by_rows: dict[str, list[str]] = {}
    for (kind, record_id), standing in decided.items():
        row = world.rows[kind, record_id]
        entries = world.entries[kind, record_id]
        if row is not None and row != standing.row and all(entry.before is None for entry in entries):
            told_by_rows.setdefault(kind, []).append(record_id)
    for kind, ids in told_by_rows.items():
        keep_images_of(world.reader, kind, ids)


def _settled(world: KnownWorld, decided: Mapping[Key, Standing]) -> Settled:
    done = Settled()
    for key, standing in decided.items():
        filled = defaults(world.kinds[key[0]])
        row = standing.row and {
            name: standing.row.get(name, filled[name])
            for name in world.kinds[key[0]].columns
            if name != "search_text"
        }
        done.before[key], done.after[key] = world.rows[key], row
        if standing.asides:
            done.asides[key] = standing.asides
    return done


def _write(world: KnownWorld, decided: Mapping[Key, Standing]) -> Settled:
    done = _settled(world, decided)
    write_rows(world.session, world.kinds, done.before, done.after)
    obstacles.write_obstacles(world.session, decided, done.asides, _parked(world, done.asides))
    world.session.expire_all()
    return done


def _parked(world: KnownWorld, asides: Mapping[Key, tuple[Aside, ...]]) -> dict[Key, Parked]:
    """Those that have no row for one of these reasons."""
    parked: dict[Key, Parked] = {}
    for key, several in asides.items():
        out = next((aside for aside in several if aside.why.out), None)
        state = world.states[key]
        if out is not None and state is not None:
            parked[key] = Parked(state.fields, out)
    return parked
