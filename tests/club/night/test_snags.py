"""Snags: what went wrong, with what, with whom and where; and what mended it."""

from datetime import datetime, timedelta
from typing import Any

import pytest

from obslog.club.night.nights import end_night, start_night
from obslog.club.night.open_night import NightChoice, NoOpenNight, WhichOne
from obslog.club.night.setups import start_setup
from obslog.club.night.snags import NoSuchSnag, SnagAboutNothing, add_snag, fix_snag, list_snags
from obslog.errors import UnknownName
from obslog.fields import UnusableText
from obslog.records.database import Database
from obslog.times import FutureTime
from obslog.vocabulary.steps import Step


def test_a_snag_belongs_to_the_open_setup(evening: Database, now: datetime) -> None:
    snag = add_snag(evening, Step.LEVEL, " a leg sank ", now)
    assert (snag.step, snag.text, snag.at_utc) == (Step.LEVEL, "a leg sank", now)
    assert (snag.about, snag.member, snag.site) == ("Heron", "Ines", "Mill Field")
    assert (snag.fixed_utc, snag.remedy) == (None, None)
    assert list_snags(evening) == [snag]


def test_without_a_setup_a_snag_says_what_it_is_about(club: Database, now: datetime) -> None:
    with pytest.raises(SnagAboutNothing):
        add_snag(club, Step.LEVEL, "a leg sank", now)
    snag = add_snag(
        club, Step.POWER, "flat battery", now, mount="bracken", member="bram ostler", site="kestrel ridge"
    )
    assert (snag.about, snag.member, snag.site) == ("Bracken", "Bram Ostler", "Kestrel Ridge")
    assert add_snag(club, Step.GROUND, "mud", now, site="Mill Field").about is None


def test_a_snag_of_another_mount_is_not_that_of_the_open_setup(evening: Database, now: datetime) -> None:
    snag = add_snag(evening, Step.PACK, "case torn", now, mount="Bracken")
    assert (snag.about, snag.member, snag.site) == ("Bracken", None, None)


def test_of_several_open_setups_one_must_be_named(evening: Database, now: datetime) -> None:
    start_setup(evening, "Bracken", now, observer="Bram Ostler")
    with pytest.raises(WhichOne, match="Bracken"):
        add_snag(evening, Step.LEVEL, "a leg sank", now)
    assert add_snag(evening, Step.LEVEL, "a leg sank", now, mount="bracken").member == "Bram Ostler"


def test_the_time_of_a_snag_is_one_of_its_night(evening: Database, now: datetime) -> None:
    assert add_snag(evening, Step.LEVEL, "a leg sank", now, at="21:10").at_utc == now - timedelta(minutes=30)
    with pytest.raises(FutureTime):
        add_snag(evening, Step.LEVEL, "a leg sank", now, at="23:10")


def test_a_time_without_a_setup_is_one_of_the_open_night(club: Database, now: datetime) -> None:
    with pytest.raises(NoOpenNight):
        add_snag(club, Step.POWER, "flat battery", now, mount="Bracken", at="21:10")
    start_night(club, "Kestrel Ridge", now)
    snag = add_snag(club, Step.POWER, "flat battery", now, mount="Bracken", at="23:10")
    assert snag.at_utc == now - timedelta(minutes=30)  # South Africa is two hours ahead


@pytest.mark.parametrize("text", ["", "  ", "x" * 4001, "bell\a", "\udcff"])
def test_an_empty_long_or_unprintable_text_is_refused(evening: Database, now: datetime, text: str) -> None:
    with pytest.raises(UnusableText, match="The snag"):
        add_snag(evening, Step.LEVEL, text, now)
    assert list_snags(evening) == []


@pytest.mark.parametrize("wrong", [{"mount": "Herron"}, {"member": "Inez"}, {"site": "Mill Feld"}])
def test_an_unknown_name_notes_no_snag(evening: Database, now: datetime, wrong: dict[str, Any]) -> None:
    with pytest.raises(UnknownName):
        add_snag(evening, Step.LEVEL, "a leg sank", now, **wrong)
    with pytest.raises(UnknownName):
        list_snags(evening, **wrong)
    assert list_snags(evening) == []


def test_a_mended_snag_leaves_the_list_and_keeps_its_remedy(evening: Database, now: datetime) -> None:
    snag = add_snag(evening, Step.LEVEL, "a leg sank", now)
    other = add_snag(evening, Step.POWER, "flat battery", now + timedelta(minutes=1))
    later = now + timedelta(days=2)
    mended = fix_snag(evening, snag.reference.upper(), "a board under each leg", later)
    assert (mended.text, mended.fixed_utc, mended.remedy) == ("a leg sank", later, "a board under each leg")
    assert list_snags(evening) == [other]
    assert list_snags(evening, with_fixed=True) == [other, mended]


def test_the_beginning_of_a_mark_names_a_snag_where_it_is_the_only_one(
    evening: Database, now: datetime
) -> None:
    snag = add_snag(evening, Step.LEVEL, "a leg sank", now)
    assert fix_snag(evening, snag.reference[:3], None, now).reference == snag.reference


def test_an_unknown_or_ambiguous_mark_is_refused(evening: Database, now: datetime) -> None:
    for minute in range(17):  # of 17 marks two begin with the same of 16 signs
        add_snag(evening, Step.LEVEL, "a leg sank", now - timedelta(minutes=minute))
    firsts = [snag.reference[0] for snag in list_snags(evening)]
    shared = next(sign for sign in firsts if firsts.count(sign) > 1)
    with pytest.raises(NoSuchSnag, match="Several snags"):
        fix_snag(evening, shared, None, now)
    with pytest.raises(NoSuchSnag, match="No snag"):
        fix_snag(evening, "nowhere", None, now)
    assert len(list_snags(evening)) == 17


def test_snags_are_listed_newest_first_by_what_they_are_about(evening: Database, now: datetime) -> None:
    first = add_snag(evening, Step.LEVEL, "a leg sank", now)
    end_night(evening, NightChoice(), now)
    second = add_snag(evening, Step.POWER, "flat battery", now + timedelta(days=1), mount="Bracken")
    third = add_snag(
        evening, Step.GROUND, "mud", now + timedelta(days=2), site="Mill Field", member="Bram Ostler"
    )
    assert list_snags(evening) == [third, second, first]
    assert list_snags(evening, mount="heron") == [first]
    assert list_snags(evening, site="Mill Field") == [third, first]
    assert list_snags(evening, site="Mill Field", member="Bram Ostler") == [third]


@pytest.mark.parametrize("blank", ["", " "])
def test_no_reference_is_not_the_reference_of_the_only_snag(
    evening: Database, now: datetime, blank: str
) -> None:
    add_snag(evening, Step.LEVEL, "a leg sank", now)
    with pytest.raises(NoSuchSnag, match="No snag"):
        fix_snag(evening, blank, None, now)
    assert len(list_snags(evening)) == 1
