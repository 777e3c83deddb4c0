"""What belongs to a mount and what belonged to each set-up: the joint fit of all its nights, and what it says."""

from dataclasses import dataclass
from datetime import date

import numpy as np

from obslog.club.performance.first_sentences import LEAST_TO_COMPARE, fit_sentence
from obslog.club.performance.mount_fits import Fitted, MountFits, fits_from
from obslog.club.performance.placed_arrivals import PlacedArrivals
from obslog.english import counted, enumerated
from obslog.errors import quoted
from obslog.estimate_words import arcmin_words, size_words
from obslog.pointing.joint_fit.answer import PointingFit, PolarFit, Suspect
from obslog.pointing.joint_fit.suspects import fitting_readings
from obslog.pointing.joint_fit.words import ARCMIN, adjuster_words, mechanical_words, polar_words
from obslog.pointing.misfit.degrees_typed import typed_in_degrees
from obslog.pointing.misfit.findings import Finding
from obslog.pointing.misfit.found_changes import chance_of_words
from obslog.records.database import Database
from obslog.values import Estimate, SetupId
from obslog.vocabulary.mounts import MECHANICAL_TERMS, MountType


@dataclass(frozen=True, slots=True)
class MechanicalTerm:
    """Cone error, squareness or sag, in the mechanical era that began on `since`."""

    since: date
    term: str
    size_arcmin: Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class FittedSetup:
    """What belonged to one set-up; suspects are lines of the sheet, or keys of arrivals."""

    setup: SetupId
    polar_altitude_arcmin: Estimate
    polar_azimuth_arcmin: Estimate
    separation_arcmin: Estimate
    arrivals: int
    rms_arcmin: float | None
    suspects: list[int | str]


@dataclass(frozen=True, slots=True, kw_only=True)
class SuspectWords:
    """A suspect arrival in words: which, how probable, and what it would fit.

    Of a sync, where it landed and what was centred then (`at_centring`) are doubted apart.
    """

    setup: SetupId
    number: int
    label: int | str
    target: str
    at_centring: bool
    probability: float
    readings: list[str]


@dataclass(frozen=True, slots=True)
class Residual:
    """What the fit leaves of one arrival, and where in the sky it was."""

    az_deg: float
    alt_deg: float
    east_arcmin: float
    north_arcmin: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MountFit:
    """The whole answer for one mount and tube, in a sentence, in numbers and in words.

    `noise_arcmin` is of all eras together, `newest_noise_arcmin` of the newest, as the words tell it.
    """

    mount: str
    mount_type: MountType
    tube: str | None
    noise_arcmin: Estimate
    newest_noise_arcmin: Estimate
    mechanical: list[MechanicalTerm]
    setups: list[FittedSetup]
    findings: list[Finding]
    sentence: str
    words: list[str]
    suspects: list[SuspectWords]
    residuals: list[Residual]
    left_out: dict[str, int]


def fit_mount(
    records: Database | MountFits,
    mount_name: str,
    tube_name: str | None = None,
    *,
    ring_spacing_mm: float | None = None,
) -> MountFit:
    """Fit all nights of a mount and tube together.

    Raises UnknownName, MountTypeUnknown, NothingPlaced, NothingMeasured.
    """
    with fits_from(records) as fits:
        fitted = fits.fitted(mount_name, tube_name)
    placed, fit = fitted.placed, fitted.fit
    return MountFit(
        mount=placed.mount,
        mount_type=placed.machine.mount_type,
        tube=placed.tube,
        noise_arcmin=fit.noise_arcmin,
        newest_noise_arcmin=fit.mechanical[-1].noise,
        mechanical=_mechanical(placed, fit),
        setups=[_setup(placed, number, setup) for number, setup in enumerate(fit.setups)],
        findings=fitted.findings,
        sentence=fit_sentence(fitted),
        words=_words(fitted, ring_spacing_mm),
        suspects=[_suspect_words(placed, fit, s) for setup in fit.setups for s in setup.suspects],
        residuals=_residuals(placed, fit),
        left_out=dict(placed.left_out),
    )


def _mechanical(placed: PlacedArrivals, fit: PointingFit) -> list[MechanicalTerm]:
    return [
        MechanicalTerm(since, term, getattr(era, term))
        for since, era in zip(placed.era_since, fit.mechanical, strict=True)
        for term in MECHANICAL_TERMS
    ]


def _setup(placed: PlacedArrivals, number: int, setup: PolarFit) -> FittedSetup:
    return FittedSetup(
        setup=placed.setups[number],
        polar_altitude_arcmin=setup.polar_altitude,
        polar_azimuth_arcmin=setup.polar_azimuth,
        separation_arcmin=setup.separation,
        arrivals=setup.arrivals,
        rms_arcmin=None if np.isnan(setup.rms_arcmin) else setup.rms_arcmin,
        suspects=[placed.labels[arrival] for arrival in _suspected(setup)],
    )


def _words(fitted: Fitted, ring_spacing_mm: float | None) -> list[str]:
    """The newest era's mechanics, the newest set-up's polar axis and what to turn; what scatters, what is left out."""
    placed, fit = fitted.placed, fitted.fit
    mount_type, newest, era = placed.machine.mount_type, fit.setups[-1], fit.mechanical[-1]
    label = placed.setups[-1]
    return [
        *mechanical_words(era, mount_type, f"{placed.era_since[-1]}", ring_spacing_mm),
        f"{polar_words(newest, mount_type)} on the night of {label.night}",
        *adjuster_words(newest, mount_type),
        f"scatter of arrivals per axis: {size_words(era.noise, ARCMIN)}{_doubtful(fit)}",
        *_service_words(placed),
        *_other_tubes_words(placed),
        *_degrees_words(fitted),
        *(finding.words for finding in fitted.findings),
        *_untestable_words(placed),
    ]


def _service_words(placed: PlacedArrivals) -> list[str]:
    day = placed.serviced_since
    return (
        [f"serviced on {day}, after all of these set-ups: what is said here may no longer hold"]
        if day
        else []
    )


def _other_tubes_words(placed: PlacedArrivals) -> list[str]:
    """The set-ups with other tubes, of which all this says nothing."""
    told = []
    for other in placed.others:
        how = f"with {other.name}" if other.name else "with no tube on record"
        show = (
            f": obslog pointing fit {quoted(placed.mount)} --tube {quoted(other.name)}" if other.name else ""
        )
        verb = "is" if other.setups == 1 else "are"
        told.append(
            f"{counted(other.setups, 'set-up')} {how}, the last on {other.last}, {verb} not in this{show}"
        )
    return told


def _degrees_words(fitted: Fitted) -> list[str]:
    """The set-ups whose offsets were very likely typed in degrees."""
    placed = fitted.placed
    found = typed_in_degrees(placed.arrivals, fitted.fit)
    if not found:
        return []
    nights = [f"{placed.setups[one.setup].night}" for one in found]
    largest = arcmin_words(max(one.largest_arcmin for one in found))
    chance = chance_of_words(max(one.chance for one in found))
    return [
        f"offsets of the {'night' if len(found) == 1 else 'nights'} of {enumerated(nights)}, {largest} at most, are "
        f"smaller than this mount scatters ({chance}); sixty times as large they would be like those of other nights. "
        f"Were degrees written for arcminutes? See obslog setup show {quoted(placed.mount)} --night {nights[0]}"
    ]


def _untestable_words(placed: PlacedArrivals) -> list[str]:
    """Says so where there are too few set-ups to see whether anything changed between them."""
    if len(placed.setups) >= LEAST_TO_COMPARE:
        return []
    return [
        f"{counted(len(placed.setups), 'set-up')}: too few to tell whether the mount changed (that takes "
        f"{LEAST_TO_COMPARE}), and what else is at work"
    ]


def _doubtful(fit: PointingFit) -> str:
    count = sum(len(_suspected(setup)) for setup in fit.setups)
    return f"; {counted(count, 'arrival')} {'is' if count == 1 else 'are'} doubtful" if count else ""


def _suspected(setup: PolarFit) -> list[int]:
    """The arrivals that are suspected, each once, though a sync may be for where it landed and for what was centred."""
    return list(dict.fromkeys(suspect.arrival for suspect in setup.suspects))


def _suspect_words(placed: PlacedArrivals, fit: PointingFit, suspect: Suspect) -> SuspectWords:
    at, arrivals = suspect.arrival, placed.arrivals
    readings = fitting_readings(
        suspect,
        float(arrivals.offset_east_arcmin[at]),
        float(arrivals.offset_north_arcmin[at]),
        fit.noise_arcmin.value,
    )
    return SuspectWords(
        setup=placed.setups[int(arrivals.setup[at])],
        number=int(placed.numbers[at]),
        label=placed.labels[at],
        target=placed.targets[at],
        at_centring=suspect.at_centring,
        probability=suspect.probability,
        readings=[reading.words for reading in readings],
    )


def _residuals(placed: PlacedArrivals, fit: PointingFit) -> list[Residual]:
    used = np.flatnonzero(~np.isnan(fit.residual_east_arcmin))
    columns = (placed.az_deg, placed.alt_deg, fit.residual_east_arcmin, fit.residual_north_arcmin)
    return [Residual(*(float(column[i]) for column in columns)) for i in used]
