"""What pages say to scripts beside what is shown of the same elsewhere."""

from datetime import date
from typing import TypedDict

from obslog.cli.answers.pointing_answers import BudgetAnswer, Estimated, FitAnswer
from obslog.cli.answers.trend_answers import Mechanics, TrendAnswer
from obslog.club.checklist.look_first import LookFirst
from obslog.club.pages.arrival_places import ArrivalPlace
from obslog.club.pages.basis import Basis
from obslog.club.pages.next_steps import NextStep
from obslog.club.pages.night_story import Happening
from obslog.club.pages.setters import SetUpBy
from obslog.club.pages.step_snags import StepSnags
from obslog.club.performance.mount_fit import Residual
from obslog.club.review.review import Reviewed
from obslog.club.shelves.committee import BeforeLine, LostLine
from obslog.club.shelves.losses import Losses
from obslog.values import SetupId
from obslog.vocabulary.mounts import MountType


class AxisBesidePole(TypedDict):
    """The axis of one set-up beside the pole, arcminutes of the sky."""

    setup: SetupId
    observer: str | None
    up: Estimated
    east: Estimated
    separation: Estimated
    facing_south: bool


class PointingOfPage(TypedDict):
    """What is computed of a mount's pointing; null where nothing can be."""

    fit: FitAnswer | None
    residuals: list[Residual]
    axes: list[AxisBesidePole]
    mechanics: Mechanics | None
    budget: BudgetAnswer | None


class MountOfPage(TypedDict):
    """A mount with what is on record of it."""

    mount: str
    mount_type: MountType | None
    day: date
    next_steps: list[NextStep]
    trend: TrendAnswer | None
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
