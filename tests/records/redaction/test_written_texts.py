"""Words are found where people write, in no word that the program reads, and give way there."""

from datetime import datetime
from typing import Any

import pytest

from obslog.club.register.named_records import edit
from obslog.records.database import Database
from obslog.records.name_lookup import by_name
from obslog.records.redaction.words import Words
from obslog.records.redaction.written_texts import replace_texts, texts_with, with_texts
from obslog.records.tables.logbook_tables import Mount

NEUTRAL = "Former member 1"


def texts(database: Database, words: Words) -> list[tuple[str, str, str]]:
    with database.read() as session:
        return [(found.table, found.column, found.text) for found in texts_with(session, words)]


def test_texts_are_found_where_people_wrote_them_and_replaced_there(club: Database, now: datetime) -> None:
    edit(club, "mount", "Heron", {"note": "Ines says it sticks"}, now)
    edit(club, "site", "Mill Field", {"note": "the key is with INES"}, now)
    edit(club, "tube", "Long tube", {"note": "pines and lines"}, now)
    words = Words({"Ines": NEUTRAL})
    found = texts(club, words)
    assert sorted(text for _, column, text in found if column == "note") == [
        "Ines says it sticks",
        "the key is with INES",
    ]
    assert [text for _, column, text in found if column != "note"] == [
        "Ines"
    ]  # her own name, and no key of it
    with club.write(now) as session:
        replace_texts(session, list(texts_with(session, words)), words)
    assert texts(club, words) == []
    with club.read() as session:
        assert by_name(session, Mount, "Heron").note == f"{NEUTRAL} says it sticks"


def test_texts_of_an_image_are_replaced_and_what_something_is_called_stays() -> None:
    image = {"id": "a", "kind": "item", "name": "ines", "note": "of ines", "retired_why": None}
    assert with_texts("Item", image, str.upper) == image | {"note": "OF INES"}


@pytest.mark.parametrize(
    ("kind", "image"),
    [
        ("Mount", {"id": "a", "mount_type": "german", "controller": "shift"}),
        ("Snag", {"id": "a", "step": "pack"}),
        ("Site", {"id": "a", "zone": "Europe/Paris", "horizon": "n 10"}),
        ("StocktakeLine", {"id": "a", "status": "retired", "found": "found"}),
        ("LoanPart", {"id": "a", "condition_in": "fine", "word_in": "sound"}),
        ("ConditionWord", {"id": "a", "word": "sound", "means": "fine"}),
        ("ClubRule", {"id": "a", "name": "currency", "word": "EUR"}),
        ("Contact", {"id": "a", "address": "3 Otter Row"}),
    ],
)
def test_words_that_the_program_reads_name_nobody(kind: str, image: dict[str, Any]) -> None:
    """A member may be called Paris, Pack or German: their leaving makes no record unreadable."""
    assert with_texts(kind, image, str.swapcase) == image


def test_of_a_kind_of_record_that_is_not_known_every_text_may_name_somebody() -> None:
    assert with_texts("Balloon", {"id": "a", "motto": "of ines"}, str.upper)["motto"] == "OF INES"
