"""The answers of the club as records of the library: the same values under the names that scripts know."""

from collections.abc import Iterable, Mapping
from dataclasses import fields
from datetime import datetime
from typing import TYPE_CHECKING, Any, TypeVar

from obslog.library.logbook_records import Arrival, Observation, Setup, SkyReading, Snag, WholeNight
from obslog.library.pointing_records import (
    Alarm,
    AsUsed,
    Change,
    Estimate,
    Factor,
    Finding,
    Fit,
    FittedSetup,
    LandedSetup,
    MechanicalTerm,
    Residual,
    ServiceEffect,
    Slope,
    Trend,
)
from obslog.library.table import Table

if TYPE_CHECKING:
    from obslog import values
    from obslog.club.over_time.landing_history import Changed, MountHistory, SetupHistory
    from obslog.club.pages.night_out import NightOut
    from obslog.club.performance import mount_fit
    from obslog.trends.series import theil_sen


T = TypeVar("T")


def table_of(kind: type[T], found: Iterable[Any]) -> Table[T]:
    """Records of the club as a table: of each the fields that `kind` has."""
    rows = list(found)
    return Table(kind, {name: [_plain(getattr(row, name)) for row in rows] for name in names_of(kind)})


def rows_table(kind: type[T], found: Iterable[Mapping[str, Any]]) -> Table[T]:
    """Rows of a sheet as a table: of each the columns that `kind` has, and their instants no longer text."""
    rows, names = list(found), names_of(kind)
    columns = {name: [_plain(row[name]) for row in rows] for name in names}
    if "utc" in columns:
        columns["utc"] = [datetime.fromisoformat(value) for value in columns["utc"]]
    return Table(kind, columns)


def names_of(kind: type[Any]) -> tuple[str, ...]:
    """The fields of a record of the library."""
    return tuple(field.name for field in fields(kind))


def night_of(found: "NightOut") -> WholeNight:
    page = found.page
    return WholeNight(
        night=page.night,
        site=page.site,
        open=page.open,
        started_utc=found.started_utc,
        ended_utc=found.ended_utc,
        present=list(page.present),
        sky=table_of(SkyReading, page.sky),
        setups=table_of(Setup, page.setups),
        arrivals=rows_table(Arrival, found.arrivals),
        observations=rows_table(Observation, found.observations),
        snags=table_of(Snag, found.snags),
        note=page.note,
    )


def fit_of(found: "mount_fit.MountFit") -> Fit:
    return Fit(
        mount=found.mount,
        tube=found.tube,
        noise_arcmin=found.noise_arcmin.value,
        mechanical=Table.of(
            MechanicalTerm,
            (
                MechanicalTerm(
                    since=one.since,
                    term=one.term,
                    value_arcmin=one.size_arcmin.value,
                    sd_arcmin=one.size_arcmin.sd,
                    determined=one.size_arcmin.determined,
                )
                for one in found.mechanical
            ),
        ),
        setups=Table.of(FittedSetup, map(_fitted, found.setups)),
        findings=Table.of(
            Finding,
            (
                Finding(
                    kind=str(one.kind),
                    words=one.words,
                    size_arcmin=one.size_arcmin,
                    sd_arcmin=one.sd_arcmin,
                    since=one.since,
                    bit_by_bit=one.bit_by_bit,
                )
                for one in found.findings
            ),
        ),
        sentence=found.sentence,
        words=list(found.words),
        left_out=dict(found.left_out),
        residuals=Table.of(
            Residual,
            (
                Residual(
                    az_deg=one.az_deg,
                    alt_deg=one.alt_deg,
                    east_arcmin=one.east_arcmin,
                    north_arcmin=one.north_arcmin,
                )
                for one in found.residuals
            ),
        ),
    )


def trend_of(history: "MountHistory") -> Trend:
    return Trend(
        mount=history.mount,
        setups=Table.of(LandedSetup, map(_landed, history.setups)),
        slope=_slope(history.slope),
        alarms=[alarm.night for alarm in history.alarms],
        alarm_details=Table.of(
            Alarm,
            (
                Alarm(night=one.night, worse=one.worse, likely_since=one.likely_since, one_in=one.one_in)
                for one in history.alarms
            ),
        ),
        verdict=str(history.verdict),
        words=history.words,
        as_used=AsUsed(slope=_slope(history.as_used.slope), verdict=str(history.as_used.verdict)),
        adjusted_for=list(history.adjusted_for),
        reasons=list(history.reasons),
        services=[
            ServiceEffect(day=one.day, factor=_factor(one.factor), helped=one.helped)
            for one in history.services
        ],
        changes=[_changed(one) for one in history.changes],
    )


def _fitted(found: "mount_fit.FittedSetup") -> FittedSetup:
    return FittedSetup(
        night=found.setup.night,
        setup=found.setup.setup,
        site=found.setup.site,
        polar_altitude=_estimate(found.polar_altitude_arcmin),
        polar_azimuth=_estimate(found.polar_azimuth_arcmin),
        separation_arcmin=found.separation_arcmin.value,
        arrivals=found.arrivals,
        rms_arcmin=found.rms_arcmin,
        suspects=list(found.suspects),
    )


def _landed(found: "SetupHistory") -> LandedSetup:
    half = found.half_arcmin
    return LandedSetup(
        night=found.setup.night,
        setup=found.setup.setup,
        site=found.setup.site,
        arrivals=found.arrivals,
        told_in_words=found.told_in_words,
        half_land_within_arcmin=half.value if half else None,
        low_arcmin=half.low if half else None,
        high_arcmin=half.high if half else None,
        rms_arcmin=found.rms_arcmin,
        median_arcmin=found.median_arcmin,
    )


def _changed(found: "Changed") -> Change:
    change = found.change
    return Change(
        since=change.since,
        last_before=change.last_before,
        term=change.term,
        size_arcmin=change.size_arcmin.value,
        sd_arcmin=change.size_arcmin.sd,
        factor=_factor(found.factor),
    )


def _estimate(found: "values.Estimate") -> Estimate:
    return Estimate(value_arcmin=found.value, sd_arcmin=found.sd, determined=found.determined)


def _slope(found: "theil_sen.Slope | None") -> Slope | None:
    if found is None:
        return None
    per_year = found.per_year
    return Slope(per_year=per_year.value, low=per_year.low, high=per_year.high, p=found.p)


def _factor(found: "values.Interval | None") -> Factor | None:
    return Factor(value=found.value, low=found.low, high=found.high) if found else None


def _plain(value: Any) -> Any:
    """A word of a vocabulary as mere text."""
    return str(value) if isinstance(value, str) else value
