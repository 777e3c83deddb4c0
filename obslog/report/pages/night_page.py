"""The page of a night: who was there, what the sky was like, what was done, seen and written."""

from collections.abc import Iterator

from obslog.club.night.night_pages import SkyLine
from obslog.club.night.observation_lines import ObservationLine
from obslog.club.night.snags import SnagLine
from obslog.club.pages.night_facts import NightFacts
from obslog.english import counted
from obslog.report.pages.content import Page, Paragraph, Part, Section, Table
from obslog.report.pages.footer import footer_lines
from obslog.report.pictures.sky_chart import sky_chart
from obslog.vocabulary.sky_scales import SKY_SCALE_MEANING

SEEN_COLUMNS = ("at", "object", "sighting", "what it looked like", "observer", "with", "altitude", "rating")
ALWAYS_TOLD = 4  # of these columns the first; of the others those in which anything stands


def night_page(facts: NightFacts, up: tuple[str, str] | None = None) -> Page:
    """The page, in reading order; `up` is the page above it, where it is one of several."""
    page = facts.night.page
    return Page(
        kind="night",
        title=f"The night of {page.night} at {page.site}",
        lead=lead_words(facts),
        sections=list(_sections(facts)),
        footer=footer_lines(facts.basis),
        up=up,
    )


def lead_words(facts: NightFacts) -> str:
    """Who was there, from when to when, and what came of it."""
    page, whole = facts.night.page, facts.night
    people = f"{counted(len(page.present), 'person', 'people')}" if page.present else "Nobody on record"
    times = (("from", page.started), ("to" if page.started else "until", page.ended))
    hours = "".join(f" {word} {time}" for word, time in times if time)
    came_of_it = ", ".join(
        counted(count, one)
        for count, one in (
            (len(whole.setups), "set-up"),
            (len(facts.places), "arrival"),
            (len(whole.observations), "observation"),
            (len(whole.snags), "snag"),
        )
        if count
    )
    still = " The night is still open." if page.open else ""
    return f"{people}{hours}: {came_of_it or 'nothing on record yet'}.{still}"


def _sections(facts: NightFacts) -> Iterator[Section]:
    yield Section("Who was there", list(_who(facts)))
    yield Section("The sky", [_sky(facts.night.page.sky)])
    yield Section("Where the set-ups went", [_chart(facts)])
    yield Section("What was seen", list(_seen(facts.night.observations)))
    yield Section("What went wrong", [_snags(facts.night.snags)])
    written = list(_written(facts))
    if written:
        yield Section("What was written", [Paragraph(words) for words in written])
    if facts.story:
        yield Section("In order", [_story(facts)])


def _who(facts: NightFacts) -> Iterator[Part]:
    page = facts.night.page
    yield Paragraph(f"Present: {', '.join(page.present)}." if page.present else "Nobody was noted.")
    if facts.night.setups:
        yield Table(
            caption="The set-ups",
            columns=["mount", "set-up", "tube", "observer", "eyepiece", "from", "arrivals"],
            rows=[
                [
                    one.mount,
                    str(one.setup),
                    one.tube or "",
                    one.observer or "",
                    one.eyepiece or "",
                    one.started,
                    str(len(one.arrivals)),
                ]
                for one in facts.night.setups
            ],
            numeric=[False, True, False, False, False, False, True],
        )


def _sky(readings: list[SkyLine]) -> Part:
    if not readings:
        return Paragraph("Nobody noted what the sky was like.")
    return Table(
        caption="What the sky was like, each on its own scale",
        columns=["scale", "value", "at", "the scale"],
        rows=[[one.scale, f"{one.value:g}", one.at or "", SKY_SCALE_MEANING[one.scale]] for one in readings],
        numeric=[False, True, False, False],
    )


def _chart(facts: NightFacts) -> Part:
    if not facts.places:
        return Paragraph("No arrival is on record.")
    page = facts.night.page
    return sky_chart(f"Where in the sky over {page.site} the arrivals were", facts.places)


def _seen(observations: list[ObservationLine]) -> Iterator[Part]:
    if not observations:
        yield Paragraph("No observation is on record.")
        return
    rows = [_observation(one) for one in observations]
    told = [
        place for place in range(len(SEEN_COLUMNS)) if place < ALWAYS_TOLD or any(row[place] for row in rows)
    ]
    yield Table(
        caption="What was looked at",
        columns=[SEEN_COLUMNS[place] for place in told],
        rows=[[row[place] for place in told] for row in rows],
    )


def _observation(one: ObservationLine) -> list[str]:
    power = f"{one.magnification:.0f}×" if one.magnification is not None else ""
    return [
        one.at,
        one.target,
        one.sighting,
        one.description or "",
        one.observer or "",
        ", ".join(word for word in (one.eyepiece, power, one.filter) if word),
        "" if one.alt_deg is None else f"{one.alt_deg:.0f}°",
        "" if one.rating is None else str(one.rating),
    ]


def _snags(snags: list[SnagLine]) -> Part:
    if not snags:
        return Paragraph("Nothing, as far as was noted.")
    return Table(
        caption="The snags",
        columns=["step", "what happened", "mount", "member", "what mended it"],
        rows=[[one.step, one.text, one.about or "", one.member or "", one.remedy or ""] for one in snags],
    )


def _written(facts: NightFacts) -> Iterator[str]:
    """The texts of the night, its set-ups and its arrivals; those of observations stand beside them."""
    if facts.night.page.note:
        yield facts.night.page.note
    for setup in facts.night.setups:
        if setup.note:
            yield f"{setup.mount}, set-up {setup.setup}: {setup.note}"
        for arrival in setup.arrivals:
            if arrival.note:
                yield f"{setup.mount}, {arrival.at}, {arrival.target}: {arrival.note}"


def _story(facts: NightFacts) -> Part:
    zoned = not any(one.at.endswith("Z") for one in facts.story)
    clocks = "the clocks of the site" if zoned else "Universal Time"
    return Table(
        caption=f"What happened, in order of time by {clocks}; 3E 2N is arcminutes from the centre of the field",
        columns=["at", "event"],
        rows=[[one.at, one.what] for one in facts.story],
    )
