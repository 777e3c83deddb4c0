"""Of which type the answer of a command is, where its return type does not say so."""

from typing import Any, Literal, TypedDict

from obslog.cli.answers import comparison_answers as comparison
from obslog.cli.answers import page_answers as page
from obslog.cli.answers.merged import Merged
from obslog.cli.answers.pointing_answers import BudgetAnswer, FitAnswer
from obslog.cli.answers.record_answers import (
    RECORDS,
    ROWS,
    EyepieceRecord,
    MemberRecord,
    MountRecord,
    SiteRecord,
    TubeRecord,
)
from obslog.cli.answers.trend_answers import TREND
from obslog.cli.office.thanks import Thanked
from obslog.cli.prompt.piped import LineAnswer
from obslog.cli.storeroom.loan_calls import Escalated
from obslog.cli.storeroom.loan_remind import Reminded
from obslog.club.bring_in.bring_in import TakenIn
from obslog.club.checklist.briefing import Brief
from obslog.club.keeping import KeptCheck
from obslog.club.night.night_pages import NightPage
from obslog.club.night.observation_lines import ObservationLine
from obslog.club.night.setups import ArrivalLine
from obslog.club.night.snags import SnagLine
from obslog.club.open_log.log_in import LogTakenIn
from obslog.club.open_log.log_out import LogWritten
from obslog.club.review.verdicts import Reason
from obslog.club.shelves.count_records import Standing
from obslog.club.shelves.seen import Seen
from obslog.club.sky.sun_and_moon import SunMoon
from obslog.club.storeroom.store_list import StoreLine, Worth
from obslog.club.targets.planned_targets import TargetPlan
from obslog.records.care.finding import Finding
from obslog.sky.evening.sky_quality_scales import Step
from obslog.sky.names.search import Hit
from obslog.vocabulary.sky_scales import SkyScale


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
        comparison.ReviewAnswer,
        Merged("OneItemReviewed", comparison.ReviewedItem, OneReviewed),
    ),
    "brief": Brief,
    "targets": Merged("PlanOfTargets", TargetPlan, WithChance),
    "scales": (ScaleAnswer, [ScaleAnswer]),
    "night show": _NIGHT,
    "night edit": Merged("NightMoved", NightPage, WithRemarks),
    "sky find": [Hit],
    "pointing trend": TREND,
    "pointing whose": comparison.SourcesAnswer,
    "pointing compare": ([comparison.BESIDE], comparison.SidesAnswer),
    "pointing fit": FitAnswer,
    "pointing budget": BudgetAnswer,
    "page mount": Merged("PageOfMount", page.MountOfPage, page.PointingOfPage),
    "page night": Merged("PageOfNight", _NIGHT, page.StoryOfPage),
    "page stocktake": Merged("PageOfStocktake", Standing, page.CommitteePart),
    "store list": StoreAnswer,
    "db check": HealthAnswer,
    "rule write": Written,
    "officer thanks": (Thanked, Written),
    "stocktake saw": [Seen],
    "loan remind": (Reminded, Written),
    "loan escalate": (Escalated, Written),
}
"""By the words of the command: a type, several of which one comes, or in a list one of which many come."""
