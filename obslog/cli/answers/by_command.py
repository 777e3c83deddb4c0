"""Of which type the answer of a command is, where its return type does not say so."""

from datetime import date
from typing import Any, Literal, TypedDict

from obslog.cli.answers import pointing_answers as pointing
from obslog.cli.answers.merged import Merged
from obslog.cli.answers.record_answers import (
    RECORDS,
    ROWS,
    EyepieceRecord,
    MemberRecord,
    MountRecord,
    SiteRecord,
    TubeRecord,
)
from obslog.cli.office.thanks import Thanked
from obslog.cli.prompt.piped import LineAnswer
from obslog.cli.storeroom.loan_calls import Escalated
from obslog.cli.storeroom.loan_remind import Reminded
from obslog.club.bring_in.bring_in import TakenIn
from obslog.club.checklist.briefing import Brief
from obslog.club.checklist.look_first import LookFirst
from obslog.club.keeping import KeptCheck
from obslog.club.night.night_pages import NightPage
from obslog.club.night.observation_lines import ObservationLine
from obslog.club.night.setups import ArrivalLine
from obslog.club.night.snags import SnagLine
from obslog.club.open_log.log_in import LogTakenIn
from obslog.club.open_log.log_out import LogWritten
from obslog.club.pages.arrival_places import ArrivalPlace
from obslog.club.pages.basis import Basis
from obslog.club.pages.next_steps import NextStep
from obslog.club.pages.night_story import Happening
from obslog.club.pages.setters import SetUpBy
from obslog.club.pages.step_snags import StepSnags
from obslog.club.review.review import Reviewed
from obslog.club.review.verdicts import Reason
from obslog.club.shelves.committee import BeforeLine, LostLine
from obslog.club.shelves.count_records import Standing
from obslog.club.shelves.losses import Losses
from obslog.club.shelves.seen import Seen
from obslog.club.sky.sun_and_moon import SunMoon
from obslog.club.storeroom.store_list import StoreLine, Worth
from obslog.club.targets.planned_targets import TargetPlan
from obslog.records.care.finding import Finding
from obslog.sky.evening.sky_quality_scales import Step
from obslog.sky.names.search import Hit
from obslog.vocabulary import MountType, SkyScale


class HealthAnswer(TypedDict):
    """What a check of the database found, what --repair did, and the copy made before."""

    complaints: list[str]
    kept: KeptCheck | None
    findings: list[Finding]
    repaired: list[str]
    copy: str | None


class Written(TypedDict):
    """The file that was written."""

    written: str


class SheetColumnAnswer(TypedDict):
    """A column of a sheet, and what else it may be called."""

    column: str
    needed: bool
    holds: str
    meaning: str
    also: list[str]


ScaleAnswer = TypedDict(
    "ScaleAnswer",
    {
        "scale": SkyScale,
        "meaning": str,
        "from": float,
        "to": float,
        "direction": str,
        "steps": list[Step],
        "source": str | None,
        "remark": str | None,
    },
)


class OfSetup(TypedDict):
    """In which set-up."""

    mount: str
    setup: int


class WithRecords(TypedDict):
    """What was recorded in the night."""

    snags: list[SnagLine]
    observations: list[ObservationLine]


class WithRemarks(TypedDict):
    """What there is to say of it."""

    remarks: list[str]


class StoreAnswer(TypedDict):
    """The store-room, and what it is worth."""

    items: list[StoreLine]
    worth: Worth
    currency: str | None


class AskedFor(TypedDict):
    """What a new club begins with: one of a kind, what is missing of it, and what is known."""

    kind: Literal["site", "member", "mount", "tube", "eyepiece"]
    name: str | None
    missing: list[str]
    record: SiteRecord | MemberRecord | MountRecord | TubeRecord | EyepieceRecord | None


class StartAnswer(TypedDict):
    """What is on record for a new club, and tonight's Sun and Moon where its site is known."""

    complete: bool
    asked_for: list[AskedFor]
    tonight: SunMoon | None


class OneReviewed(TypedDict):
    """One item alone, with the numbers behind each of its reasons."""

    evidence: list[Reason]
    setups_last_year: int
    judged: bool


class ChanceInField(TypedDict):
    """The chance that a go-to lands in the field."""

    chance: float
    low: float | None
    high: float | None
    setups: int
    arrivals: int


class WithChance(TypedDict):
    """The chance that a go-to lands in the field, where the mount has landings on record."""

    chance_in_field: ChanceInField | None


class MountOfPage(TypedDict):
    """A mount with what is on record of it."""

    mount: str
    mount_type: MountType | None
    day: date
    next_steps: list[NextStep]
    trend: pointing.TrendAnswer | None
    set_up_by: list[SetUpBy]
    not_computed: str | None
    review: Reviewed
    snags: list[StepSnags]
    look_first: list[LookFirst]
    basis: Basis


class CommitteePart(TypedDict):
    """What a stocktake did not find and is worth, what came back of what the one before did not find, and the trend."""

    lost: list[LostLine]
    lost_value: float | None
    not_valued: int
    currency: str | None
    before_on: date | None
    before: list[BeforeLine]
    losses: Losses


class StoryOfPage(TypedDict):
    """Where its arrivals were in the sky, and what happened in order."""

    places: list[ArrivalPlace]
    story: list[Happening]
    basis: Basis


_ARRIVAL = Merged("ArrivalOfNight", OfSetup, ArrivalLine)
_NIGHT = Merged("NightShown", NightPage, WithRecords, {"arrivals": [_ARRIVAL]})
_NAMED = {
    f"{kind} {verb}": record
    for kind, record in RECORDS.items()
    if kind != "kit"
    for verb in ("show", "add", "edit", "retire")
}
ANSWERS: dict[str, Any] = {
    **_NAMED,
    **{f"{kind} list": [record] for kind, record in RECORDS.items() if kind != "kit"},
    "kit retire": RECORDS["kit"],
    **{f"export {rows_of}": [row] for rows_of, row in ROWS.items()},
    **{
        f"import {rows_of}": (TakenIn, [SheetColumnAnswer], Written)
        for rows_of in ROWS
        if rows_of not in ("arrivals", "observations")
    },
    "import observations": (TakenIn, [SheetColumnAnswer], Written, LogTakenIn),
    "export observations": ([ROWS["observations"]], LogWritten),
    "start": StartAnswer,
    "prompt": [LineAnswer],
    "review": (
        pointing.ReviewAnswer,
        Merged("OneItemReviewed", pointing.ReviewedItem, OneReviewed),
    ),
    "brief": Brief,
    "targets": Merged("PlanOfTargets", TargetPlan, WithChance),
    "scales": (ScaleAnswer, [ScaleAnswer]),
    "night show": _NIGHT,
    "night edit": Merged("NightMoved", NightPage, WithRemarks),
    "sky find": [Hit],
    "pointing trend": pointing.TREND,
    "pointing whose": pointing.SourcesAnswer,
    "pointing compare": ([pointing.BESIDE], pointing.SidesAnswer),
    "pointing fit": pointing.FitAnswer,
    "pointing budget": pointing.BudgetAnswer,
    "page mount": Merged("PageOfMount", MountOfPage, pointing.PointingOfPage),
    "page night": Merged("PageOfNight", _NIGHT, StoryOfPage),
    "page stocktake": Merged("PageOfStocktake", Standing, CommitteePart),
    "store list": StoreAnswer,
    "db check": HealthAnswer,
    "rule write": Written,
    "officer thanks": (Thanked, Written),
    "stocktake saw": [Seen],
    "loan remind": (Reminded, Written),
    "loan escalate": (Escalated, Written),
}
"""By the words of the command: a type, several of which one comes, or in a list one of which many come."""
