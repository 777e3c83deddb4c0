"""What is in whose way, kept so that little has to be asked again."""

from obslog.records.database import Database
from obslog.records.merging import obstacles
from obslog.records.merging.obstacles import Parked
from obslog.records.merging.standing import Aside, Why
from obslog.records.tables.keys import new_key
from tests.records.merging.laptops import BEGUN


def test_reasons_are_found_from_either_side_and_go_when_they_are_decided_anew(database: Database) -> None:
    loan, other, night, kept = (str(new_key()) for _ in range(4))
    taken, same = Aside(Why.TAKEN, other), Aside(Why.SAME, kept)
    with database.write(BEGUN) as session:
        assert not obstacles.any_obstacle(session)
        obstacles.write_obstacles(
            session,
            [("Loan", loan), ("Night", night)],
            {("Loan", loan): [taken, taken], ("Night", night): [same]},
            {("Loan", loan): Parked({"id": loan}, taken)},
        )
        assert obstacles.any_obstacle(session)
        assert obstacles.hanging_on(session, [other]) == {("Loan", loan)}
        assert obstacles.hanging_on(session, [night]) == {("Night", kept)}
        assert obstacles.same_records_by_meaning(session, ["Night"]) == {night: kept}
        assert obstacles.said_again_by(session, [kept]) == {kept: {night}}
        assert obstacles.parked_images(session) == [("Loan", loan, {"id": loan})]
        assert obstacles.all_asides(session) == [("Loan", loan, taken), ("Night", night, same)]
        obstacles.write_obstacles(session, [("Loan", loan), ("Night", night)], {}, {})
        assert obstacles.all_asides(session) == []
        assert obstacles.parked_images(session) == []
