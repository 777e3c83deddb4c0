"""Nights: start, note, edit, end, list, show."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING, Annotated, Any

import typer

from obslog.cli.look.shown_values import plain
from obslog.cli.night.choices import WhichNight
from obslog.cli.night.setup import show_page as show_setup
from obslog.cli.night_moves import edit, moved_document, show_moved
from obslog.cli.paper.type_up import show_saved, type_up
from obslog.cli.terminal.command import command
from obslog.cli.terminal.keeping import compute_ahead
from obslog.cli.terminal.options import At, Note, SiteOption, day
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State

if TYPE_CHECKING:
    from obslog.club.night.night_pages import NightLine, NightPage, SkyLine, WholeNight
    from obslog.grammar.sky_readings import ScaleReading
    from obslog.records.database import Database

app = typer.Typer(help="Nights: one evening to morning at a site.", no_args_is_help=True)

OnEvening = Annotated[
    date | None, day("--night", "--on", help="The date of its evening.", show_default="tonight")
]
ReadAt = Annotated[
    str | None,
    typer.Option("--at", help="When the sky was read: 21:40 local, 20:40Z.", show_default="now"),
]
Most = Annotated[int | None, typer.Option("--most", min=1, help="At most this many, the newest first.")]


@dataclass(frozen=True, slots=True, kw_only=True)
class NightDetails:
    """Who was there, what the sky was like, and what else is to be said of a night."""

    present: Annotated[
        list[str] | None, typer.Option("--with", "-w", help="Who is there; once for each, or commas between.")
    ] = None
    sky: Annotated[
        list[str] | None, typer.Option("--sky", help="A scale and a number: antoniadi 2, sky-meter 21.3.")
    ] = None
    note: Note = None

    def readings(self) -> "list[ScaleReading]":
        from obslog.grammar.sky_readings import read_sky

        return [read_sky(text) for text in self.sky or ()]


def sky_words(reading: "SkyLine") -> str:
    """The reading, and when it was, where that is known."""
    at = f" ({reading.at})" if reading.at else ""
    return f"{reading.scale} {reading.value:g}{at}"


def end_words(page: "NightPage") -> str:
    """When the night ended; what was begun once more is open though it has an end."""
    return f"{page.ended}, then opened again" if page.open and page.ended else page.ended


def show_page(screen: Screen, page: "NightPage") -> None:
    pairs: list[tuple[str, object]] = [
        ("night of", f"{page.night} at {page.site}{' (open)' if page.open else ''}"),
        ("present", page.present or None),
        ("sky", [sky_words(reading) for reading in page.sky] or None),
    ]
    pairs += [(name, value) for name, value in (("from", page.started), ("to", end_words(page))) if value]
    if page.note:
        pairs.append(("note", page.note.replace("\n", "; ")))
    screen.fields(pairs)
    if page.setups:
        screen.line()
        screen.table(
            ["mount", "set-up", "tube", "observer", "arrivals", "open"],
            [
                [s.mount, s.setup, s.tube, s.observer, s.arrivals, "open" if s.open else ""]
                for s in page.setups
            ],
        )


def show_nights(screen: Screen, nights: "Sequence[NightLine]") -> None:
    if not nights:
        screen.note("No night is on record yet. Start one: obslog night start SITE")
        return
    screen.table(
        ["night", "site", "set-ups", "arrivals", "open", "present"],
        [[n.night, n.site, n.setups, n.arrivals, "open" if n.open else "", n.present] for n in nights],
    )


def show_noted(screen: Screen, page: "NightPage", night: date | None) -> None:
    """The night, and that it is over where nobody named it."""
    show_page(screen, page)
    if night is None and not page.open:
        screen.note(
            f"No night is open: this went to the night of {page.night} at {page.site}, which is over."
        )


def show_whole(screen: Screen, whole: "WholeNight") -> None:
    show_page(screen, whole.page)
    for setup in whole.setups:
        if setup.arrivals or setup.note:
            screen.line()
            show_setup(screen, setup)
    if whole.snags:
        screen.line()
        screen.table(
            ["snag", "step", "what happened", "mount", "member", "remedy"],
            [[s.reference, s.step, s.text, s.about, s.member, s.remedy] for s in whole.snags],
        )
    if whole.observations:
        screen.line()
        screen.table(
            ["", "at", "object", "", "observer", "description"],
            [[o.number, o.at, o.target, o.sighting, o.observer, o.description] for o in whole.observations],
        )


def whole_document(whole: "WholeNight") -> dict[str, Any]:
    """What `night show` gives."""
    arrivals = [
        {"mount": setup.mount, "setup": setup.setup, **plain(arrival)}
        for setup in whole.setups
        for arrival in setup.arrivals
    ]
    return {
        **plain(whole.page), "arrivals": arrivals, "snags": whole.snags, "observations": whole.observations,
    }  # fmt: skip


@command(app, "start", show=show_page)
def start(
    database: "Database",
    now: datetime,
    state: State,
    site: Annotated[str | None, typer.Argument(help="The site.", show_default="the last used")] = None,
    on: OnEvening = None,
    *,
    told: NightDetails,
) -> "NightPage":
    """Open the night at a site; what follows goes into it.

    obslog night start "Mill Field" --with Ines --with Tomasz --sky "antoniadi 2"
    """
    from obslog.club.night.nights import start_night
    from obslog.club.register.usual_choices import present_meant, site_meant

    site = site_meant(database, site, state.taken.append, "SITE")
    present = told.present or []
    if on is None:  # whoever opens tonight's night is there
        present = list(present_meant(database, present, state.me, state.taken.append))
    return start_night(database, site, now, night=on, present=present, sky=told.readings(), note=told.note)


@command(app, "note", show=show_noted)
def note_(
    database: "Database",
    now: datetime,
    which: WhichNight,
    told: NightDetails,
    at: ReadAt = None,
) -> "NightPage":
    """Note who was there, what the sky was like, or more.

    To the open night, or to one that ended within a day, unless another is named.

    obslog night note --sky "antoniadi 3" --at 22:10
    """
    from obslog.club.night.nights import note_night

    return note_night(
        database, which.choice(), now, present=told.present or (), sky=told.readings(), at=at, note=told.note
    )


@command(app, "end", show=show_page)
def end(
    database: "Database",
    now: datetime,
    state: State,
    site: SiteOption = None,
    at: At = None,
    note: Note = None,
) -> "NightPage":
    """Close the open night and its set-ups."""
    from obslog.club.night.nights import end_night
    from obslog.club.night.open_night import NightChoice

    page = end_night(database, NightChoice(site), now, at=at, note=note)
    compute_ahead(database, state.screen)
    return page


@command(app, "list", show=show_nights)
def list_(database: "Database", site: SiteOption = None, most: Most = None) -> "list[NightLine]":
    """List the nights, the newest first."""
    from obslog.club.night.night_pages import list_nights

    return list_nights(database, site=site, most=most)


@command(app, "show", show=show_whole, document=whole_document)
def show(database: "Database", which: WhichNight) -> "WholeNight":
    """Show a night with all that was recorded in it.

    The open one, or the newest, unless another is named: set-ups with their arrivals, snags, and what was seen.
    """
    from obslog.club.night.night_pages import whole_night

    return whole_night(database, which.choice())


command(app, "edit", show=show_moved, document=moved_document)(edit)
command(app, "type-up", show=show_saved)(type_up)
