"""What a log tells of whole nights, and what is on record already is not told again."""

from datetime import UTC, date, datetime

from sqlalchemy import select

from obslog.club.open_log.log_in import bring_in_log
from obslog.records.tables.logbook_tables import Attendance, Night, SkyReading
from obslog.vocabulary.sky_scales import SkyScale
from tests.club.bring_in.sheets import Desk
from tests.club.open_log.nights import NOW

LOG = (
    "<observations version='2.1'><observers><observer id='a'><name>Ines</name></observer></observers>"
    "<sites><site id='s'><name>Mill Field</name></site></sites><sessions><session id='n'>"
    "<begin>2026-02-27T20:00:00Z</begin><end>2026-02-28T01:00:00Z</end><site>s</site><coObserver>a</coObserver>"
    "<weather>WEATHER</weather><equipment>a table</equipment><comments>a fox</comments>"
    "</session></sessions></observations>"
)


def take(desk: Desk, weather: str) -> None:
    path = desk.folder / "log.xml"
    path.write_text(LOG.replace("WEATHER", weather), encoding="utf-8")
    bring_in_log(desk.database, path, NOW)


def test_a_session_is_a_night_with_its_words_and_who_was_there(desk: Desk) -> None:
    for _ in range(2):
        take(desk, "clear")
    with desk.database.read() as session:
        (night,) = session.scalars(select(Night))
        assert len(session.scalars(select(Attendance.id)).all()) == 1
    assert (night.night_of, night.started_utc, night.ended_utc) == (
        date(2026, 2, 27),
        datetime(2026, 2, 27, 20, tzinfo=UTC),
        datetime(2026, 2, 28, 1, tzinfo=UTC),
    )
    assert night.note == "a fox\nWeather: clear\nEquipment: a table"


def test_a_night_on_record_keeps_its_own_times_and_gets_the_words(desk: Desk) -> None:
    desk.take("observations", "night,time,site,object", "2026-02-27,21:05,Mill Field,M 81")
    take(desk, "clear")
    with desk.database.read() as session:
        (night,) = session.scalars(select(Night))
    assert night.started_utc is None
    assert night.note is not None
    assert "a fox" in night.note


def test_weather_that_this_program_wrote_is_readings_again(desk: Desk) -> None:
    for _ in range(2):
        take(desk, "pickering 7 at 2026-02-27T21:00:00Z; bortle 4")
    with desk.database.read() as session:
        readings = session.execute(
            select(SkyReading.scale, SkyReading.value).order_by(SkyReading.value)
        ).all()
    assert [tuple(one) for one in readings] == [(SkyScale.BORTLE, 4.0), (SkyScale.PICKERING, 7.0)]
