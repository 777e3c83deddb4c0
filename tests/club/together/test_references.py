"""A reference typed where it is of no use: what settles it is said, and nothing changes."""

from datetime import datetime

import pytest

from obslog.club.register.named_records import add, edit
from obslog.club.storeroom.loans import lend
from obslog.club.together.contradictions import list_conflicts
from obslog.club.together.deciding import choose, drop
from obslog.club.together.references import NothingToChoose, NothingToDrop
from obslog.records.database import Database
from tests.club.together.conftest import Give


def test_a_reference_of_the_other_kind_is_told_what_settles_it(
    here: Database, there: Database, give: Give, now: datetime
) -> None:
    for database, note in ((here, "by the gate"), (there, "by the mill")):
        edit(database, "site", "Mill Field", {"note": note}, now)
    add(there, "mount", "Otter", {}, now)
    add(here, "mount", "Otter", {}, now)
    lend(here, "Lead battery", "Ines", now)
    lend(there, "Lead battery", "Bram Ostler", now)
    told = {one.why: one for one in give(there, here).to_settle}
    [note] = [one.reference for one in list_conflicts(here).fields]
    waits, renamed = told["taken"], told["renamed"]
    with pytest.raises(NothingToDrop) as refused:
        drop(here, note.upper(), now)
    assert refused.value.hint == f"To take the other value: obslog conflicts choose {note}"
    for one in (waits, renamed):
        with pytest.raises(NothingToChoose) as refused_too:
            choose(here, one.reference, now)
        assert refused_too.value.hint == one.settle
    with pytest.raises(NothingToDrop) as also:
        drop(here, renamed.reference, now)
    assert also.value.hint == renamed.settle
