"""How members write arrivals down: read by eye, rounded, sometimes only in a word, sometimes wrong."""

from dataclasses import dataclass, replace

import numpy as np

from .club import EYEPIECES, TUBES, Eyepiece, true_field_arcmin
from .evenings import Random
from .records import SHEET_COLUMNS, SheetRow
from .setups import Setup
from .stories import arrival_note, slip_note
from .visits import Visit

FINDER_RADIUS_ARCMIN = 150.0
WRONG_STAR_ARCMIN = 40.0


@dataclass(frozen=True, slots=True)
class Style:
    """How one set-up's sheet was kept."""

    eyepiece: Eyepiece
    field_arcmin: float
    notes_sides: bool
    notes_centring: bool


@dataclass(frozen=True, slots=True)
class Reading:
    """What was seen of one arrival, or believed to be; `wrong` None where right. nan: nowhere near."""

    east_arcmin: float
    north_arcmin: float
    wrong: str | None = None

    @property
    def radius_arcmin(self) -> float:
        return float(np.hypot(self.east_arcmin, self.north_arcmin))


def style_of(setup: Setup, rng: Random) -> Style:
    southern = setup.site.lat_deg < 0
    choice = [eyepiece for eyepiece in EYEPIECES if (eyepiece.name == "Far south 29") == southern]
    eyepiece = choice[int(rng.integers(len(choice)))]
    tube = next(tube for tube in TUBES if tube.name == setup.truth.tube)
    field = round(true_field_arcmin(eyepiece, tube), 1)
    return Style(eyepiece, field, bool(rng.random() < 0.8), bool(rng.random() < 0.5))


def reading_of(setup: Setup, visit: Visit, east_arcmin: float, north_arcmin: float, rng: Random) -> Reading:
    """Judged by eye to 0.4' and 6 % of the way; now and then of another star than the one meant."""
    luck, noise = rng.random(), rng.normal(0.0, 1.0, 2)
    sd = 0.4 + 0.06 * float(np.hypot(east_arcmin, north_arcmin))
    seen = Reading(float(east_arcmin + sd * noise[0]), float(north_arcmin + sd * noise[1]))
    if visit.role == "sync" or visit.kind != "star" or luck > setup.habits.wrong_star:
        return seen
    away = rng.normal(0.0, WRONG_STAR_ARCMIN, 2)
    # A wrong star within a quarter of a degree would be hard to tell from a right one.
    away *= max(1.0, 15.0 / float(np.hypot(*away)))
    return Reading(seen.east_arcmin + float(away[0]), seen.north_arcmin + float(away[1]), "wrong star")


def with_typing_slip(setup: Setup, reading: Reading, rng: Random) -> Reading:
    """A measured offset as typed: a sign turned, or a decimal point lost, where that is no trifle."""
    luck, which = rng.random(), rng.random()
    if luck > setup.habits.typing_slip or reading.wrong:
        return reading
    if which < 0.4 and abs(reading.east_arcmin) > 8.0:
        return replace(reading, east_arcmin=-reading.east_arcmin, wrong="sign turned")
    if which < 0.8 and abs(reading.north_arcmin) > 8.0:
        return replace(reading, north_arcmin=-reading.north_arcmin, wrong="sign turned")
    if 3.0 < abs(reading.east_arcmin) < 12.0:
        return replace(reading, east_arcmin=reading.east_arcmin * 10.0, wrong="decimal point lost")
    return reading


def sheet_row(
    setup: Setup, style: Style, visit: Visit, reading: Reading, after_sync: bool, rng: Random
) -> tuple[SheetRow, str | None]:
    """One row of the arrivals sheet, and what is wrong with it."""
    truth = setup.truth
    row = {
        "night": truth.key.night.isoformat(),
        "setup": str(truth.key.setup),
        "site": truth.key.site,
        "observer": truth.observer,
        "mount": truth.key.mount,
        "tube": truth.tube,
        "utc": visit.utc.strftime("%Y-%m-%dT%H:%M:%SZ"),
        "role": visit.role,
        "target": visit.name,
        "ra_hours": "" if visit.kind == "star" else f"{visit.ra_hours:.4f}",
        "dec_deg": "" if visit.kind == "star" else f"{visit.dec_deg:.3f}",
        "pier_side": side_written(setup, style, visit),
        "centring_arcmin": "",
    }
    if visit.role == "sync" and style.notes_centring:
        row["centring_arcmin"] = f"{setup.habits.centring_sd_arcmin:.1f}"
    written, wrong = offset_written(setup, style, visit, reading, after_sync, rng)
    slipped = truth.slip is not None and not after_sync
    note = slip_note(setup, rng) if slipped else arrival_note(visit, written["landing"], rng)
    row |= written | {"note": note}
    return {column: row[column] for column in SHEET_COLUMNS}, wrong


def side_written(setup: Setup, style: Style, visit: Visit) -> str:
    """The side of pier: always where it is not the expected one, else by the observer's custom."""
    if setup.mount.mount_type != "german" or not (style.notes_sides or visit.unusual_side):
        return ""
    return "west" if visit.tube_west else "east"


def offset_written(
    setup: Setup, style: Style, visit: Visit, reading: Reading, after_sync: bool, rng: Random
) -> tuple[SheetRow, str | None]:
    """The offset, or the landing, or both, or neither; before the first sync only ever a landing."""
    blank = {"offset_east_arcmin": "", "offset_north_arcmin": "", "landing": "", "field_arcmin": ""}
    radius, luck = reading.radius_arcmin, rng.random(2)
    word = landing_word(radius, style.field_arcmin, bool(luck[1] < 0.5))
    by_word = blank | {"landing": word, "field_arcmin": f"{style.field_arcmin:.1f}"}
    if not after_sync:
        return (by_word if setup.truth.slip or luck[0] < 0.7 else blank), None
    share = {"sync": 0.8, "check": 1.0, "goto": 0.55}[visit.role]
    if not radius < FINDER_RADIUS_ARCMIN or luck[0] > setup.habits.measures * share:
        return (blank, None) if luck[0] > 0.97 else (by_word, reading.wrong)
    typed = with_typing_slip(setup, reading, rng)
    offset = {
        "offset_east_arcmin": rounded(typed.east_arcmin, radius),
        "offset_north_arcmin": rounded(typed.north_arcmin, radius),
    }
    return (by_word | offset if luck[1] < 0.25 else blank | offset), typed.wrong


def landing_word(radius_arcmin: float, field_arcmin: float, says_edge: bool) -> str:
    """Centred: inside a quarter of the field's radius; near its border two people in four say edge."""
    share = radius_arcmin / (field_arcmin / 2.0)
    if share < 0.25:
        return "centred"
    if 0.75 < share < 1.1 and (says_edge or share >= 1.0):
        return "edge"
    if share < 1.0:
        return "in"
    return "finder" if radius_arcmin < FINDER_RADIUS_ARCMIN else "lost"


def rounded(value_arcmin: float, radius_arcmin: float) -> str:
    """To half an arcminute near the centre, to a whole one farther out."""
    if radius_arcmin < 20:
        return f"{round(2 * value_arcmin) / 2 + 0.0:.1f}"  # plus zero: no minus before a zero
    return f"{round(value_arcmin):d}"
