"""The officer's report, read back at every width and held against one made by hand."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from itertools import dropwhile
from typing import Any

import pytest

from obslog.cli.annual import show_report
from obslog.club.annual.report_records import (
    Acquisition,
    Acquisitions,
    AnnualReport,
    FleetLanding,
    Holding,
    Late,
    Left,
    LoanYear,
    LossYear,
    Lost,
    Money,
    NightYear,
    Queue,
    ServicesOfItem,
    ServiceYear,
    StepYear,
    Use,
    Utilisation,
    WaitingYear,
)
from obslog.values import Interval
from tests.cli.screens import PIPED, Shown, shown_by

WIDTHS = (220, 80, 60, 40, PIPED)
PAGE = 80
NOTHING = Money(0, 0, 0)


def a_use(name: str, kind: str, out: int, available: int, loans: int, nights: int | None = None) -> Use:
    return Use(
        name=name, kind=kind, days_out=out, days_available=available, utilisation=out / available, days_missing=0,
        loans=loans, nights=nights,
    )  # fmt: skip


def a_late(n: int, back: date | None, days: int) -> Late:
    return Late(
        reference=f"abc{n}", what=f"Box {n}", kind="kit", member=f"Noor {n}", due_on=date(2026, 5, n), back_on=back,
        days_late=days,
    )  # fmt: skip


NO_LOANS = LoanYear(
    begun=0, handed_over=0, borrowers=0, out_before=0, came_back=0, out_at_end=0, renewals=0, renewed_loans=0, late=[],
    days_late=0, overdue_now=[], grace_days=0, borrower_names=None,
)  # fmt: skip
EMPTY: dict[str, Any] = {
    "nights": NightYear(nights=0, sites=0, setups=0, mounts=0, observers=0),
    "landing": FleetLanding(
        arcmin=None, setups=0, before_arcmin=None, before_setups=0, change=None, too_few="only 2 set-ups"
    ),
    "utilisation": Utilisation(
        kits=Use(name="all kits", kind="all", loans=0), things=a_use("all items", "all", 0, 5, 0), lines=[],
        never_moved=[], unknown_since=0,
    ),
    "loans": NO_LOANS,
    "waiting": WaitingYear(
        waiting=0, members=0, longest_days=None, queues=[], served=0, served_median_days=None, served_longest_days=None,
        withdrawn=0,
    ),
    "services": ServiceYear(services=0, mechanical=0, cost=NOTHING, things=[]),
    "losses": LossYear(
        missing=[], missing_value=NOTHING, found=0, given_up=0, written_off=[], written_off_value=NOTHING,
        missing_from_before=0,
    ),
    "acquisitions": Acquisitions(things=[], cost=NOTHING, gifts=0, unknown_date=0), "retired": [], "holdings": [],
}  # fmt: skip
# Every number is another one, so that none can stand in another's place.
FULL: dict[str, Any] = {
    "nights": NightYear(nights=11, sites=3, setups=24, mounts=5, observers=1),
    "landing": FleetLanding(
        arcmin=Interval(12.34, 9.87, 15.43, 20), setups=20, before_arcmin=Interval(14.56, None, None, 1),
        before_setups=1, change=Interval(0.847, 0.71, 0.97, 20), too_few=None,
    ),
    "utilisation": Utilisation(
        kits=a_use("all kits", "all", 30, 90, 1), things=a_use("all items", "all", 1234, 13146, 7),
        lines=[a_use("Scope", "tube", 45, 90, 2, 3), a_use("Box 1", "kit", 9, 90, 1),
               a_use("Cap", "item", 3, 92, 0, 0), a_use("Torch", "item", 0, 88, 0, 0)],
        never_moved=[a_use("Torch", "item", 0, 88, 0, 0), a_use("Rag", "item", 0, 87, 0, 0)], unknown_since=4,
    ),
    "loans": LoanYear(
        begun=6, handed_over=2, borrowers=4, out_before=9, came_back=5, out_at_end=8, renewals=3, renewed_loans=1,
        late=[a_late(2, date(2026, 5, 9), 7)], days_late=7, overdue_now=[a_late(1, None, 64)], grace_days=1,
        borrower_names=["Noor 1", "Noor 2"],
    ),
    "waiting": WaitingYear(
        waiting=4, members=3, longest_days=60,
        queues=[Queue(what="Box 1", kind="kit", waiting=2, longest_days=60, members=["Jun", "Amara"]),
                Queue(what="Scope", kind="tube", waiting=2, longest_days=12, members=["Idris", "Jun"])],
        served=2, served_median_days=8.5, served_longest_days=10, withdrawn=1,
    ),
    "services": ServiceYear(
        services=4, mechanical=1, cost=Money(1234.5, 3, 1),
        things=[ServicesOfItem(name="Anvil", kind="mount", services=3, cost=Money(1224.5, 2, 1)),
                ServicesOfItem(name="Scope", kind="tube", services=1, cost=Money(10, 1, 0))],
    ),
    "losses": LossYear(
        missing=[Lost(name="Cap", kind="item", since=date(2026, 2, 3), found_on=date(2026, 2, 9), value=None),
                 Lost(name="Wide 25", kind="eyepiece", since=date(2026, 3, 4), value=45),
                 Lost(name="Box 1: cap", kind="label", since=date(2026, 3, 5), given_up_on=date(2026, 3, 6))],
        missing_value=Money(45, 1, 0), found=1, given_up=1,
        written_off=[Left(name="Bag", kind="item", on=date(2026, 4, 5), why="torn", value=15.25)],
        written_off_value=Money(15.25, 1, 0), missing_from_before=6,
    ),
    "acquisitions": Acquisitions(
        things=[Acquisition(name="Lens", kind="item", on=date(2026, 1, 2), how="gift", cost=None),
                Acquisition(name="Grey", kind="item", on=date(2026, 1, 8), how=None, cost=85)],
        cost=Money(85, 1, 0), gifts=1, unknown_date=42,
    ),
    "retired": [Left(name="Old", kind="mount", on=date(2026, 6, 7), why="worn", value=None)],
    "holdings": [
        Holding(where="store", holder="loft", holders=0, things=7, value=Money(2400, 7, 0)),
        Holding(where="members", holder="Jun", holders=1, things=2, value=Money(None, 0, 2)),
        Holding(where="missing", holder=None, holders=0, things=1, value=Money(45, 1, 0)),
    ],
}  # fmt: skip


def a_report(*sections: str, **changed: Any) -> AnnualReport:
    """Half a year with these sections full, so few that the page of 80 columns cuts no table."""
    values: dict[str, Any] = {
        "first": date(2026, 1, 1), "last": date(2026, 6, 30), "asked_to": None, "days": 181, "today": date(2026, 7, 4),
        "with_names": True, "currency": "EUR", **EMPTY, **{name: FULL[name] for name in sections},
    }  # fmt: skip
    return AnnualReport(**(values | changed))


def reports(report: AnnualReport) -> Iterator[Shown]:
    return shown_by(lambda screen: show_report(screen, report, None), WIDTHS)


def section(shown: Shown, title: str) -> Shown:
    """One section by itself; of the page of 80 columns, whose tables are set in, without that and filled up."""
    start = shown.lines.index(title) + 1
    lines = shown.lines[start:]
    lines = lines[: lines.index("")] if "" in lines else lines
    if shown.width is PIPED or shown.width >= PAGE:
        lines = [line[2:].ljust(PAGE) for line in lines if not line.startswith("  and ")]
        return Shown(PAGE, "\n".join(lines), "")
    return Shown(shown.width, "\n".join(lines), "")


def cells(shown: Shown, *columns: str) -> list[list[str]]:
    """The cells of a section's table; on a narrow screen that begins after the sentences, which are set in."""
    narrow = shown.width is not PIPED and shown.width < PAGE
    lines = dropwhile(lambda line: line.startswith("  "), shown.lines) if narrow else shown.lines
    table = Shown(shown.width, "\n".join(lines), "")
    return [list(row.values()) for row in table.rows(*columns)]


def test_the_nights_and_the_landing_error_beside_the_period_before() -> None:
    for shown in reports(a_report("nights", "landing")):
        assert shown.words.startswith("The store-room from 2026-01-01 to 2026-06-30 (181 days) NIGHTS")
        assert section(shown, "NIGHTS").words == (
            "11 nights at 3 sites; 24 set-ups of 5 mounts by 1 observer. "
            "Landing error of the fleet: half of the go-tos within 12.3' (95 %: 9.9' to 15.4'), the geometric mean of "
            "20 set-ups. In the same number of days before: 14.6', 1 set-up. "
            "That is 0.85 (95 %: 0.71 to 0.97) times as large: better."
        )
    for change, verdict in (
        (Interval(1.2, 1.01, 1.4, 9), "worse"), (Interval(1.2, 1.0, 1.4, 9), "no certain change"),
        (Interval(0.9, 0.8, 1.0, 9), "no certain change"), (Interval(0.9, None, None, 9), "no certain change"),
    ):  # fmt: skip
        for shown in reports(a_report(landing=replace(FULL["landing"], change=change))):
            assert section(shown, "NIGHTS").words.endswith(f"times as large: {verdict}.")


def test_what_is_not_known_of_the_landing_error_is_said() -> None:
    for shown in reports(a_report("nights")):
        assert section(shown, "NIGHTS").words == (
            "11 nights at 3 sites; 24 set-ups of 5 mounts by 1 observer. Landing error of the fleet: only 2 set-ups."
        )


def test_use_in_days_of_days_and_percent_without_what_was_not_used() -> None:
    """30 of 90 days are a third, 1234 of 13146 are 9.39 %; what was never out is named and has no row."""
    columns = ("name", "kind", "out", "of days", "used", "loans", "nights")
    for shown in reports(a_report("utilisation")):
        use = section(shown, "USE: DAYS OUT OF DAYS AVAILABLE")
        assert use.in_order(
            "All kits: 30 of 90 days (33 %), lent once.",
            "All items: 1,234 of 13,146 days (9.4 %), lent 7 times.",
            "Neither lent nor used: 2 (Torch; Rag).", "not known since when the club has them: 4.",
        )  # fmt: skip
        assert cells(use, *columns) == [
            ["Scope", "tube", "45", "90", "50 %", "2", "3"], ["Box 1", "kit", "9", "90", "10 %", "1", ""],
            ["Cap", "item", "3", "92", "3.3 %", "0", "0"],
        ]  # fmt: skip
    for shown in reports(a_report()):
        use = section(shown, "USE: DAYS OUT OF DAYS AVAILABLE")
        assert use.words.endswith("All items: 0 of 5 days (0.0 %), lent 0 times. Neither lent nor used: 0.")
        assert "All kits" not in use.words


@pytest.mark.parametrize("with_names", [True, False])
def test_loans_with_the_late_ones_and_names_only_where_asked(with_names: bool) -> None:
    named = FULL["loans"] if with_names else replace(FULL["loans"], borrower_names=None)
    columns = ["reference", "item", "due", "back", "days late", *(["member"] if with_names else [])]
    for shown in reports(a_report(with_names=with_names, loans=named)):
        told = section(shown, "LOANS")
        assert told.in_order(
            "6 loans to 4 borrowers (2 handed over); 3 extensions of 1 loan.",
            "Out before the period: 9; came back in it: 5; out at its end: 8.",
            *(["Borrowers: Noor 1; Noor 2."] if with_names else []),
            "Came back late: 1, 7 days late in total. Overdue on 2026-07-04: 1, with 1 day of grace.",
        )
        assert [row[:5] for row in cells(told, *columns)] == [
            ["abc1", "Box 1", "2026-05-01", "out", "64"], ["abc2", "Box 2", "2026-05-02", "2026-05-09", "7"],
        ]  # fmt: skip
        assert ("Noor" in shown.words, "Borrowers" in shown.words) == (with_names, with_names)
        if with_names:
            assert [row["member"] for row in told.rows(*columns)] == ["Noor 1", "Noor 2"]
    for shown in reports(a_report(with_names=with_names)):
        assert section(shown, "LOANS").words.endswith("Came back late: 0. Overdue on 2026-07-04: 0.")


@pytest.mark.parametrize("with_names", [True, False])
def test_waiting_lists_on_the_last_day(with_names: bool) -> None:
    columns = ["item", "kind", "waiting", "longest in days", *(["member"] if with_names else [])]
    for shown in reports(a_report("waiting", with_names=with_names)):
        told = section(shown, "WAITING LISTS")
        assert told.in_order(
            "3 members waiting on 2026-06-30, in 4 places, the longest for 60 days.",
            "In the period 2 got what they waited for after 8.5 days (median; at most 10); 1 withdrew.",
        )
        rows = cells(told, *columns)
        assert [row[:4] for row in rows] == [["Box 1", "kit", "2", "60"], ["Scope", "tube", "2", "12"]]
        if with_names:
            assert [row[4] for row in rows] == ["Jun; Amara", "Idris; Jun"]
    nobody = WaitingYear(
        waiting=0, members=0, longest_days=None, queues=[], served=1, served_median_days=1.0, served_longest_days=1,
        withdrawn=0,
    )  # fmt: skip
    for shown in reports(a_report(waiting=nobody)):
        assert section(shown, "WAITING LISTS").words == (
            "0 members waiting on 2026-06-30. "
            "In the period 1 got what they waited for after 1 day (median; at most 1); 0 withdrew."
        )


def test_services_with_their_cost_in_the_clubs_currency() -> None:
    for shown in reports(a_report("services")):
        told = section(shown, "SERVICES AND REPAIRS")
        assert told.words.startswith(
            "4 services of 2 items (1 mechanical); cost EUR 1,234.50 from 3; 1 cost unknown."
        )
        assert cells(told, "name", "kind", "services", "cost") == [
            ["Anvil", "mount", "3", "EUR 1,224.50 from 2; 1 cost unknown"], ["Scope", "tube", "1", "EUR 10.00"],
        ]  # fmt: skip
    for shown in reports(a_report("services", currency=None)):
        assert (
            cells(section(shown, "SERVICES AND REPAIRS"), "name", "kind", "services", "cost")[1][3] == "10.00"
        )
    for shown in reports(a_report()):
        assert section(shown, "SERVICES AND REPAIRS").words == "0 services of 0 items (0 mechanical)."


def test_losses_with_what_was_found_again_and_what_is_written_off() -> None:
    for shown in reports(a_report("losses")):
        told = section(shown, "LOSSES")
        assert told.in_order(
            "3 went missing; 1 found again; 1 given up since; 1 still missing, value EUR 45.00.",
            "1 written off, value EUR 15.25. Missing from before: 6.",
        )
        rows = cells(told, "name", "kind", "event", "since", "found", "value")
        assert rows == [
            ["Cap", "item", "missing", "2026-02-03", "2026-02-09", "?"],
            ["Wide 25", "eyepiece", "missing", "2026-03-04", "no", "EUR 45.00"],
            ["Box 1: cap", "label", "missing", "2026-03-05", "given up", ""],
            ["Bag", "item", "written off", "2026-04-05", "", "EUR 15.25"],
        ]  # fmt: skip
    for shown in reports(a_report()):
        assert section(shown, "LOSSES").words == (
            "0 went missing; 0 found again; 0 still missing. 0 written off. Missing from before: 0."
        )


def test_what_came_and_went_an_unknown_cost_and_how_it_came() -> None:
    for shown in reports(a_report("acquisitions", "retired")):
        told = section(shown, "ACQUIRED AND RETIRED")
        assert told.words.startswith(
            "2 acquired, 1 gift among them; cost EUR 85.00; 1 retired. Date unknown: 42."
        )
        assert cells(told, "name", "kind", "event", "on", "cost") == [
            ["Lens", "item", "acquired (gift)", "2026-01-02", "?"],
            ["Grey", "item", "acquired (how is not known)", "2026-01-08", "EUR 85.00"],
            ["Old", "mount", "retired: worn", "2026-06-07", ""],
        ]  # fmt: skip
    for shown in reports(a_report()):
        assert section(shown, "ACQUIRED AND RETIRED").words == "0 acquired; 0 retired. Date unknown: 0."


def test_values_by_holder_today_without_what_is_not_known() -> None:
    title = "VALUES BY HOLDER, ON 2026-07-04"
    for shown in reports(a_report("holdings")):
        told = section(shown, title)
        assert told.words.startswith("2 values not known, and left out of the sums.")
        assert cells(told, "with", "value", "items") == [
            ["the store: loft", "EUR 2,400.00", "7"], ["Jun", "unknown (2 values unknown)", "2"],
            ["missing", "EUR 45.00", "1"],
        ]  # fmt: skip
    nameless = [Holding(where="members", holder=None, holders=3, things=5, value=Money(9.5, 5, 0))]
    nameless += [Holding(where="store", holder=None, holders=0, things=1, value=Money(0.5, 1, 0))]
    for shown in reports(a_report(holdings=nameless)):
        told = section(shown, title)
        assert "not known" not in told.words
        assert cells(told, "with", "value", "items") == [
            ["3 members", "EUR 9.50", "5"], ["the store", "EUR 0.50", "1"]
        ]  # fmt: skip


def test_sections_stand_in_one_order_with_a_blank_line_before_each() -> None:
    for shown in reports(a_report(*FULL, asked_to=date(2026, 12, 31))):
        assert shown.in_order(
            "(181 days)", "It covers up to today, 2026-06-30; the days to 2026-12-31 have not come yet.", "NIGHTS",
            "USE", "LOANS", "WAITING LISTS", "SERVICES AND REPAIRS", "LOSSES", "ACQUIRED AND RETIRED",
            "VALUES BY HOLDER, ON 2026-07-04",
        )  # fmt: skip
        assert shown.lines.count("") == 8


def test_a_narrow_screen_is_filled_line_by_line() -> None:
    """No line could have taken the first word of the next, but at the end of a sentence or in a table."""
    for shown in shown_by(lambda screen: show_report(screen, a_report(*FULL), None), (40,)):
        assert max(map(len, shown.lines)) <= 40
        for line, following in zip(shown.lines, shown.lines[1:], strict=False):
            if following.startswith("    "):  # goes on with a sentence
                first = following.replace(" %", "_%").split()[0]
                assert len(line) + 1 + len(first) > 40, (line, following)


def test_on_a_narrow_screen_sentences_are_set_in_and_what_goes_on_further() -> None:
    long = "its landing errors are not known, for " * 3
    late = replace(FULL["landing"], too_few=long)
    for shown in shown_by(lambda screen: show_report(screen, a_report(landing=late), None), (40,)):
        assert shown.lines[:4] == [
            "The store-room from 2026-01-01 to",
            "  2026-06-30 (181 days)",
            "",
            "NIGHTS",
        ]
        indents = [len(line) - len(line.lstrip()) for line in section(shown, "NIGHTS").lines]
        assert {2, 4} == set(indents)
        assert indents[0] == 2
        sentences = [line for line in section(shown, "NIGHTS").lines if not line.startswith("    ")]
        assert [line.split()[0] for line in sentences] == ["0", "Landing", "In", "That", "Landing"]
    for shown in shown_by(lambda screen: show_report(screen, a_report(), None), (24,)):
        place = shown.lines.index("USE: DAYS OUT OF DAYS")
        assert shown.lines[place + 1] == "  AVAILABLE"
    many = [a_use(f"Item {n}", "item", 30, 90, 1, 0) for n in range(9)]
    use = replace(FULL["utilisation"], lines=many)
    for shown in shown_by(lambda screen: show_report(screen, a_report(utilisation=use), None), (60,)):
        assert "  and 1 more (--into has all)" in shown.lines


def test_more_rows_than_fit_are_counted() -> None:
    many = [a_use(f"Item {n:02}", "item", 30 - n, 90, 1, 0) for n in range(12)]
    for shown in reports(a_report(*FULL, utilisation=replace(FULL["utilisation"], lines=many))):
        use = section(shown, "USE: DAYS OUT OF DAYS AVAILABLE")
        rows = use.rows("name", "kind", "out", "of days", "used", "loans", "nights")
        assert 1 <= len(rows) <= 8
        assert f"and {12 - len(rows)} more (--into has all)" in shown.words
        assert [(row["name"], row["out"]) for row in rows] == [
            (f"Item {n:02}", f"{30 - n}") for n in range(len(rows))
        ]


def test_the_clubs_own_checklist_is_told_where_it_has_one() -> None:
    steps = [
        StepYear(step="pack", title="Pack", own=False, nights=9, nights_not_well=0, snags=0),
        StepYear(step="level", title="Level", own=False, nights=9, nights_not_well=1, snags=6),
        StepYear(step="dew", title="Unplug the dew heaters", own=True, nights=8, nights_not_well=2, snags=3),
        StepYear(step="flag", title="Hoist the flag", own=True, nights=0, nights_not_well=0, snags=0),
    ]
    for shown in reports(a_report(steps=steps)):
        for word in (
            "1 other step ticked without trouble.",
            "Unplug",
            "Hoist",
        ):  # a narrow column breaks titles
            assert word in " ".join(shown.out.split())
    for shown in reports(a_report()):
        assert "own checklist" not in shown.out.casefold()
