"""Two mounts with known landing errors, one of them better since its service."""

from datetime import date, timedelta

import numpy as np

from obslog.club.register import named_records
from obslog.club.upkeep.services import add_service
from obslog.records.database import Database
from tests.club.performance.histories import NOW, Evening, drawn, put_on_record

FIRST, SERVICED = date(2025, 1, 6), date(2025, 7, 7)


def two_mounts(database: Database) -> Database:
    """Heron lands within 12' until its service and within 6' after it; by Ines, and twice as far off by Bram Ostler."""
    named_records.add(database, "site", "Mill Field", {"zone": "Europe/London"}, NOW)
    for kind, names in (("mount", ("Heron", "Bittern")), ("member", ("Ines", "Bram Ostler", "Cleo Marsh"))):
        for name in names:
            named_records.add(database, kind, name, {}, NOW)
    rng, evenings = np.random.default_rng(3), []
    for place in range(40):
        night = FIRST + timedelta(days=9 * place)
        who = ("Ines", "Bram Ostler")[place % 2]
        half = (12.0 if night < SERVICED else 6.0) * (1.0 if who == "Ines" else 2.0)
        evenings.append(Evening(night, drawn(rng, half), mount="Heron", observer=who))
    for place in range(12):
        night = SERVICED + timedelta(days=9 * place)
        evenings.append(Evening(night, drawn(rng, 18.0), mount="Bittern", observer="Ines"))
    put_on_record(database, evenings)
    return database


def add_the_service(database: Database) -> None:
    add_service(database, "mount", "Heron", "new worm", NOW, on=SERVICED, mechanical=True)
