"""Two years of the invented club, from its truth; the same seed and last night give the same club."""

from datetime import date, timedelta

from .arrivals import Landings, landings
from .evenings import NightPlan, Random, plan_nights
from .records import DemoClub, NightRecord, SetupRecord, SheetRow
from .setups import Setup, setups_of_night
from .sheet import Style, reading_of, sheet_row, style_of
from .sights import observations_of
from .snags import services_of, snags_of
from .stories import night_note, setup_note
from .truth import DAYS, ArrivalTruth, Truth
from .visits import Visit, visits_of
from .weather import conditions_of


def build_demo(last_night: date, rng: Random) -> DemoClub:
    """The club's two years up to and including `last_night`: what it wrote down, and the truth behind it."""
    first_day = last_night - timedelta(days=DAYS - 1)
    plans = plan_nights(first_day, rng)
    setups = [setup for plan in plans for setup in setups_of_night(plan, (plan.night - first_day).days, rng)]
    visits = [visit for index, setup in enumerate(setups) for visit in visits_of(index, setup, rng)]
    landed = landings(setups, visits, rng)
    styles = [style_of(setup, rng) for setup in setups]
    rows, wrongs = written_rows(setups, styles, visits, landed, rng)
    eyepieces = [style.eyepiece.name for style in styles]
    return DemoClub(
        nights=[night_record(plan, setups, rng) for plan in plans],
        setups=[setup_record(setup, style, rng) for setup, style in zip(setups, styles, strict=True)],
        arrivals=rows,
        snags=snags_of(setups, first_day, rng),
        services=services_of(first_day, rng),
        observations=observations_of(setups, visits, rows, eyepieces, rng),
        conditions=[record for plan in plans for record in conditions_of(plan, rng)],
        truth=Truth(
            first_day, [setup.truth for setup in setups], true_arrivals(setups, visits, landed, wrongs)
        ),
    )


def written_rows(
    setups: list[Setup], styles: list[Style], visits: list[Visit], landed: Landings, rng: Random
) -> tuple[list[SheetRow], list[str | None]]:
    """The arrivals sheet, and for each row what is wrong with it."""
    rows, wrongs = [], []
    for index, visit in enumerate(visits):
        setup, after_sync = setups[visit.setup], bool(landed.after_sync[index])
        east, north = float(landed.offset_east_arcmin[index]), float(landed.offset_north_arcmin[index])
        reading = reading_of(setup, visit, east, north, rng)
        row, wrong = sheet_row(setup, styles[visit.setup], visit, reading, after_sync, rng)
        rows.append(row)
        wrongs.append(wrong)
    return rows, wrongs


def true_arrivals(
    setups: list[Setup], visits: list[Visit], landed: Landings, wrongs: list[str | None]
) -> list[ArrivalTruth]:
    return [
        ArrivalTruth(
            index,
            setups[visit.setup].truth.key,
            visit.utc,
            float(landed.offset_east_arcmin[index]),
            float(landed.offset_north_arcmin[index]),
            bool(landed.after_sync[index]),
            bool(landed.after_model[index]),
            wrongs[index],
        )
        for index, visit in enumerate(visits)
    ]


def night_record(plan: NightPlan, setups: list[Setup], rng: Random) -> NightRecord:
    """From the first set-up begun to the last put away."""
    here = [setup for setup in setups if setup.truth.key.night == plan.night and setup.site is plan.site]
    start = min(setup.start_utc for setup in here) - timedelta(minutes=25)
    end = max(setup.end_utc for setup in here)
    return NightRecord(plan.night, plan.site.name, start, end, plan.present, night_note(plan, rng))


def setup_record(setup: Setup, style: Style, rng: Random) -> SetupRecord:
    truth = setup.truth
    start = setup.start_utc - timedelta(minutes=6)
    return SetupRecord(
        truth.key, truth.observer, truth.tube, style.eyepiece.name, start, setup_note(setup, rng)
    )
