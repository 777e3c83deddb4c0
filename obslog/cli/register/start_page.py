"""What a club has on record of its first things, tonight in a line, and the commands that come next."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from obslog.cli.terminal.screen import Screen
from obslog.errors import quoted
from obslog.vocabulary.cautions import SUN_CAUTION

if TYPE_CHECKING:
    from obslog.club.register.first_things import FirstThing
    from obslog.club.sky.sun_and_moon import SunMoon
    from obslog.settings import Person

Known = Mapping[str, Any]
_MISSING_WORDS = {
    "lat_deg": "latitude",
    "lon_deg": "longitude",
    "zone": "time zone",
    "mount_type": "type",
    "controller": "controller",
    "aperture_mm": "aperture",
    "focal_mm": "focal length",
    "field_deg": "apparent field",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class StartPage:
    """One thing of each kind, who types here, and tonight's Sun and Moon at the site where its place is known."""

    things: "list[FirstThing]"
    tonight: "SunMoon | None" = None
    zone: ZoneInfo | None = None
    now: datetime | None = None
    me: "Person | None" = None
    me_known: bool = True

    @property
    def complete(self) -> bool:
        return not any(thing.missing for thing in self.things)

    def named(self, kind: str) -> str:
        """The name as one types it; only where the page is complete."""
        return quoted(self._thing(kind).name or "")

    def option(self, kind: str, option: str = "") -> str:
        """The option that names it, with a space before; nothing where it is meant though nobody names it."""
        thing = self._thing(kind)
        meant = self.me.name == thing.name if kind == "member" and self.me else not thing.others
        return "" if meant else "".join(f" {word}" for word in (option, self.named(kind)) if word)

    def _thing(self, kind: str) -> "FirstThing":
        return next(thing for thing in self.things if thing.kind == kind)


def as_document(page: StartPage) -> dict[str, object]:
    """What --json prints."""
    things = [
        {"kind": thing.kind, "name": thing.name, "missing": thing.missing, "record": thing.known or None}
        for thing in page.things
    ]
    return {"complete": page.complete, "asked_for": things, "tonight": page.tonight}


def show_start(screen: Screen, page: StartPage) -> None:
    screen.line(SUN_CAUTION)
    screen.fields((thing.kind, _told(thing)) for thing in page.things)
    if page.me is not None:
        known = f"You are {page.me.name}. Somebody else types here?"
        stranger = f"You are {page.me.name}, whom this database does not know. Say who you are:"
        screen.line(f"{known if page.me_known else stranger} obslog member me NAME")
    if page.tonight is not None and page.zone is not None:
        from obslog.club.sky.sky_words import dark_words, moon_words

        site = next(thing.name for thing in page.things if thing.kind == "site")
        screen.line(
            f"Tonight at {site}: {dark_words(page.tonight, page.zone)}. "
            f"Moon: {moon_words(page.tonight, page.zone, page.now)}."
        )
    if not page.complete:
        screen.line("Go on with what is missing: obslog start", style="bold")
        return
    screen.line("What comes next:", style="bold")
    for line, what in _next_commands(page):
        screen.line(line, indent=2, hang=2)
        screen.line(what, indent=6)


def _next_commands(page: StartPage) -> Iterator[tuple[str, str]]:
    parts = page.option("tube", "--tube") + page.option("eyepiece", "--eyepiece")
    yield f"obslog brief{page.option('site', '--site')}", "before you go: tonight on one screen"
    yield (
        f"obslog night start{page.option('site')}{page.option('member', '--with')}",
        "when you are there: it begins the night",
    )
    yield (
        f"obslog setup start {page.named('mount')}{parts}{page.option('member', '--observer')}",
        "when the mount is set up",
    )
    yield "obslog prompt", "from then on until morning: a short line for each star and object; help tells how"


def _told(thing: "FirstThing") -> str:
    """What is on record of a thing in a line, and what is not."""
    if thing.name is None:
        return "none yet"
    details = "; ".join(part for part in _DETAILS[thing.kind](thing.known) if part)
    missing = ", ".join(_MISSING_WORDS[column] for column in thing.missing)
    told = "; ".join(part for part in (thing.name, details, missing and f"{missing} not known yet") if part)
    return f"{told}; and {thing.others} more" if thing.others else told


def _site(known: Known) -> Iterator[str]:
    from obslog.grammar.place_words import place_in_words

    if known["lat_deg"] is not None and known["lon_deg"] is not None:
        yield place_in_words(known["lat_deg"], known["lon_deg"])
    yield known["zone"] or ""
    elevation_m = known["elevation_m"]
    yield "elevation not known" if elevation_m is None else f"{elevation_m:g} m above the sea"


def _mount(known: Known) -> Iterator[str]:
    yield str(known["mount_type"] or "")
    yield f"controller {known['controller']}" if known["controller"] else ""


def _tube(known: Known) -> Iterator[str]:
    aperture, focal = known["aperture_mm"], known["focal_mm"]
    yield f"aperture {aperture:g} mm" if aperture else ""
    ratio = f", f/{focal / aperture:.3g}" if aperture and focal else ""
    yield f"focal length {focal:g} mm{ratio}" if focal else ""


def _eyepiece(known: Known) -> Iterator[str]:
    yield f"focal length {known['focal_mm']:g} mm" if known["focal_mm"] else ""
    yield f"apparent field {known['field_deg']:g}°" if known["field_deg"] else ""


_DETAILS: Mapping[str, Callable[[Known], Iterator[str]]] = {
    "site": _site,
    "mount": _mount,
    "tube": _tube,
    "eyepiece": _eyepiece,
    "member": lambda _known: iter(()),
}
