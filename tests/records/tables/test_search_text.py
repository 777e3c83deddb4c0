"""The search text goes with the row, however the row is written."""

import unicodedata
from datetime import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sqlalchemy import Table, select

from obslog.records.bulk_insert import insert_rows
from obslog.records.database import Database
from obslog.records.tables.keys import new_keys_as_text
from obslog.records.tables.logbook_tables import Observation, Snag
from obslog.records.tables.schema import metadata
from obslog.records.tables.search_text import SEARCHED, search_form, search_text


@pytest.mark.parametrize(
    ("text", "form"),
    [
        ("Naïve  GLOW\n", "naive glow"),
        ("Straße", "strasse"),  # The Unicode Standard, CaseFolding.txt: U+00DF folds to ss
        ("ﬁne", "fine"),  # U+FB01, compatibility decomposition in UnicodeData.txt
        ("Ångström", "angstrom"),
        ("ΣΊΣΥΦΟΣ", "σισυφοσ"),  # final sigma folds to sigma (CaseFolding.txt: U+03C2)
        ("M 81", "m 81"),
    ],
)
def test_case_accents_and_forms_do_not_count(text: str, form: str) -> None:
    assert search_form(text) == form
    assert search_form(form) == form


def test_a_row_without_text_has_none() -> None:
    assert search_text([None, None]) is None


@pytest.mark.parametrize("text", ["", " ", "\u0301"])  # a mark of class Mn alone, which is left out
def test_a_text_without_letters_has_an_empty_one(text: str) -> None:
    assert search_text([None, text]) == ""


def test_every_searched_column_is_there() -> None:
    for name, columns in SEARCHED.items():
        assert {"search_text", *columns} <= set(metadata.tables[name].c.keys())


def test_it_follows_every_change_of_the_row(full_database: Database, now: datetime) -> None:
    with full_database.write(now, "describe") as session:
        session.scalars(select(Observation)).one().description = "Äußerst fein"
    with full_database.write(now) as session:
        assert session.scalars(select(Observation)).one().search_text == "m 13\nausserst fein"


def test_rows_put_in_at_once_have_it_too(full_database: Database, now: datetime) -> None:
    with full_database.write(now) as session:
        table = Snag.__table__
        assert isinstance(table, Table)
        keys = new_keys_as_text(2)
        rows = [(keys[0], now, "level", "Très froid"), (keys[1], now, "power", "flat")]
        insert_rows(session, table, ("id", "at_utc", "step", "text"), rows)
        assert set(session.scalars(select(Snag.search_text))) == {"a leg sank", "tres froid", "flat"}


@given(st.text(st.characters(codec="ascii")))
def test_plain_text_has_the_form_that_the_long_way_gives(text: str) -> None:
    apart = unicodedata.normalize("NFKD", unicodedata.normalize("NFKD", text).casefold())
    unmarked = "".join(sign for sign in apart if unicodedata.category(sign) != "Mn")
    assert search_form(text) == " ".join(unmarked.split())
