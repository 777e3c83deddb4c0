"""What came of merging is told by name where a count alone would leave people guessing."""

from datetime import datetime

from obslog.club.register.contacts import reach_of, set_contact
from obslog.club.register.undo import undo
from obslog.club.together.writing import WhatToTell
from obslog.records.database import Database
from tests.club.together.conftest import Give


def test_whose_contact_was_removed_on_another_laptop_is_said_by_name(
    here: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    with_private = WhatToTell(with_private=True)
    for name in ("Ines", "Bram Ostler"):
        set_contact(there, name, {"phone": "01632 960 417"}, now)
    assert give(there, here, with_private).contacts_gone == []
    undo(there, later)
    looked = give(there, here, with_private, only_look=True)
    assert (looked.contacts_gone, looked.went) == (["Bram Ostler"], {"contact": 1})
    assert give(there, here, with_private).contacts_gone == ["Bram Ostler"]
    assert (reach_of(here, "Bram Ostler").phone, reach_of(here, "Ines").phone) == (None, "01632 960 417")
