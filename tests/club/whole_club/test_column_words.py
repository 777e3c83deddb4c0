"""Every column means something in plain words, also one that nobody has described yet."""

from obslog.club.whole_club.column_words import meaning_of
from obslog.club.whole_club.sheet_tables import sheet_of, tables_to_go


def test_a_column_is_told_by_its_name_or_by_its_table_and_name() -> None:
    assert meaning_of("sites", "lat_deg") == "Latitude, north positive."
    assert meaning_of("papers", "value") != meaning_of("ticks", "value")


def test_a_column_that_is_not_described_is_told_by_how_its_name_ends() -> None:
    assert meaning_of("sites", "polished_on") == "Polished on: A day."
    assert meaning_of("sites", "colour") == "Colour."


def test_columns_are_described_as_sentences_without_the_words_of_programs() -> None:
    for table in tables_to_go(with_private=True):
        for column in sheet_of(table).columns:
            assert not {"None", "NULL", "null", "UUID", "boolean"} & set(column.meaning.split())
            assert column.meaning[0].isupper()
