"""Mounts beside each other, from nights put on record with known landing errors."""

from obslog.club.landing.beside_the_first import compare_beside
from obslog.records.database import Database
from tests.club.landing.two_mounts import add_the_service, two_mounts


def test_mounts_stand_beside_the_first(sqlite_database: Database) -> None:
    club = two_mounts(sqlite_database)
    add_the_service(club)
    heron, bittern = compare_beside(club, ["Heron", "Bittern"])
    assert heron.ratio is None
    assert bittern.ratio is not None
    assert bittern.ratio.low is not None
    assert bittern.ratio.high is not None
    # 18' by Ines beside Heron's 6' by Ines since its service
    assert bittern.ratio.low < 3.0 < bittern.ratio.high
    assert bittern.ratio.low > 1.5
    assert [one.history.mount for one in compare_beside(club, [])] == ["Bittern", "Heron"]
