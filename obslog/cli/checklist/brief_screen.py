"""The briefing on one screen: the facts of the evening in its order, and the commands that show the rest."""

from dataclasses import dataclass
from textwrap import wrap
from typing import TYPE_CHECKING, NamedTuple
from zoneinfo import ZoneInfo

from obslog.club.sky.sky_words import dark_words, moon_words, pole_words
from obslog.english import capitalised, counted
from obslog.estimate_words import chance_words
from obslog.times import computed_local, shown_local

if TYPE_CHECKING:
    from obslog.club.checklist.briefing import Brief, MountBrief
    from obslog.club.checklist.look_first import LookFirst

LINES, COLUMNS = 24, 80


@dataclass(frozen=True, slots=True, kw_only=True)
class Ways:
    """What is typed to see more of each part, in brackets behind it; None where nothing there shows more."""

    sky: str | None
    pole: str
    checklist: str
    stars: str
    targets: str
    loans: str | None
    services: str | None
    snags: str | None
    explained: str


AT_THE_SHELL = Ways(
    sky="sky sun-moon -s SITE",
    pole="sky pole -s SITE",
    checklist="checklist {mount} -s SITE",
    stars="pointing stars {mount} -s SITE",
    targets="targets -s SITE",
    loans="loan list",
    services="service due",
    snags="snag list",
    explained="In brackets: the obslog command that shows the rest; all at once with --full.",
)
AT_THE_PROMPT = Ways(
    sky=None,
    pole="pole",
    checklist="checklist",
    stars="next",
    targets="targets",
    loans=None,
    services=None,
    snags=None,
    explained="In brackets: the line that shows more.",
)


class Shown(NamedTuple):
    """A line of text as `Screen.line` takes it."""

    text: str
    style: str = ""
    indent: int = 0
    hang: int = 2


@dataclass(frozen=True, slots=True)
class Room:
    """How many of each are shown; the first room that fills no more than a screen is taken."""

    look_first: int
    targets: int
    due: int
    mounts: int


ROOMS = (
    Room(4, 6, 3, 10),
    Room(3, 4, 2, 10),
    Room(3, 3, 1, 8),
    Room(3, 3, 1, 6),
    Room(2, 2, 1, 5),
    Room(1, 1, 1, 3),
)


def one_screen(made: "Brief", zone: ZoneInfo, ways: Ways = AT_THE_SHELL) -> list[Shown]:
    """The lines of the screen; with more to say than fits, fewer of each are told."""
    drafts = (_draft(made, zone, room, ways) for room in ROOMS)
    return next((lines for lines in drafts if height(lines) <= LINES), _draft(made, zone, ROOMS[-1], ways))


def _bracket(way: str | None, more: str = "") -> str:
    """How to see the rest, and how much more there is, as far as there is anything to say."""
    told = ", ".join(part for part in (way, more) if part)
    return f" [{told}]" if told else ""


def height(lines: list[Shown]) -> int:
    """How many lines of a terminal they fill, where a percentage stays on one line."""
    return sum(
        len(
            wrap(
                " " * line.indent + line.text.replace(" %", "_%"),
                COLUMNS,
                subsequent_indent=" " * (line.indent + line.hang),
            )
        )
        for line in lines
    )


def title_words(made: "Brief", zone: ZoneInfo) -> str:
    who = f", {made.member}" if made.member else ""
    return f"{made.site}, night of {made.night}, {shown_local(made.at_utc, zone)}{who}"


def _draft(made: "Brief", zone: ZoneInfo, room: Room, ways: Ways) -> list[Shown]:
    dark = dark_words(made.sun_moon, zone)
    sky = f"{capitalised(dark)}. Moon: {moon_words(made.sun_moon, zone, made.at_utc)}{_bracket(ways.sky)}"
    lines = [
        *(Shown(caution) for caution in made.cautions),
        Shown(title_words(made, zone), style="bold"),
        Shown(sky),
    ]
    if made.pole is not None:
        lines.append(Shown(f"{pole_words(made.pole)}{_bracket(ways.pole)}"))
    only = made.mounts[0] if len(made.mounts) == 1 else None
    if only is not None:
        tube = f" with {only.tube}" if only.tube else ""
        lines.append(Shown(f"{only.mount}{tube}{f': {only.scale}' if only.scale else ''}"))
    lines += _look_first(made, room.look_first, ways)
    lines += _one_mount(made, only, zone, ways) if only else _several_mounts(made, zone, room.mounts, ways)
    lines += _targets(made, zone, room.targets, ways)
    lines += _what_is_due(made, room.due, ways)
    lines += _open_snags(made, zone, room.mounts, ways)
    lines.append(Shown(ways.explained))
    return lines


def _look_first(made: "Brief", most: int, ways: Ways) -> list[Shown]:
    """The steps that most likely go wrong tonight, each once for whom or what it concerns, one line each."""
    kept: dict[tuple[str, str, str], LookFirst] = {}
    for one in sorted(
        (one for mount in made.mounts for one in mount.look_first), key=lambda o: -o.probability
    ):
        kept.setdefault((one.step, one.about, one.name), one)
    if not kept:
        return []
    name = made.mounts[0].mount if len(made.mounts) == 1 else "MOUNT"
    more = f"{len(kept) - most} more" if len(kept) > most else ""
    head = Shown(f"Look first{_bracket(ways.checklist.format(mount=name), more)}:", style="bold")
    return [head, *(Shown(_evidence(one), indent=2) for one in list(kept.values())[:most])]


def _evidence(one: "LookFirst") -> str:
    """What went wrong, or where that takes more than a line, how often the step did."""
    words = f"{one.title}: {one.evidence}"
    if len(words) <= COLUMNS - 2:
        return words
    units, where = ("set-ups", "at") if one.about == "site" else ("nights", "with")
    return f"{one.title}: wrong on {one.wrong} of the last {one.nights} {units} {where} {one.name}"


def _one_mount(made: "Brief", one: "MountBrief", zone: ZoneInfo, ways: Ways) -> list[Shown]:
    more = _bracket(ways.stars.format(mount=one.mount))
    if one.not_planned is not None:
        return [Shown(f"{one.not_planned}{more}")]
    if not one.stars:  # it goes to nothing by itself
        return []
    forecast = [Shown(one.forecast.words)] if one.forecast else []
    if made.too_light is not None:
        return [Shown(made.too_light), *forecast]
    first, *others = (
        f"{star.name} {star.alt_deg:.0f}° up, azimuth {star.az_deg:.0f}°"
        + (f", tube {star.pier_side}" if star.pier_side else "")
        for star in one.stars
    )
    stars = "; ".join([first, *(star.replace(" up, azimuth", ",") for star in others)])
    return [Shown(f"Sync at {_sync_time(made, zone)}: {stars}{more}"), Shown(landing_words(one)), *forecast]


def _several_mounts(made: "Brief", zone: ZoneInfo, most: int, ways: Ways) -> list[Shown]:
    planned = [one for one in made.mounts if one.stars]
    if planned and made.too_light is not None:
        return [Shown(made.too_light)]
    told = [
        f"{one.mount}{_half(one)}: {', '.join(star.name for star in one.stars)}" for one in planned[:most]
    ]
    if len(planned) > most:
        told.append(f"and {counted(len(planned) - most, 'more mount')}")
    lines = [
        Shown(
            f"Sync at {_sync_time(made, zone)} (half of the go-tos then land within the arcminutes shown):"
        ),
        Shown(f"{'; '.join(told)}{_bracket(ways.stars.format(mount='MOUNT'))}", indent=2, hang=0),
    ]
    without = [one.mount for one in made.mounts if one.not_planned is not None]
    if without:
        lines.append(Shown(f"No stars could be planned for {', '.join(without)}.", indent=2))
    return lines if planned else lines[2:]


def _half(one: "MountBrief") -> str:
    return "" if one.expected_landing_arcmin is None else f" ({one.expected_landing_arcmin.half:.0f}')"


def _sync_time(made: "Brief", zone: ZoneInfo) -> str:
    if made.sync_utc != made.at_utc:
        return f"{computed_local(made.sync_utc, zone)}, civil dusk"
    return computed_local(made.sync_utc, zone)


def landing_words(one: "MountBrief") -> str:
    """Where go-tos will land after the syncs, the eyepiece for it, and what each star bought."""
    expected = one.expected_landing_arcmin
    if expected is None:
        return "Where go-tos will then land is not known."
    words = f"Then half of the go-tos land within {expected.half:.0f}', 95 % within {expected.ninety_five_percent:.0f}'"
    steps = ", ".join(f"{after.half:.0f}'" for after in one.after_each)
    bought = f" Half after each star: {steps}." if len(one.after_each) > 1 else ""
    if one.eyepiece is None:
        return f"{words}.{bought}"
    field, share = one.eyepiece.field_arcmin, chance_words(one.eyepiece.chance)
    return f"{words}; use {one.eyepiece.eyepiece} (field {field:.0f}', {share} land in it).{bought}"


def target_words(made: "Brief", zone: ZoneInfo) -> list[str]:
    """Each target with its time and height."""
    return [f"{computed_local(t.at_utc, zone)} {t.title}, {t.alt_deg:.0f}° up" for t in made.targets]


def _targets(made: "Brief", zone: ZoneInfo, most: int, ways: Ways) -> list[Shown]:
    if not made.targets:
        return []
    return [Shown(f"Showpieces: {'; '.join(target_words(made, zone)[:most])}{_bracket(ways.targets)}")]


def _what_is_due(made: "Brief", most: int, ways: Ways) -> list[Shown]:
    """Loans and services that concern what is set up tonight, each once."""
    lines = []
    for about, head, command in (("loan", "On loan", ways.loans), ("service", "Due", ways.services)):
        told = {n.words: None for one in made.mounts for n in one.notices if n.about == about}
        if told:
            more = f"{len(told) - most} more" if len(told) > most else ""
            lines.append(Shown(f"{head}: {'; '.join(list(told)[:most])}{_bracket(command, more)}"))
    return lines


def _open_snags(made: "Brief", zone: ZoneInfo, most: int, ways: Ways) -> list[Shown]:
    open_ones = [(one.mount, one.open_snags) for one in made.mounts if one.open_snags]
    if not open_ones:
        return []
    if len(made.mounts) == 1:
        (_, snags), newest = open_ones[0], open_ones[0][1][0]
        day = f"{newest.at_utc.astimezone(zone):%Y-%m-%d}"
        words = f"{counted(len(snags), 'open snag')}, the newest {day}, {newest.step}: {newest.text}"
        return [Shown(f"{words}{_bracket(ways.snags)}")]
    open_ones.sort(key=lambda pair: -len(pair[1]))
    shown = open_ones[: most // 2]
    told = ", ".join(f"{mount} {len(snags)}" for mount, snags in shown)
    rest = sum(len(snags) for _, snags in open_ones[len(shown) :])
    return [Shown(f"Open snags: {told}{_bracket(ways.snags, f'{rest} more' if rest else '')}")]
