"""The page of a mount: how it points, what to do, whether that changes, and why."""

from collections.abc import Iterator
from dataclasses import replace

from obslog.club.landing.error_budget import worth_mending
from obslog.club.over_time.axes_over_time import MechanicalChange, MechanicsOverTime
from obslog.club.pages.mount_facts import MountFacts, Pointing
from obslog.club.performance.mount_fit import MountFit
from obslog.club.review.verdicts import Status
from obslog.english import counted
from obslog.estimate_words import estimate_words, radius_words
from obslog.report.pages.content import Bullets, Page, Paragraph, Part, Section, Table
from obslog.report.pages.footer import footer_lines
from obslog.report.pictures.budget_bars import budget_picture
from obslog.report.pictures.landings import landings_picture
from obslog.report.pictures.polar_sky import RINGS_ARCMIN, axes_picture
from obslog.report.pictures.residual_sky import residuals_picture
from obslog.report.pictures.snag_steps import snags_picture
from obslog.report.plain_text import sentence
from obslog.vocabulary.mounts import MECHANICAL_TERMS, MountType

MOST_LISTED = 250
_RINGS = " and ".join(f"{ring:.0f}'" for ring in RINGS_ARCMIN)
_HOW_LEVEL = f"Crosses are one standard deviation; the rings stand at {_RINGS}."
_HOW_POLAR = (
    "As one sees it looking at the pole. A turn in azimuth is drawn as long as it is in the sky: times the cosine of "
    f"the latitude. Crosses are one standard deviation; the rings, {_RINGS}, are what the checklist asks for."
)


def mount_page(facts: MountFacts, up: tuple[str, str] | None = None) -> Page:
    """The page, in reading order; `up` is the page above it, where it is one of several."""
    return Page(
        kind="mount",
        title=f"The mount {facts.mount}",
        lead=lead_words(facts),
        sections=list(_sections(facts)),
        footer=footer_lines(facts.basis),
        up=up,
    )


def lead_words(facts: MountFacts) -> str:
    """The one sentence that matters most; of a mount that is retired that one before."""
    retired = _retired_words(facts)
    before = f"{sentence(f'{facts.mount} was {retired}')} " if retired else ""
    if facts.history is None:
        return f"{before}Where {facts.mount}'s go-tos land is not on record yet."
    return before + sentence(facts.history.words)


def _retired_words(facts: MountFacts) -> str | None:
    return next((why.words for why in facts.reviewed.reasons if why.status is Status.RETIRED), None)


def _sections(facts: MountFacts) -> Iterator[Section]:
    yield Section("What to do next", [_to_do(facts)])
    yield Section("Over the months", list(_over_the_months(facts)))
    if facts.pointing is None:
        why = facts.not_computed or "Nothing is on record to compute it from."
        yield Section("Why it points as it does", [Paragraph(why)])
    else:
        yield from _why(facts, facts.pointing)
    yield Section("What went wrong", list(_went_wrong(facts)))


def _to_do(facts: MountFacts) -> Part:
    if _retired_words(facts):
        return Paragraph("Nothing: it is not in use any more.")
    if not facts.next_steps:
        return Paragraph("Nothing on record asks for anything to be done.")
    return Bullets([f"{step.what}. {sentence(step.why)}" for step in facts.next_steps])


def _over_the_months(facts: MountFacts) -> Iterator[Part]:
    if facts.history is not None:
        yield landings_picture(facts.history)
        yield Bullets([sentence(reason) for reason in facts.history.reasons])
    if facts.set_up_by:
        yield Table(
            caption=f"Who set {facts.mount} up",
            columns=["member", "set-ups", "last"],
            rows=[[one.member or "not on record", str(one.setups), str(one.last)] for one in facts.set_up_by],
            numeric=[False, True, False],
        )
    else:
        yield Paragraph(f"{facts.mount} has not been set up yet.")


def _why(facts: MountFacts, pointing: Pointing) -> Iterator[Section]:
    mount_type = facts.mount_type
    if mount_type is not None:
        level = mount_type is MountType.ALTAZ
        yield Section(
            "How level the base stood" if level else "The polar axis in the sky",
            [
                Paragraph(_HOW_LEVEL if level else _HOW_POLAR),
                axes_picture(facts.mount, mount_type, pointing.axes),
                *_axis_words(pointing.over_time),
            ],
        )
    yield Section("Over the sky: what cone error, squareness and sag leave", list(_mechanics(pointing)))
    if pointing.budget is not None:
        yield Section("What its errors are made of", list(_budget(pointing)))


def _axis_words(over_time: MechanicsOverTime) -> list[Part]:
    trend = over_time.polar_trend
    return [Bullets([sentence(f"over the months: {trend.verdict}"), *map(sentence, trend.reasons)])]


def _mechanics(pointing: Pointing) -> Iterator[Part]:
    fit, over_time = pointing.fit, pointing.over_time
    yield from _residuals(fit)
    eras = sorted({one.since for one in fit.mechanical})
    size = {(one.since, one.term): one.size_arcmin for one in fit.mechanical}
    yield Table(
        caption=f"What belongs to {fit.mount} with {fit.tube or 'no tube named'}, since each service or change",
        columns=["since", *MECHANICAL_TERMS.values()],
        rows=[
            [str(since), *(estimate_words(size[since, term], "'", signed=True) for term in MECHANICAL_TERMS)]
            for since in eras
        ],
        numeric=[False, *(True for _ in MECHANICAL_TERMS)],
    )
    if over_time.mechanical_changes:
        yield Table(
            caption="What each service or change did to it",
            columns=["on", "of", "before", "after", "change"],
            rows=[_change(change) for change in over_time.mechanical_changes],
        )
    said = fit.words[len(MECHANICAL_TERMS) :]  # its first lines are the newest row of the table
    yield Bullets([sentence(words) for words in said])


def _residuals(fit: MountFit) -> Iterator[Part]:
    """All arrivals are drawn; of thousands of numbers the newest are listed, for a page is read on a telephone too."""
    picture = residuals_picture(fit)
    yield replace(picture, rows=picture.rows[-MOST_LISTED:])
    if len(picture.rows) > MOST_LISTED:
        yield Paragraph(
            f"The numbers are those of the newest {MOST_LISTED} of {len(picture.rows)} arrivals in the fit."
        )


def _change(change: MechanicalChange) -> list[str]:
    estimates = (change.before_arcmin, change.after_arcmin, change.change_arcmin)
    return [
        str(change.since),
        MECHANICAL_TERMS.get(change.term, change.term),
        *(estimate_words(one, "'", signed=True) for one in estimates),
    ]


def _budget(pointing: Pointing) -> Iterator[Part]:
    budget = pointing.budget
    assert budget is not None
    yield from (Paragraph(words) for words in budget.words)
    yield budget_picture(budget)
    yield Paragraph(
        f"Counted here: {counted(budget.go_tos, 'go-to')} after a sync whose distance was measured. Over the months "
        "those told in a word, such as centred, count too: the two radii may differ."
    )
    if helping := worth_mending(budget):
        yield Table(
            caption=f"What would help: since {budget.since} half land within {radius_words(budget.half_arcmin)}",
            columns=["without", "half within", "what helps"],
            rows=[[one.cause, radius_words(one.half_without_arcmin), one.remedy] for one in helping],
        )


def _went_wrong(facts: MountFacts) -> Iterator[Part]:
    if not facts.snags:
        yield Paragraph(f"No snag of {facts.mount} is on record.")
        return
    total = sum(one.count for one in facts.snags)
    not_mended = sum(one.not_mended for one in facts.snags)
    yield Paragraph(f"{counted(total, 'snag')} on record, {not_mended} not mended.")
    yield snags_picture(facts.mount, facts.snags)
    if facts.look_first:
        yield Bullets([sentence(f"{one.title}: {one.evidence}") for one in facts.look_first])
