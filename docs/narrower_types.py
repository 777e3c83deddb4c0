"""What answers hold where a type of the program says less: words of a list in a text, scalars in what may be any value.

By the record and its field. The tests hold every answer that they ask for to what is said here.
"""

from datetime import date, datetime
from typing import Any, Literal

from obslog.cli.answers.comparison_answers import Source
from obslog.cli.answers.pointing_answers import Term
from obslog.club.reminding.stages import Stage
from obslog.club.sky.sun_and_moon import TWILIGHT
from obslog.pointing.budget.causes import BudgetCause
from obslog.sky.evening.twilight import Darkness
from obslog.sky.names.object_types import ObjectType
from obslog.values import Estimate
from obslog.vocabulary.arrivals import Landing, Role
from obslog.vocabulary.mounts import PierSide

Equipment = Literal["mount", "tube", "eyepiece", "item"]
Thing = Literal["mount", "tube", "eyepiece", "item", "kit"]
Scalar = str | int | float | bool | None
_THINGS = (
    "Acquisition", "CountedItem", "InsuredItem", "Late", "Left", "LoanLine", "LostItem", "LostLine", "NextWaiting",
    "Queue", "Reviewed", "StoreLine", "WaitingLine",
)  # fmt: skip
_EQUIPMENT = ("DueService", "ForService", "ServiceLine", "ServicesOfItem", "WorkOrder")
NARROWER: dict[tuple[str, str], Any] = {
    (
        "AlarmNight",
        "likely_since",
    ): date,  # an alarm takes nine set-ups that scatter, and these have a likeliest step
    ("AlarmNight", "one_in"): int,
    ("DueService", "last_on"): date,  # what was never done is not called due
    **{(record, "kind"): Thing for record in _THINGS},
    **{(record, "kind"): Equipment for record in _EQUIPMENT},
    ("Use", "kind"): Literal["mount", "tube", "eyepiece", "item", "kit", "all"],
    ("Lost", "kind"): Literal["mount", "tube", "eyepiece", "item", "kit", "label"],
    ("PartLine", "kind"): Equipment | None,
    ("ArrivalLine", "role"): Role,
    ("ArrivalLine", "landing"): Landing | None,
    ("ArrivalLine", "pier_side"): PierSide | None,
    ("SetupPage", "pier_side"): PierSide | None,
    ("Difference", "cause"): BudgetCause,
    ("Hit", "kind"): Literal["star", "solar system", *ObjectType],
    ("KitRecord", "retired_on"): date,  # given by `kit retire` alone
    ("LetterTo", "stage"): Stage,
    ("SunMoon", "darkest"): Darkness,
    ("SunMoon", "twilight_utc"): dict[Literal[TWILIGHT], datetime | None],  # type: ignore[valid-type]
    ("RunPage", "sd_arcmin"): dict[Term, float],
    ("Review", "shares"): dict[Source, Estimate],
    ("ActTold", "at_utc"): datetime,
    ("WrittenLabels", "pages"): int,  # labels are written as PDF alone
    ("Correction", "before"): Scalar,
    ("Correction", "after"): Scalar,
    ("Reason", "numbers"): dict[str, Scalar | list[date]],
}
_FINITE = {
    # Places and angles at one instant, of what has a place.
    "BriefTarget": "alt_deg",
    "ClockError": "arcmin",
    "MoonPhase": "age_days bright_limb_deg elongation_deg illuminated",
    "MoonTonight": "illuminated",
    "PlannedTarget": "alt_deg az_deg best_alt_deg moon_deg moonlight_mag",
    "PoleNow": "alt_deg az_deg dial_by_eye_hours dial_inverted_hours dial_mirrored_hours distance_arcmin "
    "hour_angle_hours magnitude pole_alt_deg position_angle_deg",
    "Residual": "alt_deg az_deg east_arcmin north_arcmin",
    "StarStep": "alt_deg az_deg magnitude",
    "SunMoon": "highest_sun_alt_deg lowest_sun_alt_deg moon_alt_deg",
    "WhereIs": "airless_alt_deg alt_deg az_deg dec_deg hour_angle_hours moon_deg ra_hours sun_deg",
    # How long, counted on a clock.
    "MonthOf": "hours",
    "UpNext": "best_alt_deg hours",
    # Typed in or stored within bounds, and what is added up or divided from that alone.
    "BatteryPage": "fewest_percent",
    "DriftedField": "field_stop_mm true_field_arcmin",
    "FaintestStar": "magnitude",
    "JudgedIn": "aperture_mm",
    "OneDrift": "dec_deg drift_north_arcmin hour_angle_hours minutes",
    "PairSeen": "magnitude_a magnitude_b separation_arcsec",
    "Reason": "weight",
    "ScaleAnswer": "from to",
    "SkyLine": "value",
    "SkyOnRecord": "median",
    "View": "dawes_limit_arcsec exit_pupil_mm focal_ratio magnification rayleigh_limit_arcsec",
    "Worth": "value",
    "WrittenDown": "cost value",
    # Counted or worked out from what is finite alone, for who has enough of it; others are left out.
    "Bounded": "value",
    "BudgetAnswer": "rms_arcmin",
    "CauseOfBudget": "adds_arcmin half_without_arcmin high low share",
    "ChanceInField": "chance",
    "ChangeFound": "sd_arcmin size_arcmin",
    "Difference": "first_arcmin second_arcmin",
    "Estimated": "sd_arcmin value_arcmin",
    "Expected": "half ninety_five_percent",
    "EyepieceAdvice": "chance field_arcmin",
    "FitAnswer": "noise_arcmin",
    "FittedSetup": "separation_arcmin",
    "LikelyCause": "probability",
    "LiveAnswer": "steady_arcmin",
    "LookFirst": "high low probability rate sd worse_than",
    "MechanicalChange": "after_arcmin before_arcmin change_arcmin sd_arcmin",
    "MechanicalTerm": "sd_arcmin value_arcmin",
    "NightForecast": "half_arcmin half_of_nights_arcmin nine_of_ten_arcmin",
    "PlanOfTargets": "sky_mag",
    "ReviewEffect": "high low ratio",
    "RunPage": "minutes sd_arcmin",
    "SeparationOfSetup": "sd_arcmin separation_arcmin",
    "ShareDetermined": "share",
    "SideLanded": "half_land_within_arcmin",
    "SidesAnswer": "ratio_as_seen",
    "SourceEffect": "high low ratio worse",
    "WhenIs": "above_deg dark_hours transit_alt_deg",
    "YearlySlope": "p per_year",
}
FINITE = {(record, name) for record, names in _FINITE.items() for name in names.split()}
"""Numbers that are always there and finite, though of their type alone that cannot be said."""
ANY_VALUE = {("LineAnswer", "answer")}
"""What may be anything: the answer of any command."""
_CLOCK = r"^(\d\d:\d\dZ?)?$"
PATTERNS = {
    "sha256": "^[0-9a-f]{64}$",
    "reference": "^[0-9a-f]{6}$",
    "at": _CLOCK,
    "started": _CLOCK,
    "ended": _CLOCK,
    "pier_side_since": _CLOCK,
}
"""How texts of these names are written, whatever record they are in."""
