"""What the review makes of histories on record, for the tests of its evidence."""

from collections.abc import Iterable
from datetime import date, timedelta

from obslog.club.register import named_records
from obslog.club.register.rule_book import Rules
from obslog.club.review.mount_evidence import Evidence, gather, read_nights
from obslog.club.review.review import review_of
from obslog.club.review.verdicts import MountEvidence
from obslog.records.database import Database
from tests.club.performance.histories import NOW, fortnightly

BOOK = Rules({})
NIGHTS = fortnightly(31, days=5)
SOON = NIGHTS[-1] + timedelta(days=2)


def evidence_of(database: Database, today: date) -> Evidence:
    with database.read() as session:
        nights = read_nights(session, BOOK, today)
    return gather(nights)


def mounts_of(database: Database, today: date) -> dict[str, MountEvidence]:
    with database.read() as session:
        nights = read_nights(session, BOOK, today)
    found = gather(nights)
    return {mount.name: found.mounts[key] for key, mount in nights.snapshot.mounts.items()}


def told(database: Database, mount: str, today: date) -> list[str]:
    """The reasons of the review of one mount."""
    return [reason.words for reason in review_of(database, mount, today).reasons]


def with_names(database: Database, mounts: Iterable[str]) -> Database:
    """Two sites, four members, and these mounts, of no type: their landings are known, their axes are not."""
    for kind, names in (
        ("site", ("Mill Field", "Kestrel Ridge")),
        ("member", ("Ines", "Bram Ostler", "Cleo Marsh", "Dov Perrin")),
        ("mount", mounts),
    ):
        for name in names:
            named_records.add(database, kind, name, {"zone": "Europe/London"} if kind == "site" else {}, NOW)
    return database
