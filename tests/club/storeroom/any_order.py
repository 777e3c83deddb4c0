"""Acts in any order on a small store-room in a file of its own, made anew for each sequence."""

import shutil
import tempfile
from collections.abc import Iterable, Mapping, Sequence
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path

from hypothesis import HealthCheck, settings
from hypothesis.stateful import RuleBasedStateMachine, run_state_machine_as_test

from obslog.club.register.named_records import add
from obslog.club.storeroom.kits import add_kit
from obslog.records.database import Database
from obslog.records.engine import make_engine

FIRST = datetime(2026, 1, 1, 20, tzinfo=UTC)


def opened(path: Path) -> Database:
    return Database(make_engine(str(path)), str(path))


class AnyOrder(RuleBasedStateMachine):
    """A store-room to act on; `template` is the file that each sequence begins with."""

    template: Path

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp())
        self.database = opened(Path(shutil.copy(self.template, self.folder / "club.db")))
        self.now = FIRST

    def teardown(self) -> None:
        self.database.close()
        with suppress(OSError):
            shutil.rmtree(self.folder)


def hold_in_any_order(
    machine: type[AnyOrder],
    path: Path,
    members: Iterable[str],
    things: Iterable[str],
    kits: Mapping[str, Sequence[str]],
) -> None:
    """Fill the empty database and let the machine act on copies of it."""
    database = opened(path)
    for member in members:
        add(database, "member", member, {}, FIRST)
    for thing in things:
        add(database, "eyepiece", thing, {}, FIRST)
    for kit, parts in kits.items():
        add_kit(database, kit, parts, FIRST)
    database.close()

    class Filled(machine):  # type: ignore[misc, valid-type]
        template = path

    quick = settings(
        max_examples=15,
        stateful_step_count=25,
        deadline=None,
        suppress_health_check=[HealthCheck.too_slow],
    )
    run_state_machine_as_test(Filled, settings=quick)
