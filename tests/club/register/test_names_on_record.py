"""The names on record of a kind, for a reader of lines."""

from obslog.club.register.names_on_record import names_in, names_on_record
from obslog.records.database import Database


def test_names_of_a_kind_are_given_when_asked(club: Database) -> None:
    names = names_on_record(club)
    assert {"Ines", "Bram Ostler"} <= set(names("member"))
    assert "Wide 25" in names("eyepiece")
    assert "Wide 25" not in names("member")
    with club.read() as session:
        assert names_in(session)("eyepiece") == names("eyepiece")
