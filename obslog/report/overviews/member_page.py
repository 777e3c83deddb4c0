"""The page of a member, for that member alone: lists, nights, habits as far as the records tell, and loans."""

from collections.abc import Iterator, Sequence

from obslog.club.overviews.habits import Beside, Habits, StepCount
from obslog.club.overviews.member_facts import MemberFacts
from obslog.club.storeroom.loan_pages import LoanLine
from obslog.english import capitalised, counted
from obslog.estimate_words import interval_words, radius_words
from obslog.report.overviews.beside_picture import beside_picture
from obslog.report.overviews.cells import share_words
from obslog.report.overviews.lists_picture import TITLES, lists_picture, seen_of
from obslog.report.overviews.months_picture import months_picture
from obslog.report.pages.content import Bullets, Page, Paragraph, Part, Section, Table
from obslog.report.pages.footer import footer_lines
from obslog.values import Interval

NEWEST_NIGHTS = 20
MOST_LACKS = 3


def member_page(facts: MemberFacts, up: tuple[str, str] | None = None) -> Page:
    """The page, in reading order; `up` is the page above it, where it is one of several."""
    return Page(
        kind="member",
        title=f"The member {facts.member}",
        lead=lead_words(facts),
        sections=[
            Section("Your lists", list(_lists(facts))),
            Section("Your nights", list(_nights(facts))),
            Section("Your set-ups", list(_setups(facts.habits))),
            Section("Steps of the checklist", list(_steps(facts.habits))),
            Section("Your loans", list(_loans(facts))),
        ],
        footer=footer_lines(facts.basis),
        up=up,
    )


def lead_words(facts: MemberFacts) -> str:
    """Whose page it is, and what is on it."""
    observations = sum(one.observations for one in facts.nights)
    return (
        f"This page is private to {facts.member}: {counted(len(facts.nights), 'night')}, "
        f"{counted(facts.habits.setups, 'set-up')}, {counted(observations, 'observation')} on record."
    )


def _lists(facts: MemberFacts) -> Iterator[Part]:
    if not facts.progress:
        yield Paragraph("Nothing of the Messier, Caldwell or double star lists is noted as seen yet.")
        return
    yield lists_picture(facts.progress)
    yield Bullets(
        [
            f"{capitalised(TITLES[one.listed])}: {seen_of(one)} of {one.total} seen. "
            + (" ".join(f"{part.count} {part.words}." for part in one.incomplete[:MOST_LACKS]))
            for one in facts.progress
        ]
    )


def _nights(facts: MemberFacts) -> Iterator[Part]:
    if not facts.nights:
        yield Paragraph("No night of yours is on record yet.")
        return
    yield months_picture("Your nights by month", facts.months)
    shown = facts.nights[:NEWEST_NIGHTS]
    yield Table(
        caption=_nights_words(len(shown), len(facts.nights)),
        columns=["night", "site", "you set up", "observations"],
        rows=[[str(one.night), one.site, ", ".join(one.mounts), str(one.observations)] for one in shown],
        numeric=[False, False, False, True],
    )


def _nights_words(shown: int, all_of_them: int) -> str:
    if all_of_them == 1:
        return "Your night"
    if shown == all_of_them:
        return f"Your {shown} nights, the newest first"
    return f"The newest {shown} of {counted(all_of_them, 'night')}"


def _setups(habits: Habits) -> Iterator[Part]:
    if not habits.setups:
        yield Paragraph("No set-up is noted under your name yet.")
        return
    if habits.beside_club is not None:
        yield Paragraph(beside_club_words(habits.beside_club))
    else:
        yield Paragraph("Too few landings are on record to compare your set-ups with the club's.")
    if habits.landing:
        yield beside_picture(habits.landing)
    if habits.polar_error is not None:
        yield Paragraph(_polar_words(habits.polar_error))


def beside_club_words(ratio: Interval) -> str:
    """What the records say of a member's own part, kindly and no more than they do."""
    if ratio.high is not None and ratio.high < 1:
        verdict = "your set-ups land nearer than the club's do on average"
    elif ratio.low is not None and ratio.low > 1:
        verdict = "your set-ups land farther out than the club's do on average"
    else:
        verdict = "no difference from the club's average that chance would not explain"
    return (
        f"With mounts and sites allowed for, the landing error of your set-ups is {interval_words(ratio)} times the "
        f"club's average, from {counted(ratio.count, 'set-up')}: {verdict}."
    )


def _polar_words(polar: Beside) -> str:
    others = (
        ""
        if polar.others is None
        else f"; the others' {radius_words(polar.others)}, {polar.others.count} of them"
    )
    return (
        f"The polar axes of your set-ups stood {radius_words(polar.own)} from the pole, the geometric mean of the "
        f"{counted(polar.own.count, 'set-up')} that tell{'s' if polar.own.count == 1 else ''}{others}."
    )


def _steps(habits: Habits) -> Iterator[Part]:
    if not habits.setups:
        yield Paragraph("Nothing is on record yet.")
        return
    if habits.snags:
        yield _step_table(
            f"Snags in your {counted(habits.setups, 'set-up')}, by step", "set-ups with one", habits.snags
        )
    else:
        yield Paragraph(f"No snag is noted in your {counted(habits.setups, 'set-up')}.")
    if not habits.ticked:
        yield Paragraph("No step of your set-ups is ticked on record, so nothing is said of steps left out.")
    elif habits.not_ticked:
        yield _step_table(
            f"Steps without a tick in the {counted(habits.ticked, 'set-up')} with ticks: done untold, or left out",
            "not ticked",
            habits.not_ticked,
        )
    else:
        yield Paragraph(f"Every step is ticked in all {counted(habits.ticked, 'set-up')} with ticks.")


def _step_table(caption: str, what: str, steps: Sequence[StepCount]) -> Table:
    return Table(
        caption=caption,
        columns=["step", what, "of set-ups", "share, with its 95 % interval"],
        rows=[[one.title, str(one.count), str(one.share.count), share_words(one.share)] for one in steps],
        numeric=[False, True, True, False],
    )


def _loans(facts: MemberFacts) -> Iterator[Part]:
    if not facts.loans:
        yield Paragraph("You have never borrowed anything.")
        return
    yield Table(
        caption=f"{counted(len(facts.loans), 'loan')}, in order of their due dates",
        columns=["item", "kind", "out", "due", "back"],
        rows=[_loan_row(loan) for loan in facts.loans],
    )


def _loan_row(loan: LoanLine) -> list[str]:
    back = str(loan.back_on) if loan.back_on else "overdue" if loan.overdue else "you have it"
    return [loan.what, loan.kind, str(loan.out_on), str(loan.due_on), back]
