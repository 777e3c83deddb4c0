"""The observing record: its entries and their corrections, finding words again, progress with a list."""

from typing import TYPE_CHECKING, Annotated, Any

import typer

from obslog.cli.night.quick_verbs import (
    EyepieceOption,
    FilterOption,
    FoundBy,
    Magnification,
    Rating,
    Sketch,
    SureOption,
    Text,
    VisionOption,
    show_observations,
    vision_of,
)
from obslog.cli.terminal.options import AsJson, NewTime, NightOption, SiteOption
from obslog.cli.terminal.state import State, state_of
from obslog.times import read_date
from obslog.vocabulary import Sighting

if TYPE_CHECKING:
    from obslog.club.night.observations import ObservationLine
    from obslog.club.night.open_night import NightChoice
    from obslog.club.targets.list_progress import Progress

app = typer.Typer(help="The observing record: what was seen, entry by entry.", no_args_is_help=True)
Number = Annotated[int, typer.Argument(help="As in observation list.", show_default=False)]


def add_to(app: typer.Typer) -> None:
    app.command("find")(find)
    app.command("progress")(progress)


@app.command("list")
def list_(
    context: typer.Context, site: SiteOption = None, night: NightOption = None, as_json: AsJson = False
) -> None:
    """List what was seen on a night: the open one, or the newest.

    obslog observation list --night 2026-03-02
    """
    from obslog.club.night.observations import list_observations

    state = state_of(context)
    with state.database() as database:
        lines = list_observations(database, _choice(site, night))
    if as_json:
        state.screen.json(lines)
    elif not lines:
        state.screen.note("Nothing is on record for that night. To add something: obslog saw OBJECT")
    else:
        columns = ["", "at", "object", "", "observer", "magnif.", "alt °", "rating", "description"]
        state.screen.table(columns, [_cells(line) for line in lines])


@app.command("show")
def show(
    context: typer.Context,
    number: Number,
    site: SiteOption = None,
    night: NightOption = None,
    as_json: AsJson = False,
) -> None:
    """Show an entry with all it tells, and what it said before it was corrected."""
    from obslog.club.night.observation_corrections import show_observation

    state = state_of(context)
    with state.database() as database:
        page = show_observation(database, number, _choice(site, night))
    if as_json:
        state.screen.json(page)
        return
    o, screen = page.entry, state.screen
    screen.line(f"{o.target}, {o.at} on the night of {o.night} at {o.site}", style="bold")
    screen.fields(
        [
            ("sighting", o.sighting),
            ("vision", o.vision),
            ("observer", o.observer),
            ("found by", o.found_by),
            ("eyepiece", o.eyepiece),
            ("magnification", _times(o.magnification)),
            ("filter", o.filter),
            ("altitude", None if o.alt_deg is None else f"{o.alt_deg:.1f}°"),
            ("rating", o.rating),
            ("sketch", o.sketch),
            ("description", o.description),
        ]
    )
    for change in page.corrections:
        taken_back = " (taken back)" if change.undone else ""
        before = "nothing" if change.before is None else repr(change.before)
        screen.line(f"{change.at_utc:%Y-%m-%d %H:%M}Z{taken_back}: {change.what} was {before}", hang=2)


@app.command("edit")
def edit(
    context: typer.Context,
    number: Number,
    target: Annotated[str | None, typer.Option("--target", help="The object.")] = None,
    sighting: Annotated[Sighting | None, typer.Option("--sighting", help="How sure.")] = None,
    text: Text = None,
    found_by: FoundBy = None,
    vision: VisionOption = None,
    eyepiece: EyepieceOption = None,
    magnification: Magnification = None,
    filter_: FilterOption = None,
    rating: Rating = None,
    sketch: Sketch = None,
    observer: Annotated[str | None, typer.Option("--observer", "-o", help="Who.")] = None,
    at: NewTime = None,
    site: SiteOption = None,
    night: NightOption = None,
    sure: SureOption = False,
    as_json: AsJson = False,
) -> None:
    """Correct an entry; what it said before is kept and shown.

    obslog observation edit 2 --note 'round, not oval' --rating 3
    """
    from obslog.club.night.observation_corrections import edit_observation
    from obslog.club.night.observations import ObservationEntry

    state = state_of(context)
    entry = ObservationEntry(
        sighting=sighting,
        description=text,
        found_by=found_by,
        vision=vision_of(vision),
        eyepiece=eyepiece,
        magnification=magnification,
        filter=filter_,
        rating=rating,
        sketch=sketch,
        at=at,
    )
    with state.database() as database:
        recorded = edit_observation(
            database, number, entry, state.now(), choice=_choice(site, night), target=target, observer=observer,
            sure=sure,
        )  # fmt: skip
    show_observations(state, recorded, as_json)


def find(
    context: typer.Context,
    words: Annotated[
        list[str], typer.Argument(metavar="TEXT", help="Words, in any order.", show_default=False)
    ],
    most: Annotated[int, typer.Option("--most", min=1, help="At most this many of each kind.")] = 50,
    as_json: AsJson = False,
) -> None:
    """Find words in all that was written: objects, nights, set-ups, arrivals, snags, services.

    obslog find dust lane
    """
    from obslog.club.register.text_search import find_text

    state = state_of(context)
    with state.database() as database:
        found = find_text(database, " ".join(words), most=most)
    if as_json:
        state.screen.json(found)
    elif not found:
        state.screen.note(f"{' '.join(words)!r} was not found on record.")
    else:
        state.screen.table(
            ["day", "what", "about", "who", "site", "text"],
            [[f.day, f.kind, f.about, f.who, f.site, f.text] for f in found],
        )


def progress(
    context: typer.Context,
    listed: Annotated[
        str, typer.Argument(metavar="LIST", help="messier, caldwell, or a file with one name on each line.")
    ],
    member: Annotated[str, typer.Option("--member", help="Whose.", show_default=False)],
    programme: Annotated[
        str | None,
        typer.Option(
            "--programme",
            help="Whose rules: league-messier, hamilton-messier, vermont-messier, league-double-stars.",
            show_default="what nearly all ask for",
        ),
    ] = None,
    site: Annotated[
        str | None, typer.Option("--site", "-s", help="Where: also what comes up next month.")
    ] = None,
    as_json: AsJson = False,
) -> None:
    """A member's progress through a list: complete, incomplete, still to see.

    obslog progress messier --member Ines --programme league-messier
    """
    from obslog.cli.targets.targets import WELL_KNOWN, names_in
    from obslog.club.register.observing_site import observing_site
    from obslog.club.targets.list_progress import progress_of
    from obslog.club.targets.programmes import programme_named

    state = state_of(context)
    names = None if listed.casefold() in WELL_KNOWN else names_in(listed)
    rules = programme_named(programme)
    with state.database() as database:
        view = observing_site(database, site) if site else None
        found = progress_of(database, member, listed, rules, state.now(), names=names, view=view)
    if as_json:
        state.screen.json(found)
    else:
        _show_progress(state, found)


def _choice(site: str | None, night: str | None) -> "NightChoice":
    from obslog.club.night.open_night import NightChoice

    return NightChoice(site, read_date(night) if night else None)


def _cells(o: "ObservationLine") -> list[object]:
    magnification = _times(o.magnification)
    return [
        o.number,
        o.at,
        o.target,
        o.sighting,
        o.observer,
        magnification,
        o.alt_deg,
        o.rating,
        o.description,
    ]


def _times(magnification: float | None) -> str | None:
    return None if magnification is None else f"{magnification:g}x"


def _show_progress(state: State, found: "Progress") -> None:
    screen = state.screen
    screen.line(f"{found.member}: {found.listed}, rules: {found.programme}", style="bold")
    pairs: list[tuple[str, Any]] = [
        ("complete", f"{len(found.done)} of {found.total}"),
        ("incomplete", len(found.lacking)),
        ("to see", len(found.to_see)),
    ]
    pairs += [(step, f"{min(len(found.done), number)} of {number}") for step, number in found.steps.items()]
    pairs += [(quota.what, f"{quota.done} of {quota.number}") for quota in found.quotas]
    screen.fields(pairs)
    if found.lacking:
        screen.line()
        screen.table(
            ["object", "night of", "lacks"], [[one.name, one.night, one.lacks] for one in found.lacking]
        )
    if found.up_next is not None:
        screen.line()
        screen.line(f"Up in the dark in the middle of {found.next_month}:")
        screen.table(
            ["object", "hours", "highest °"],
            [[one.name, f"{one.hours:.1f}", f"{one.best_alt_deg:.0f}"] for one in found.up_next],
        )
    if found.unknown:
        screen.note(f"Unknown here, or wandering among the stars: {', '.join(found.unknown)}")
    for text in (found.remark, f"Source of the rules: {found.source}. The programme's own pages come first."):
        if text:
            screen.note(text)
