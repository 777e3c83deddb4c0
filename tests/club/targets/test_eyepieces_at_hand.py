"""The eyepieces at hand: none that somebody else has, none that stays at another site, the one of a borrowed set-up."""

from collections.abc import Callable
from datetime import datetime

import pytest

from obslog.club.night.nights import start_night
from obslog.club.night.observations import ObservationEntry, record_observations
from obslog.club.night.setups import start_setup
from obslog.club.register.named_records import add
from obslog.club.storeroom.loans import lend, take_back
from obslog.club.storeroom.missing import be_found, go_missing
from obslog.club.storeroom.retirement import retire
from obslog.club.targets.eyepieces_at_hand import Outing, fields_at_hand
from obslog.records.database import Database
from obslog.records.name_lookup import by_name
from obslog.records.tables.logbook_tables import Member, Mount, Site, Tube

BOTH = ["Stop 20", "Wide 25"]
AtHand = Callable[..., list[str]]


@pytest.fixture
def at_hand(club: Database) -> AtHand:
    """The names of those at hand at Mill Field with Heron and Long tube, the narrowest first."""

    def names(member: str | None = None, site: str = "Mill Field", tube: str = "Long tube") -> list[str]:
        with club.read() as session:
            outing = Outing(
                site=by_name(session, Site, site).id,
                mount=by_name(session, Mount, "Heron").id,
                tube=by_name(session, Tube, tube),
                member=by_name(session, Member, member).id if member else None,
            )
            return [name for _, name in fields_at_hand(session, outing)]

    return names


def test_all_in_use_are_at_hand_the_narrowest_first(club: Database, now: datetime, at_hand: AtHand) -> None:
    assert at_hand() == BOTH
    go_missing(club, "Stop 20", now)
    assert at_hand() == ["Wide 25"]
    be_found(club, "Stop 20", now)
    assert at_hand() == BOTH
    retire(club, "eyepiece", "Wide 25", "sold", now.date(), now)
    assert at_hand() == ["Stop 20"]


def test_what_is_on_loan_is_at_hand_for_its_borrower_alone(
    club: Database, now: datetime, at_hand: AtHand
) -> None:
    lend(club, "Stop 20", "Ines", now)
    assert at_hand() == ["Wide 25"]
    assert at_hand("Bram Ostler") == ["Wide 25"]
    assert at_hand("Ines") == BOTH
    take_back(club, "Stop 20", now)
    assert at_hand() == BOTH


@pytest.mark.parametrize("gear", ["Heron", "Long tube"])
def test_what_is_on_loan_is_at_hand_with_the_mount_or_the_tube_of_its_borrower(
    club: Database, now: datetime, at_hand: AtHand, gear: str
) -> None:
    lend(club, "Stop 20", "Ines", now)
    lend(club, gear, "Ines", now)
    assert at_hand() == BOTH


def test_what_was_used_at_other_sites_alone_is_not_at_hand(
    club: Database, now: datetime, at_hand: AtHand
) -> None:
    add(club, "tube", "Stub", {"focal_mm": 500}, now)
    start_night(club, "Kestrel Ridge", now)
    start_setup(club, "Bracken", now, tube="Stub", eyepiece="Stop 20")
    assert at_hand() == ["Wide 25"]
    assert at_hand(site="Kestrel Ridge") == BOTH
    assert at_hand(tube="Stub") == BOTH  # it goes where the tube goes


def test_what_people_looked_through_counts_as_used(club: Database, now: datetime, at_hand: AtHand) -> None:
    add(club, "tube", "Stub", {"focal_mm": 500}, now)
    start_night(club, "Kestrel Ridge", now)
    start_setup(club, "Bracken", now, tube="Stub")
    record_observations(club, "M 42", ObservationEntry(eyepiece="Stop 20"), now)
    assert at_hand() == ["Wide 25"]
    assert at_hand(site="Kestrel Ridge") == BOTH


def test_at_a_site_where_none_was_used_all_are_at_hand(
    club: Database, now: datetime, at_hand: AtHand
) -> None:
    add(club, "tube", "Stub", {"focal_mm": 500}, now)
    start_night(club, "Kestrel Ridge", now)
    start_setup(club, "Bracken", now, tube="Stub", eyepiece="Stop 20")
    start_setup(club, "Thistle", now, tube="Stub", eyepiece="Wide 25")
    assert at_hand() == BOTH
