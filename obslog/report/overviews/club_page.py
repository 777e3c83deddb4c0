"""The page of the club: the year beside the one before, its nights, the fleet over the years, and the annual report."""

from collections.abc import Iterator, Sequence

from obslog.club.overviews.club_facts import ClubFacts
from obslog.english import counted
from obslog.estimate_words import radius_words
from obslog.report.annual.sections import up_to_today
from obslog.report.overviews.months_picture import months_picture
from obslog.report.overviews.years_picture import years_picture
from obslog.report.pages.annual_page import report_sections
from obslog.report.pages.content import Page, Paragraph, Part, Section, Table
from obslog.report.pages.footer import footer_lines
from obslog.values import Interval


def club_page(facts: ClubFacts, up: tuple[str, str] | None = None) -> Page:
    """The page, in reading order; `up` is the page above it, where it is one of several."""
    return Page(
        kind="club",
        title=f"The club from {facts.report.first} to {facts.report.last}",
        lead=lead_words(facts),
        sections=[
            Section("This period and the one before", list(_beside(facts))),
            Section("Nights by month", list(_months(facts))),
            Section("The fleet over the years", list(_years(facts))),
            *report_sections(facts.report),
        ],
        footer=footer_lines(facts.basis),
        up=up,
    )


def lead_words(facts: ClubFacts) -> str:
    """The one sentence that matters most."""
    now, then, landing = facts.report.nights, facts.before.nights, facts.report.landing
    said = (
        f"{counted(now.nights, 'night')} with {counted(now.setups, 'set-up')}; in the same number of days before, "
        f"{counted(then.nights, 'night')} with {counted(then.setups, 'set-up')}"
    )
    return f"{said}. {landing_words(landing.change)}"


def landing_words(change: Interval | None) -> str:
    """Whether the go-tos of the fleet land nearer than in the period before."""
    if change is None:
        return "Too few landings are on record to say whether they changed."
    if change.low is not None and change.low > 1:
        return "The go-tos landed farther out than in the period before."
    if change.high is not None and change.high < 1:
        return "The go-tos landed nearer than in the period before."
    return "Where the go-tos landed did not change beyond what chance explains."


def _beside(facts: ClubFacts) -> Iterator[Part]:
    unfinished = up_to_today(facts.report)
    if unfinished is not None:
        yield Paragraph(unfinished)
    report, before = facts.report, facts.before
    yield Table(
        caption=f"{counted(report.days, 'day')} each",
        columns=["figure", f"{report.first} to {report.last}", f"{before.first} to {before.last}"],
        rows=[[what, str(now), str(then)] for what, now, then in _lines(facts)],
        numeric=[False, True, True],
    )


def _lines(facts: ClubFacts) -> Sequence[tuple[str, object, object]]:
    now, then, report, before = facts.report.nights, facts.before.nights, facts.report, facts.before
    return [
        ("nights", now.nights, then.nights),
        ("sites", now.sites, then.sites),
        ("set-ups", now.setups, then.setups),
        ("mounts set up", now.mounts, then.mounts),
        ("members who set up", now.observers, then.observers),
        ("objects noted", facts.observations, before.observations),
        ("half of the go-tos landed within", _radius(report.landing.arcmin), _radius(before.half_arcmin)),
        ("set-ups behind that", report.landing.setups, before.landed),
        ("loans", report.loans.begun, before.loans),
        ("borrowers", report.loans.borrowers, before.borrowers),
        ("loans that came back late", len(report.loans.late), before.came_back_late),
    ]


def _radius(half: Interval | None) -> str:
    return "too few" if half is None else radius_words(half)


def _months(facts: ClubFacts) -> Iterator[Part]:
    if not any(one.nights for one in facts.months):
        yield Paragraph("No night is on record in these months.")
        return
    yield Paragraph(f"Each bar counts the nights of a month; those before {facts.report.first} are paler.")
    yield months_picture("Nights by month, this period and the one before", facts.months, facts.report.first)


def _years(facts: ClubFacts) -> Iterator[Part]:
    if not facts.years:
        yield Paragraph("No night is on record yet.")
        return
    yield Paragraph(
        "Of each year the geometric mean over its set-ups, with the 95 % interval; below it, of how many. Other mounts "
        "and other people may have been out. A hollow dot: that year is not over yet."
    )
    yield years_picture(facts.years, facts.day)
