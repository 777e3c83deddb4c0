"""What fits, trends and their comparison say to scripts: the published keys of each document."""

from typing import TYPE_CHECKING, Any

from obslog.estimate_words import estimate_document, interval_document

if TYPE_CHECKING:
    from obslog.club.over_time.axes_over_time import MechanicalChange, MechanicsOverTime
    from obslog.club.over_time.landing_history import MountHistory, SetupHistory
    from obslog.club.performance.error_sources import ErrorSources
    from obslog.club.performance.mount_fit import FittedSetup, MountFit
    from obslog.trends.attribution.attribution import Effect
    from obslog.trends.series.theil_sen import Slope
    from obslog.values import SetupId

Document = dict[str, Any]


def fit_document(found: "MountFit") -> Document:
    """What `pointing fit` gives."""
    return {
        "mount": found.mount,
        "tube": found.tube,
        "noise_arcmin": found.noise_arcmin.value,
        "mechanical": [
            {"since": one.since, "term": one.term} | estimate_document(one.size_arcmin)
            for one in found.mechanical
        ],
        "setups": [_fitted(setup) for setup in found.setups],
        "findings": found.findings,
        "sentence": found.sentence,
        "words": found.words,
        "left_out": found.left_out,
    }


def trend_document(history: "MountHistory") -> Document:
    """What `pointing trend` gives."""
    return {
        "mount": history.mount,
        "setups": [_landed(setup) for setup in history.setups],
        "slope": _slope(history.slope),
        "alarms": [alarm.night for alarm in history.alarms],
        "alarm_details": history.alarms,
        "verdict": history.verdict,
        "words": history.words,
        "as_used": {"slope": _slope(history.as_used.slope), "verdict": history.as_used.verdict},
        "adjusted_for": history.adjusted_for,
        "reasons": history.reasons,
        "services": [
            {
                "day": service.day,
                "factor": interval_document(service.factor) if service.factor else None,
                "helped": service.helped,
            }
            for service in history.services
        ],
        "changes": [
            {
                "since": one.change.since,
                "last_before": one.change.last_before,
                "term": one.change.term,
                "size_arcmin": one.change.size_arcmin.value,
                "sd_arcmin": one.change.size_arcmin.sd,
                "factor": interval_document(one.factor) if one.factor else None,
            }
            for one in history.changes
        ],
    }


def mechanics_document(found: "MechanicsOverTime") -> Document:
    """What `pointing trend --mechanics` adds."""
    polar = found.polar_trend
    return {
        "polar_trend": {
            "tube": found.tube,
            "setups": [
                _named(axis.setup) | estimate_document(axis.separation_arcmin, "separation_arcmin")
                for axis in polar.setups
            ],
            "slope": _slope(polar.slope),
            "verdict": polar.verdict,
            "reasons": polar.reasons,
        },
        "mechanical_changes": [_changed(change) for change in found.mechanical_changes],
    }


def sources_document(found: "ErrorSources") -> Document:
    """What `pointing whose` gives."""
    from obslog.club.performance.first_sentences import sources_sentence

    return {
        "setups": found.setups,
        "attribution": {
            source: estimate_document(share, "share", "sd") for source, share in found.shares.items()
        },
        "effects": [_effect(effect) for effect in found.effects],
        "cannot_tell": found.cannot_tell,
        "sentence": sources_sentence(found.shares, tubes_apart=found.tubes_apart),
    }


def _named(setup: "SetupId") -> Document:
    return {"night": setup.night, "setup": setup.setup, "site": setup.site}


def _fitted(found: "FittedSetup") -> Document:
    return _named(found.setup) | {
        "polar_altitude": estimate_document(found.polar_altitude_arcmin),
        "polar_azimuth": estimate_document(found.polar_azimuth_arcmin),
        "separation_arcmin": found.separation_arcmin.value,
        "arrivals": found.arrivals,
        "rms_arcmin": found.rms_arcmin,
        "suspects": found.suspects,
    }


def _landed(found: "SetupHistory") -> Document:
    return (
        _named(found.setup)
        | {"arrivals": found.arrivals, "told_in_words": found.told_in_words}
        | interval_document(found.half_arcmin, "half_land_within_arcmin", "low_arcmin", "high_arcmin")
        | {"rms_arcmin": found.rms_arcmin, "median_arcmin": found.median_arcmin}
    )


def _slope(slope: "Slope | None") -> Document | None:
    return interval_document(slope.per_year, "per_year") | {"p": slope.p} if slope else None


def _changed(change: "MechanicalChange") -> Document:
    return {
        "since": change.since,
        "term": change.term,
        "before_arcmin": change.before_arcmin.value,
        "after_arcmin": change.after_arcmin.value,
    } | estimate_document(change.change_arcmin, "change_arcmin")


def _effect(effect: "Effect") -> Document:
    from obslog.club.performance.error_sources import tube_of

    ratio, level = effect.ratio, tube_of(effect)
    return (
        {"kind": effect.factor, "name": effect.name, "tube": level.tube if level else None}
        | interval_document(ratio, "ratio")
        | {"worse": effect.worse, "setups": ratio.count}
    )
