"""The routine that is in force, for tests that ask for it between acts."""

from obslog.club.routine.club_routine import ClubRoutine, club_routine
from obslog.records.database import Database


def routine_now(database: Database) -> ClubRoutine:
    with database.read() as session:
        return club_routine(session)
