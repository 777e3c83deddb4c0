"""Lines are done whole or refused whole: each verb answers, and whatever is typed nothing is kept that was refused."""

import random
import re
from datetime import date, timedelta

import pytest

from obslog.club.evening.acts import take_line
from obslog.club.evening.asked import NothingMore, NoTimeHere, PromptSettings, SaidWords
from obslog.club.evening.verbs import VERBS
from obslog.club.live.answers import LiveKind
from obslog.club.live.answers_now import answers_now
from obslog.club.night.open_night import NoOpenNight, NoOpenSetup, SetupChoice
from obslog.errors import ObslogError, WrongInput
from obslog.grammar.lines import EmptyLine, UnknownVerb
from obslog.grammar.sky_readings import NumberWithoutScale
from obslog.records.database import Database
from obslog.records.history.acts import NoSuchAct
from obslog.vocabulary.cautions import Danger
from tests.club.evening.typing import NOW, Typing

SAID = (
    "3E",
    "2N",
    "edge",
    "pw",
    "m81",
    "vega",
    "Regulus",
    "12.4",
    ";",
    "!",
    "wrong",
    "heron",
    "mill",
    "start",
    "end",
)
SIGNS = (
    "-1",
    "9" * 30,
    "3E3E",
    "\x00",
    "nan",
    "25:61",
    "é",
    "\U0001f52d",
    "''",
    '"',
    "%s",
    "--help",
    "../..",
    "0x1",
)
TABLES = (
    "nights", "setups", "arrivals", "observations", "snags", "ticks", "sky_readings", "battery_tests", "attendances",
    "acts",
)  # fmt: skip


def counted(typing: Typing) -> list[int]:
    return [typing.rows(f"SELECT count(*) FROM {table}")[0][0] for table in TABLES]


def refusal(typing: Typing, line: str) -> ObslogError | None:
    """Why the line was refused; None where it was done."""
    try:
        typing(line)
    except ObslogError as error:
        return error
    return None


def test_random_lines_are_done_or_refused_whole(sqlite_database: Database, club_rows: object) -> None:
    from tests.written_once import put_rows

    put_rows(sqlite_database.engine, club_rows)  # type: ignore[arg-type]
    typing, rng = Typing(sqlite_database).begun(), random.Random(20260302)
    heavy = {"brief", "checklist", "targets", "when", "next"}
    verbs = [verb for verb in VERBS if verb not in heavy]
    refused = 0
    for _ in range(250):
        words = rng.choices((*SAID, *SAID, *SIGNS, *verbs), k=rng.randrange(5))
        line = " ".join([*rng.choices(["21:05", ""], [1, 4]), rng.choice(verbs), *words])
        before, settings = counted(typing), typing.settings
        error = refusal(typing, line)
        if error is not None:
            refused += 1
            assert counted(typing) == before, line
            assert typing.settings == settings
            assert error.message, line
            assert error.hint, line
    assert 40 < refused < 240, "else the lines say nothing"


def test_nothing_and_unknown_words_are_refused(club: Database) -> None:
    typing = Typing(club)
    for line in ("", "   ", "21:05"):
        with pytest.raises(EmptyLine):
            typing(line)
    with pytest.raises(UnknownVerb):
        typing("frobnicate m31")


def test_a_time_or_words_where_none_belong_are_refused(club: Database) -> None:
    typing = Typing(club).begun()
    with pytest.raises(NoTimeHere):
        typing("21:05 undo")
    with pytest.raises(NothingMore):
        typing("redo everything")


def test_what_only_looks_changes_nothing(club: Database) -> None:
    typing = Typing(club).begun()
    typing("20:50 sy regulus 3E 2N")
    typing("sa m81; oval")
    before = counted(typing)
    where = typing("wher procyon")
    assert where.value.name == "Procyon"
    assert where.value.site == "Mill Field"
    assert typing("pole").value.star == "Polaris"
    page, seen = typing("list").value
    assert [arrival.target for arrival in page.arrivals] == ["Regulus"]
    assert [entry.target for entry in seen] == ["M 81"]
    assert typing("checkl short").value.mount == "Heron"
    assert [verb.name for verb in typing("help ch").value] == ["check"]
    assert len(typing("help").value) == len(VERBS)
    assert counted(typing) == before


def test_next_says_what_is_missing(club: Database) -> None:
    typing = Typing(club)
    assert "night start" in typing("next").value.words[0]
    typing("night start mill")
    assert "setup start" in typing("next").value.words[0]


def test_next_names_stars_to_sync_on(club: Database) -> None:
    plan = Typing(club).begun()("next").value
    assert plan.mount == "Heron"
    assert len(plan.stars) == 3


def test_next_names_the_star_that_is_said_at_once_and_those_after_it(club: Database) -> None:
    typing = Typing(club).begun()
    planned = [star.name for star in typing("next").value.stars]
    said = answers_now(club, SetupChoice(mount="Heron"), NOW)
    assert [answer.words.split(",")[0] for answer in said] == [f"sync first on {planned[0]}"]
    for done, star in enumerate(planned, start=1):
        typing(f"sync {star} 3E 2N", sure=True)
        if done < 3:
            left = typing("next").value.stars
            assert [(star.order, star.name) for star in left] == list(enumerate(planned[done:], start=1))
    assert typing("next").value == SaidWords(("Enough stars are synced. Verify on one not used: check STAR",))


def test_next_after_a_check_tells_what_is_said_at_once_and_not_what_was_planned(club: Database) -> None:
    """The plan's landings are from before tonight; two numbers for one thing would be one too many."""
    typing = Typing(club).begun()
    first, *_ = (star.name for star in typing("next").value.stars)
    typing(f"sync {first}", sure=True)
    typing("check Castor 35E 12N", sure=True)
    landing = [
        answer.words[1:]
        for answer in answers_now(club, SetupChoice(mount="Heron"), NOW)
        if answer.kind is LiveKind.LANDING
    ]
    told = typing("next").value
    assert isinstance(told, SaidWords)
    assert landing
    assert landing[0] in [words[1:] for words in told.words]


def on_a_star_of_their_own(club: Database) -> tuple[Typing, str]:
    """Somebody who synced on a star that is not of the plan."""
    typing = Typing(club).begun()
    planned = {star.name for star in typing("next").value.stars}
    own = next(star for star in ("Capella", "Regulus", "Castor") if star not in planned)
    typing(f"sync {own} 3E 2N", sure=True)
    return typing, own


def test_next_goes_on_from_the_stars_that_somebody_chose_themselves(
    club: Database, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("obslog.club.live.next_star_answers.WORTH_IT", 10.0)  # each star is worth a sync
    typing, own = on_a_star_of_their_own(club)
    said = [
        answer.words[1:]
        for answer in answers_now(club, SetupChoice(mount="Heron"), NOW)
        if answer.kind in (LiveKind.NEXT_STAR, LiveKind.LANDING)
    ]
    told = typing("next").value.words
    assert [words[1:] for words in told] == said
    star = told[0].removeprefix("Sync next on ").partition(",")[0]
    typing(f"sync {star} 3E 2N", sure=True)
    again = typing("next").value.words[0]
    assert again.startswith("Sync next on ")
    assert not any(f"on {name}," in again for name in (own, star))


def test_next_says_where_no_other_star_would_gain_much(club: Database) -> None:
    """Heron's controller shifts its zero points: a second sync tells it little that the first did not."""
    typing, _ = on_a_star_of_their_own(club)
    landing, last = typing("next").value.words
    assert landing.startswith("Go-tos now land within ")
    assert last == "No other star that is seen would gain much. Verify on one not used: check STAR"


def test_next_names_no_star_after_sunrise(club: Database) -> None:
    typing = Typing(club).begun()
    typing.now = NOW.replace(day=3, hour=9)
    caution, what_to_do = typing("next").value.words
    assert caution == f"CAUTION. {Danger.DAYTIME}"
    assert what_to_do == "In this night no star is to be seen any more: night end"


def test_next_gives_the_caution_of_the_sun_first(club: Database) -> None:
    typing, _ = on_a_star_of_their_own(club)
    typing.now = NOW + timedelta(hours=8, minutes=40)  # 06:20 in London, where the Sun rises at about 06:40
    caution, *_ = typing("next").value.words
    assert caution.startswith("CAUTION. ")


def test_next_says_by_day_from_when_stars_are_seen_and_what_the_sun_does(club: Database) -> None:
    typing = Typing(club, NOW.replace(hour=13))
    for line in ("night start mill", "setup start heron"):
        typing(line)
    answer = typing("next")
    # on 2 March at 52 degrees north and on the meridian of Greenwich civil dusk is a quarter past six
    assert re.fullmatch(r"from 18:[12]\d on, as soon as it is dark enough, ", answer.beside)
    assert answer.value.caution == Danger.DAYTIME
    assert {star.alt_deg > 20 for star in answer.value.stars} == {True}


def test_a_line_is_on_record_before_it_is_answered(club: Database) -> None:
    """Another session sees what was answered."""
    typing = Typing(club).begun()
    answer = take_line(club, "g m81 edge", PromptSettings(), NOW)
    assert answer.value.arrival.number == 1
    assert typing.rows("SELECT count(*) FROM arrivals") == [(1,)]
    assert isinstance(typing("pier").value, SaidWords)


def test_list_shows_nothing_of_another_night_while_one_is_open(club: Database) -> None:
    """Its numbers are those that `edit saw` takes, and that is about tonight."""
    typing = Typing(club)
    typing("night start mill")
    assert typing("list").value == (None, [])
    typing("setup start heron, long, wide, ines")
    typing("sa m81; of the first night")
    for line in ("setup end", "night end"):
        typing(line)
    typing.now += timedelta(days=1)
    assert typing("list").value[0].mount == "Heron", "no night is open: the last one is shown"
    typing("night start mill")
    typing("sa m82; of the second")
    page, seen = typing("list").value
    assert (page, [one.target for one in seen]) == (None, ["M 82"])
    typing("setup start heron, long, wide, ines")
    page, seen = typing("list").value
    assert (page.night, [one.target for one in seen]) == (date(2026, 3, 3), ["M 82"])


@pytest.fixture
def typing(club: Database) -> Typing:
    return Typing(club).begun()


@pytest.mark.parametrize(
    ("line", "hint"),
    [
        ("start", "night start. A set-up: setup start MOUNT"),
        ("end", "setup end. The night: night end. The prompt: quit"),
        ("delete 4", "edit 4 remove"),
        ("snag dew on the eyepiece", "snag power battery low. What fits no step: note dew on the eyepiece. "),
        ("sky bort good", "It is Bortle class, 1 (darkest) to 9."),
        ("sky transparency good", "It is transparency, 1 to 7 (best)."),
    ],
)
def test_what_cannot_be_done_is_told_with_a_line_that_can(typing: Typing, line: str, hint: str) -> None:
    with pytest.raises(WrongInput) as refused:
        typing(line)
    assert hint in refused.value.hint


def test_seeing_3_is_asked_about_for_on_one_scale_it_is_good_and_on_another_bad(typing: Typing) -> None:
    with pytest.raises(NumberWithoutScale) as refused:
        typing("sky seeing 3")
    assert "antoniadi (seeing, 1 (best) to 5); pickering" in refused.value.hint
    assert "bortle" not in refused.value.hint
    assert typing.rows("SELECT * FROM sky_readings") == []


def test_the_last_may_be_called_so(typing: Typing) -> None:
    typing("20:56 g m31 edge")
    typing("edit last in the field")
    assert typing.rows("SELECT landing FROM arrivals") == [("in",)]


@pytest.mark.parametrize("line", ["night", "setup", "setup heron", "list"])
def test_in_an_empty_club_the_hint_says_how_to_begin(club: Database, line: str) -> None:
    with pytest.raises((NoOpenNight, NoOpenSetup)):
        Typing(club)(line)


@pytest.mark.parametrize(
    "line",
    ["sky meter 20.9; haze", "battery 12.6; old", "edit remove; twice", "setup end; fog", "night; fog"],
)
def test_words_that_would_not_be_kept_are_refused(club: Database, line: str) -> None:
    typing = Typing(club).begun()
    typing("g m81 in")
    before = counted(typing)
    with pytest.raises(NothingMore):
        typing(line)
    assert counted(typing) == before


def test_an_act_in_the_middle_is_taken_back_by_its_reference(club: Database) -> None:
    typing = Typing(club).begun()
    typing("sync vega 3E2N")
    typing("check procyon 1W")
    checked, synced, *_older = typing("history").value
    assert (checked.act, synced.act) == ("check Procyon", "sync Vega")
    assert typing(f"undo {synced.reference}").value == {"undone": "sync Vega"}
    assert [row[1] for row in typing.arrivals()] == ["Procyon"]
    (newest,) = typing("history most 1").value
    assert newest.undoes == synced.reference
    assert typing(f"history {synced.reference}").value.act.undone_utc is not None


def test_the_life_of_a_record_is_told_by_its_name(club: Database) -> None:
    typing = Typing(club)
    told = typing("history long tube").value
    assert (told.record, told.on_record) == ("tube Long tube", True)
    assert typing("history lead battery most 1").value.record == "item Lead battery"


@pytest.mark.parametrize(
    "line", ["undo 3fa92c 3fa92d", "undo; why", "history most none", "history; why", "21:05 undo"]
)
def test_what_undo_and_history_do_not_take_is_said(club: Database, line: str) -> None:
    with pytest.raises((NothingMore, NoTimeHere)):
        Typing(club)(line)


def test_a_reference_that_no_act_has_is_said(club: Database) -> None:
    with pytest.raises(NoSuchAct):
        Typing(club)("undo 000000")
