"""A member is told everything that is on record about them, and nobody else by name."""

from datetime import datetime, timedelta
from pathlib import Path

import pytest

from obslog.club.night.nights import start_night
from obslog.club.night.observations import ObservationEntry, record_observations
from obslog.club.night.setups import start_setup
from obslog.club.night.snags import add_snag
from obslog.club.privacy.kept_about import KeptAbout, kept_about
from obslog.club.privacy.why_kept import WHY
from obslog.club.register.contacts import set_contact
from obslog.club.register.named_records import add, edit
from obslog.club.register.rule_book import set_rule
from obslog.club.storeroom.loans import lend, take_back
from obslog.club.storeroom.waiting_list import reserve
from obslog.club.upkeep.services import add_service
from obslog.errors import UnknownName
from obslog.records.care.copying import back_up
from obslog.records.database import Database
from obslog.vocabulary.steps import Step

NAME = "Zoë Kettle"


@pytest.fixture
def told(club: Database, now: datetime) -> KeptAbout:
    """Told to a member who was renamed, reached, lent to, waits, observed, set up, met a snag and serviced."""
    days = (now - timedelta(days=60 - day) for day in range(60))
    add(club, "member", "Zoë Halloran", {"note": "likes doubles"}, next(days))
    edit(club, "member", "Zoë Halloran", {}, next(days), rename=NAME)
    set_contact(club, NAME, {"phone": "01632 960 417", "address": "3 Otter Row"}, next(days))
    lend(club, "Wide 25", NAME, next(days), by="Bram Ostler")
    take_back(club, "Wide 25", next(days), by=NAME)
    lend(club, "Stop 20", "Ines", next(days), by=NAME)
    reserve(club, "Stop 20", NAME, next(days))
    add_service(club, "mount", "Heron", "new belt", next(days), on=(now - timedelta(days=55)).date(), by=NAME)
    start_night(club, "Mill Field", now - timedelta(hours=2), present=[NAME, "Ines"])
    start_setup(club, "Heron", now - timedelta(hours=2), tube="Long tube", observer=NAME)
    record_observations(club, "M 44", ObservationEntry(), now, observers=[NAME])
    add_snag(club, Step.LEVEL, "the bubble was off", now, mount="Heron", member=NAME)
    edit(club, "mount", "Heron", {"note": "Zoë Kettle says it sticks"}, now)
    return kept_about(club, NAME, now)


def section(told: KeptAbout, title: str) -> list[dict[str, str]]:
    one = next(one for one in told.sections if one.title == title)
    return [dict(zip(one.columns, row, strict=True)) for row in one.rows]


def test_each_kind_of_record_is_told_once_with_its_reason(told: KeptAbout) -> None:
    titles = [one.title for one in told.sections]
    assert len(titles) == len(set(titles))
    # of these there are none
    without = {
        "Arrivals that you recorded",
        "Steps of the checklist that you did",
        "Stocktakes that you began",
    }
    assert {reason.title for reason in WHY.values()} - set(titles) == without
    assert all(one.why.endswith(".") for one in told.sections)


def test_the_rows_say_what_is_on_record_in_names(told: KeptAbout) -> None:
    assert section(told, "How you are reached") == [{"phone": "01632 960 417", "address": "3 Otter Row"}]
    assert section(told, "Your entry as a member") == [{"name": NAME, "note": "likes doubles"}]
    [loan] = section(told, "Loans to you")
    assert (loan["item"], loan["issued by"], loan["received by"]) == ("Wide 25", "another member", "you")
    [out] = section(told, "Loans that you handed out")
    assert (out["item"], out["member"]) == ("Stop 20", "another member")
    [setup] = section(told, "Set-ups that you made")
    assert (setup["night"], setup["mount"], setup["tube"]) == (
        "2026-03-02 at Mill Field", "Heron", "Long tube",
    )  # fmt: skip
    assert section(told, "Services that you did")[0]["text"] == "new belt"
    [part] = section(told, "What your loans consisted of, with conditions and faults")
    assert (part["item"], part["loan"]) == ("Wide 25", loan["reference"])


def test_texts_acts_and_earlier_words_are_told(told: KeptAbout) -> None:
    assert [row["text"] for row in section(told, "Texts in which you may be named")] == [
        "Zoë Kettle says it sticks"
    ]
    sentences = [row["entry"] for row in section(told, "What was entered that names you")]
    assert f"lend Wide 25 to {NAME}" in sentences
    earlier = section(told, "How records about you stood before and after each entry")
    assert any("Zoë Halloran" in row["before"] and NAME in row["after"] for row in earlier)
    assert any("01632 960 417" in row["after"] for row in earlier)


def test_no_other_member_is_named(told: KeptAbout) -> None:
    refers = [one for one in told.sections if one.title != "What was entered that names you"]
    assert not any("Ines" in cell or "Bram" in cell for one in refers for row in one.rows for cell in row)


def test_someone_of_whom_nothing_else_is_known_is_told_that(club: Database, now: datetime) -> None:
    told = kept_about(club, "Bram Ostler", now)
    assert section(told, "Your entry as a member") == [{"name": "Bram Ostler"}]
    with pytest.raises(UnknownName):
        kept_about(club, "Nobody", now)


def test_how_long_is_the_clubs_rule(club: Database, now: datetime) -> None:
    assert " 24 months more" in kept_about(club, "Ines", now).kept_until
    set_rule(club, "keep-leavers-months", 6, now)
    assert " 6 months more" in kept_about(club, "Ines", now).kept_until


def test_copies_that_hold_the_name_are_told(sqlite_database: Database, now: datetime) -> None:
    copy = Path(str(sqlite_database.engine.url.database)).with_name("copy.db")
    add(sqlite_database, "member", "Quentin Quagmire", {}, now)
    back_up(sqlite_database.engine, copy)
    add(sqlite_database, "member", "Xenia Yarrow", {}, now)
    assert kept_about(sqlite_database, "Quentin Quagmire", now).copies == [str(copy)]
    assert kept_about(sqlite_database, "Xenia Yarrow", now).copies == []
