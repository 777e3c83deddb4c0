"""How much everything was used in the last year, by review, advice on lending and what to buy, counted by hand."""

import shutil
from collections.abc import Sequence
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, given, settings

from obslog.club.buying.evidence import WaitingList, evidence
from obslog.club.review.lending_advice import next_loans
from obslog.club.review.storeroom_evidence import standings
from obslog.club.upkeep.nights_of_use import nights_last_year
from tests.club.annual.pencil import Pencil
from tests.club.annual.random_clubs import Act, RandomClub, Row, club_after, filled, years_of_acts

few = settings(
    max_examples=3, deadline=None, phases=[Phase.generate], suppress_health_check=[HealthCheck.too_slow]
)  # to make an example smaller takes minutes


@pytest.fixture(scope="module")
def template(sqlite_template: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return filled(Path(shutil.copy(sqlite_template, tmp_path_factory.mktemp("use") / "club.db")))


@few
@given(acts=years_of_acts)
def test_a_pencil_counts_the_same_use(template: Path, acts: Sequence[Act]) -> None:
    with club_after(template, acts) as club:
        pencil = Pencil(club, club.today - timedelta(days=364), club.today, club.today)
        hold_what_to_buy(club, pencil)
        hold_idle(club, pencil)
        hold_lent(club, pencil)


def hold_what_to_buy(club: RandomClub, pencil: Pencil) -> None:
    with club.database.read() as session:
        found, yearly = evidence(session, club.today), nights_last_year(session, club.today)
    assert found.nights == len(
        {row["night_of"] for row in pencil.nights.values() if pencil.within(row["night_of"])}
    )
    keys = {row["name"]: row["id"] for row in (*pencil.items, *pencil.kits)}
    in_kits = {part["equipment_id"] for part in pencil.kit_parts if not part["left_on"]}
    for one in found.stock:
        key = keys[one.name]
        assert one.loans == pencil.loans_of(key), one.name
        assert one.nights == sum(map(pencil.within, pencil.nights_of(key))), one.name
        if key not in in_kits:  # a part that no set-up names counts with its kit
            assert yearly.get(key, 0) == one.nights, one.name
    hold_queues(club, {queue.name: queue for queue in found.queues}, keys)


def hold_queues(club: RandomClub, queues: dict[str, WaitingList], keys: dict[str, Any]) -> None:
    """Those in which somebody waits: how many, the longest, and of two years who asked and who went without."""
    lists: dict[Any, list[Row]] = {}
    for row in club.places_in_lists():
        lists.setdefault(row["kit_id"] or row["equipment_id"], []).append(row)
    waited = {key: rows for key, rows in lists.items() if any(not row["closed_on"] for row in rows)}
    assert {keys[name] for name in queues} == set(waited)
    for name, queue in queues.items():
        rows = waited[keys[name]]
        waits = [row for row in rows if not row["closed_on"]]
        lately = [row for row in rows if (club.today - row["on"]).days < 730]
        figures = {
            "waiting": len(waits),
            "longest_days": max((club.today - row["on"]).days for row in waits),
            "asked": len({row["member_id"] for row in (*waits, *lately)}),
            "went_without": len(
                {
                    row["member_id"]
                    for row in lately
                    if row["closed_on"]
                    and not row["served"]
                    and not any(
                        later["member_id"] == row["member_id"]
                        and (later["asked_utc"], later["id"]) > (row["asked_utc"], row["id"])
                        for later in lately
                    )
                }
            ),
        }
        assert {figure: getattr(queue, figure) for figure in figures} == figures, name


def hold_idle(club: RandomClub, pencil: Pencil) -> None:
    """Days since each was last under the sky or with a member; what is with one is used today."""
    with club.database.read() as session:
        found = standings(session, club.today)
    for row in (*pencil.items, *pencil.kits):
        lent = [loan["back_on"] or club.today for loan in pencil.loans if loan["kit_id"] == row["id"]]
        lent += [part["back_on"] or club.today for part in pencil.parts if part["equipment_id"] == row["id"]]
        with_parts = [
            night
            for part in pencil.kit_parts
            if part["kit_id"] == row["id"] and part["equipment_id"]
            for night in pencil.nights_of(part["equipment_id"])
            if part["joined_on"] <= night <= (part["left_on"] or club.today)
        ]
        used = max([*lent, *with_parts, *pencil.nights_of(row["id"])], default=None)
        assert found[row["id"]].idle_days == ((club.today - used).days if used else None), row["name"]


def hold_lent(club: RandomClub, pencil: Pencil) -> None:
    """On how many days of the last year each kit was out; told of those for which nobody waits."""
    told = {one.kit: one.reasons[1] for one in next_loans(club.database, club.today) if not one.waiting}
    for kit in pencil.kits:
        if kit["name"] in told:
            spans = [
                (loan["out_on"], loan["back_on"]) for loan in pencil.loans if loan["kit_id"] == kit["id"]
            ]
            days = sum(
                any(out <= day and (back is None or day <= back) for out, back in spans)
                for day in pencil.days
            )
            words = (
                f"lent on {days} {'day' if days == 1 else 'days'} of the last year"
                if days
                else "not lent in the last year"
            )
            assert told[kit["name"]] == words
