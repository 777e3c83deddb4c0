"""The own trend of each mount, from one model of all the club's set-ups, kept until any mount's nights change."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from uuid import UUID

import numpy as np
from numpy.typing import NDArray

from obslog.club.over_time.restarts import Restarts, restarts_of_club
from obslog.club.performance.landing_errors import Landings
from obslog.club.performance.mechanical_services import MountEra, era_of
from obslog.club.performance.mount_fits import MountFits
from obslog.club.performance.snapshot import Snapshot
from obslog.records.kept_results import Result
from obslog.trends.own.club_alarms import OwnAlarm, club_alarms
from obslog.trends.own.club_model import ClubModel, fit_club
from obslog.trends.own.club_setups import club_setups
from obslog.trends.own.own_trend import own_trends
from obslog.trends.own.own_verdict import OwnTrend

OWN_TRENDS = "own trends"


@dataclass(frozen=True, slots=True)
class AlarmNight:
    """A night on which the control chart left its limits, to which side, and when that most likely began.

    Chance alone makes one alarm in `one_in` set-ups of the club.
    """

    night: date
    worse: bool
    likely_since: date | None
    one_in: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class MountOwn:
    """What a mount did by itself since its last restart, and its alarms in all its eras.

    `trend` is None where no set-up since then has a landing; `first`, `last` are its nights, `observers` who set it up,
    as far as that is on record; of `unsigned` of its set-ups it is not.
    `rests_on` is the night that alone makes the slope sure. `before_log` is the logarithm of the landing error in the
    middle of the era before; None where there is none.
    """

    key: UUID
    trend: OwnTrend | None
    first: date | None
    last: date | None
    observers: Sequence[str]
    unsigned: int
    rests_on: date | None
    alarms: Sequence[AlarmNight]
    before_log: float | None = None

    @property
    def days(self) -> int:
        """From the first night to the last."""
        return (self.last - self.first).days if self.first and self.last else 0


@dataclass(frozen=True, slots=True)
class ClubOwn:
    """All mounts that have set-ups with a landing, and what the model allows for."""

    adjusted_for: Sequence[str]
    mounts: Sequence[MountOwn]

    def by_key(self) -> Mapping[UUID, MountOwn]:
        return {own.key: own for own in self.mounts}


def own_of_club(snapshot: Snapshot) -> ClubOwn:
    """The own trends of all mounts, from the kept results where nothing has changed."""
    alarms_a_year = snapshot.rules["alarms-a-year"]
    return snapshot.kept.get(
        Result(OWN_TRENDS),
        snapshot.mounts,
        ClubOwn,
        lambda: club_own(snapshot.all_landings(), restarts_of_club(MountFits(snapshot)), alarms_a_year),
        basis=alarms_a_year,
    )


def club_own(landings: Landings, restarts: Mapping[UUID, Restarts], alarms_a_year: float) -> ClubOwn:
    """The own trends of the mounts of these landings; each begins anew at a mount's restarts."""
    known = np.flatnonzero(np.isfinite(landings.log_error) & np.isfinite(landings.errors.log_sd))
    if not known.size:
        return ClubOwn([], [])
    places: list[int] = known.tolist()
    days = {mount: one.days for mount, one in restarts.items()}
    eras = [
        era_of(landings.mounts[place], "", landings.setups[place].night, days.get(landings.mounts[place], ()))
        for place in places
    ]
    model = _model(landings, known, eras)
    trends = own_trends(model)
    found = club_alarms(model, alarms_a_year)
    alarms: dict[UUID, list[AlarmNight]] = {}
    for alarm in found.alarms:
        night = _alarm_night(landings, known, alarm, found.run_length)
        alarms.setdefault(eras[alarm.position].key, []).append(night)
    by_era: dict[MountEra, list[int]] = {}
    for place, era in zip(places, eras, strict=True):
        by_era.setdefault(era, []).append(place)
    trend_of = dict(zip(by_era, trends, strict=True))
    todays = [MountEra(key, "", None) for key in dict.fromkeys(era.key for era in by_era)]
    middle = {era: (trend.first_log + trend.last_log) / 2 for era, trend in trend_of.items()}
    # Of several eras of a mount the last one stays.
    before = {era.key: middle[era] for era in by_era if era.until is not None}
    mounts = [
        _own_of(landings, era, trend_of.get(era), by_era.get(era, []), alarms, before.get(era.key))
        for era in todays
    ]
    return ClubOwn(model.setups.adjusted_for, mounts)


def _model(landings: Landings, known: NDArray[np.intp], eras: Sequence[MountEra]) -> ClubModel:
    log_error, log_sd = landings.unbiased_logs
    number = {era: place for place, era in enumerate(dict.fromkeys(eras))}
    places = known.tolist()
    return fit_club(
        club_setups(
            landings.years[known],
            log_error[known],
            log_sd[known],
            era=[number[era] for era in eras],
            observer=[landings.observers[place] for place in places],
            site=[landings.setups[place].site for place in places],
            temperature_c=landings.temperature_c[known],
            tube=[landings.tubes[place] for place in places],
        )
    )


def _own_of(
    landings: Landings,
    era: MountEra,
    trend: OwnTrend | None,
    places: Sequence[int],
    alarms: Mapping[UUID, Sequence[AlarmNight]],
    before_log: float | None,
) -> MountOwn:
    nights = [landings.setups[place].night for place in places]
    rests_on = None if trend is None or trend.rests_on is None else nights[trend.rests_on]
    who = [landings.observers[place] for place in places]
    return MountOwn(
        key=era.key,
        trend=trend,
        first=nights[0] if nights else None,
        last=nights[-1] if nights else None,
        observers=sorted({name for name in who if name is not None}),
        unsigned=who.count(None),
        rests_on=rests_on,
        alarms=alarms.get(era.key, []),
        before_log=before_log,
    )


def _alarm_night(
    landings: Landings, known: NDArray[np.intp], alarm: OwnAlarm, one_in: int | None
) -> AlarmNight:
    def night(position: int) -> date:
        return landings.setups[int(known[position])].night

    since = night(alarm.step.first) if alarm.step else None
    return AlarmNight(night(alarm.position), alarm.side > 0, since, one_in)
