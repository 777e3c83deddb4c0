"""A log given out and taken into another club is the same record; taken in twice it adds nothing; one undo."""

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from sqlalchemy import select

from obslog.club.bring_in.give_out import sheet_rows
from obslog.club.open_log.log_in import LogTakenIn, bring_in_log
from obslog.club.open_log.log_out import LogChoice, write_log_to
from obslog.club.register.undo import undo
from obslog.exchange.arrivals_rows import SheetRefused
from obslog.records.database import Database
from obslog.records.engine import make_engine
from obslog.records.tables.logbook_tables import Attendance, Member, Night, SkyReading
from obslog.vocabulary.sky_scales import SkyScale
from tests.club.bring_in.sheets import Desk
from tests.club.open_log.nights import NOW, PLAIN, READINGS, observation, put_on_record

KEPT = st.text(
    st.one_of(st.sampled_from("<>&'\"]\n é\U0001f52d"), st.characters(exclude_categories=["C", "Zl", "Zp"])),
    max_size=40,
).map(str.strip)


@pytest.fixture
def empty(sqlite_template: Path, tmp_path: Path) -> Database:
    path = tmp_path / "empty.db"
    path.write_bytes(sqlite_template.read_bytes())
    return Database(make_engine(str(path)), str(path))


def of_nights(database: Database) -> list[Any]:
    """What is told of nights: when they were, their words, who was there, every reading."""
    with database.read() as session:
        nights = session.execute(
            select(Night.id, Night.night_of, Night.started_utc, Night.ended_utc, Night.note).order_by(
                Night.night_of
            )
        ).all()
        found = []
        for key, *told in nights:
            there = session.scalars(
                select(Member.name)
                .join(Attendance, Attendance.member_id == Member.id)
                .where(Attendance.night_id == key)
                .order_by(Member.name)
            ).all()
            readings = session.execute(
                select(SkyReading.scale, SkyReading.value, SkyReading.at_utc)
                .where(SkyReading.night_id == key)
                .order_by(SkyReading.at_utc, SkyReading.scale)
            ).all()
            found.append((*told, list(there), [tuple(one) for one in readings]))
        return found


@settings(
    max_examples=25,
    deadline=None,
    phases=(Phase.explicit, Phase.generate),  # smaller cases take minutes to look for
    suppress_health_check=[
        HealthCheck.function_scoped_fixture,
        HealthCheck.too_slow,
        HealthCheck.data_too_large,
    ],
)
@given(
    seen=st.lists(observation(KEPT), min_size=1, max_size=12),
    note=st.one_of(st.none(), KEPT.filter(bool)),
    sky=st.sets(st.sampled_from(list(READINGS))),
)
def test_the_record_comes_back_whole_in_an_empty_club_and_again_in_the_file(
    sqlite_club: Database,
    empty: Database,
    tmp_path: Path,
    seen: list[dict[str, Any]],
    note: str | None,
    sky: set[SkyScale],
) -> None:
    put_on_record(sqlite_club, seen, [*PLAIN], note, sorted(sky))
    one, two = tmp_path / "one.xml", tmp_path / "two.xml"
    for path in (one, two):
        path.unlink(missing_ok=True)
    write_log_to(sqlite_club, one, LogChoice(exact=True))
    taken = bring_in_log(empty, one, NOW)
    again = bring_in_log(empty, one, NOW)
    write_log_to(empty, two, LogChoice(exact=True))
    at_home = bring_in_log(sqlite_club, two, NOW)
    nights = {row["night"] for row in sheet_rows(sqlite_club, "observations")}
    before = sheet_rows(sqlite_club, "observations"), [n for n in of_nights(sqlite_club) if n[0] in nights]
    after = sheet_rows(empty, "observations"), of_nights(empty)
    undo(empty, NOW)
    nothing = sheet_rows(empty, "observations"), of_nights(empty), sheet_rows(empty, "members")
    undo(sqlite_club, NOW)
    differing = [(one, other) for one, other in zip(before[0], after[0], strict=True) if one != other]
    assert differing == []
    assert after == before
    assert (taken.new, again.new, again.made) == (len(seen), 0, [])
    assert (at_home.new, at_home.same, at_home.made) == (0, len(seen), [])
    assert nothing == ([], [], [])


ROOT = (
    "<observations version='2.1'><observers><observer id='a'><name>Ines</name><surname/></observer></observers>"
    "<sites><site id='s'><name>Mill Field</name></site></sites>"
    "<targets><target id='t'><datasource>x</datasource><name>M81</name></target></targets>"
)


def seen(
    *, begin: str = "2026-02-27T21:05:00Z", words: str = "a glow", more: str = "", site: str = "s"
) -> str:
    return (
        f"<observation><observer>a</observer><site>{site}</site><target>t</target><begin>{begin}</begin>{more}"
        f"<result><description>{words}</description></result></observation>"
    )


def take(
    desk: Desk, *observations: str, look: bool = False, language: str | None = None, root: str = ROOT
) -> LogTakenIn:
    path = desk.folder / "log.xml"
    path.write_text(f"{root}{''.join(observations)}</observations>", encoding="utf-8")
    return bring_in_log(desk.database, path, NOW, look=look, language=language)


def test_a_look_tells_all_and_changes_nothing(desk: Desk) -> None:
    before = desk.everything()
    looked = take(desk, seen(), look=True)
    assert desk.everything() == before
    taken = take(desk, seen())
    assert (looked.rows, looked.new, looked.made) == (taken.rows, taken.new, taken.made)
    assert (looked.looked_only, taken.looked_only, taken.made) == (True, False, [])
    assert [(row.what, str(row.outcome), row.words) for row in taken.rows] == [
        ("M 81", "new", "2026-02-27 21:05Z at Mill Field")
    ]


def test_one_that_cannot_be_placed_leaves_all_out_and_is_named_by_its_line(desk: Desk) -> None:
    before = desk.everything()
    with pytest.raises(SheetRefused) as refused:
        take(
            desk,
            seen(),
            "\n" + seen(begin="2027-02-27T21:05:00Z"),
            "\n<observation><begin>x</begin></observation>",
        )
    assert desk.everything() == before
    future, unreadable = sorted(refused.value.faults, key=lambda fault: fault.line)
    assert (future.line, unreadable.line) == (2, 3)
    assert "has not come yet" in future.reason
    assert "'x' is not a date and a time" in unreadable.reason


def test_what_was_corrected_since_is_left_as_it_is(desk: Desk) -> None:
    take(desk, seen())
    sheet = ("night,time,site,object,observer,notes", "2026-02-27,21:05,Mill Field,M 81,Ines,a round glow")
    desk.take("observations", *sheet)
    assert take(desk, seen()).new == 0
    assert [row["description"] for row in desk.rows("observations")] == ["a round glow"]


def test_two_of_one_minute_are_two_and_one_written_twice_is_one(desk: Desk) -> None:
    taken = take(desk, seen(), seen(words="with more power"), seen())
    assert (taken.new, taken.same) == (2, 1)
    assert take(desk, seen(words="with more power"), seen()).same == 2


def test_a_log_that_another_program_numbers_anew_adds_nothing(desk: Desk) -> None:
    take(desk, seen())
    other = ROOT.replace("id='a'", "id='zz'")
    assert take(desk, seen().replace(">a<", ">zz<"), root=other).same == 1


def test_the_result_in_the_language_asked_for_is_the_description(desk: Desk) -> None:
    german = "<result lang='de'><description>ein Glimmen</description></result></observation>"
    both = seen().replace("</observation>", german)
    take(desk, both, language="de")
    (row,) = desk.rows("observations")
    assert row["description"].splitlines() == [
        "ein Glimmen",
        "",
        "From log.xml:",
        "in other words: a glow",
    ]


def test_the_schemas_own_rating_goes_out_again_as_it_came_in(desk: Desk, empty: Database) -> None:
    kind = "<result xmlns:x='http://www.w3.org/2001/XMLSchema-instance' x:type='oal:findingsDeepSkyType'>"
    take(desk, seen().replace("<result>", kind).replace("</result>", "<rating>3</rating></result>"))
    out = desk.folder / "out.xml"
    write_log_to(desk.database, out, LogChoice())
    assert "<rating>3</rating>" in out.read_text(encoding="utf-8")
    bring_in_log(empty, out, NOW)
    assert [row["description"] for row in sheet_rows(empty, "observations")] == [
        "a glow\n\nFrom log.xml:\nrating of the standard: 3"
    ]


def test_a_time_without_a_zone_is_by_the_clocks_of_the_site(desk: Desk) -> None:
    taken = take(desk, seen(begin="2025-07-27T23:05:00"))
    (row,) = desk.rows("observations")
    assert row["utc"] == "2025-07-27T22:05:00Z"  # London's summer time
    assert "1 time without a zone was taken by the clocks of the site." in taken.remarks


def test_a_time_that_came_twice_is_asked_about(desk: Desk) -> None:
    with pytest.raises(SheetRefused) as refused:
        take(desk, seen(begin="2025-10-26T01:30:00"))
    (fault,) = refused.value.faults
    assert "came twice that night" in fault.reason


def test_readings_beside_observations_are_the_nights_and_not_said_twice(desk: Desk) -> None:
    sky = "<faintestStar>5.6</faintestStar><seeing>2</seeing>"
    take(desk, seen(more=sky), seen(begin="2026-02-27T22:05:00Z", more=sky))
    with desk.database.read() as session:
        found = session.execute(select(SkyReading.scale, SkyReading.value, SkyReading.at_utc)).all()
    at = datetime(2026, 2, 27, 21, 5, tzinfo=UTC)
    assert sorted(map(tuple, found)) == [
        (SkyScale.ANTONIADI, 2.0, at),
        (SkyScale.NAKED_EYE_LIMIT, 5.6, at),
    ]


def test_an_observation_without_site_or_observer_is_kept_all_the_same(desk: Desk) -> None:
    text = "<observation><target>t</target><begin>2026-02-27T21:05:00Z</begin></observation>"
    assert take(desk, text).made == ["site Site not told"]
    (row,) = desk.rows("observations")
    assert (row["site"], row.get("observer")) == ("Site not told", None)


def test_words_too_long_for_a_description_are_a_fault(desk: Desk) -> None:
    with pytest.raises(SheetRefused) as refused:
        take(desk, seen(words="x" * 4001))
    assert "1 to 4000 characters" in refused.value.faults[0].reason


def test_characters_that_no_field_keeps_are_dropped(desk: Desk) -> None:
    take(desk, seen(words="a &#x85;glow&#x202e;"))
    assert [row["description"] for row in desk.rows("observations")] == ["a glow"]


OPTICS = (
    "<scopes><scope id='c'><model>Long tube</model><aperture>200</aperture><focalLength>1200</focalLength>"
    "</scope></scopes>"
    "<eyepieces><eyepiece id='e'><model>Zoom one</model><focalLength>8</focalLength>{longest}</eyepiece></eyepieces>"
)


@pytest.mark.parametrize(
    ("longest", "told", "magnification"),
    [
        ("", "", 150.0),  # 1200 mm by 8 mm
        ("<maxFocalLength>24</maxFocalLength>", "", None),
        ("<maxFocalLength>24</maxFocalLength>", "<magnification>75</magnification>", 75.0),
    ],
)
def test_with_a_zoom_the_magnification_is_what_is_told_or_unknown(
    empty: Database, tmp_path: Path, longest: str, told: str, magnification: float | None
) -> None:
    root = ROOT.replace("<targets>", f"{OPTICS.format(longest=longest)}<targets>")
    path = tmp_path / "zoom.xml"
    with_optics = f"<scope>c</scope><eyepiece>e</eyepiece>{told}"
    path.write_text(f"{root}{seen(more=with_optics)}</observations>", encoding="utf-8")
    bring_in_log(empty, path, NOW)
    (row,) = sheet_rows(empty, "observations")
    assert (row["eyepiece"], row["magnification"]) == ("Zoom one", magnification)


def test_a_sky_that_its_scale_does_not_have_is_kept_in_words(desk: Desk) -> None:
    take(desk, seen(more="<sky-quality unit='mags-per-squarearcsec'>9.1</sky-quality>"))
    (row,) = desk.rows("observations")
    assert "sky_meter" not in row
    assert "sky quality: 9.1 mags-per-squarearcsec" in row["description"]


def test_readings_do_not_depend_on_which_observation_stands_first_in_the_file(desk: Desk) -> None:
    at = {hour: f"2026-02-27T{hour}:05:00Z" for hour in (20, 21, 22)}
    take(desk, seen(begin=at[22], more="<seeing>2</seeing>"))
    take(
        desk,
        seen(begin=at[21], more="<seeing>3</seeing>"),
        seen(begin=at[20], more="<seeing>2</seeing>"),
    )
    assert [row["antoniadi"] for row in desk.rows("observations")] == [2.0, 3.0, 2.0]
