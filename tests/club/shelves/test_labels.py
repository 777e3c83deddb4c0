"""Which labels are made: of named items, of a place, of all in use."""

from datetime import datetime

import pytest

from obslog.club.shelves.labels import Label, NoLabel, NoTag, labels_of_named, labels_of_place
from obslog.club.storeroom.inventory_details import write_paper
from obslog.club.storeroom.retirement import retire
from obslog.records.database import Database


def test_labels_are_of_what_has_a_tag(club: Database, now: datetime) -> None:
    with pytest.raises(NoLabel):
        labels_of_place(club)
    write_paper(club, "Wide 25", {"tag": "E-02", "place": "Shelf 2"}, now)
    write_paper(club, "Heron", {"tag": "A-01"}, now)
    found = labels_of_place(club)
    assert found.labels == [Label("A-01", "Heron"), Label("E-02", "Wide 25")]
    assert "Long tube" in found.without_tag
    assert labels_of_place(club, "shelf  2").labels == [Label("E-02", "Wide 25")]
    assert labels_of_named(club, ["wide 25", "Her"]).labels == [
        Label("E-02", "Wide 25"),
        Label("A-01", "Heron"),
    ]
    with pytest.raises(NoTag, match="Long tube"):
        labels_of_named(club, ["Heron", "Long tube"])
    retire(club, "mount", "Heron", "worn", now.date(), now)
    assert labels_of_place(club).labels == [Label("E-02", "Wide 25")]
