"""What the pages of a mount and of a night say to scripts: under the keys of the commands that tell the same."""

from dataclasses import fields
from typing import TYPE_CHECKING

from obslog.cli.night.night import whole_document
from obslog.cli.performance.budget import budget_document
from obslog.cli.performance.documents import (
    Document,
    fit_document,
    mechanics_document,
    trend_document,
)
from obslog.estimate_words import estimate_document

if TYPE_CHECKING:
    from obslog.club.pages.axes_on_sky import AxisOnSky
    from obslog.club.pages.mount_facts import MountFacts, Pointing
    from obslog.club.pages.night_facts import NightFacts
    from obslog.club.shelves.committee import StocktakeFacts


def mount_document(facts: "MountFacts") -> Document:
    """What `page mount` gives; `trend` is that of `pointing trend`, `fit` and `budget` those of their commands."""
    return (
        {
            "mount": facts.mount,
            "mount_type": facts.mount_type,
            "day": facts.day,
            "next_steps": facts.next_steps,
            "trend": trend_document(facts.history) if facts.history else None,
            "set_up_by": facts.set_up_by,
        }
        | _pointing(facts.pointing)
        | {
            "not_computed": facts.not_computed,
            "review": facts.reviewed,
            "snags": facts.snags,
            "look_first": facts.look_first,
            "basis": facts.basis,
        }
    )


def _pointing(found: "Pointing | None") -> Document:
    if found is None:
        return {"fit": None, "residuals": [], "axes": [], "mechanics": None, "budget": None}
    return {
        "fit": fit_document(found.fit),
        "residuals": found.fit.residuals,
        "axes": [_axis(axis) for axis in found.axes],
        "mechanics": mechanics_document(found.over_time),
        "budget": budget_document(found.budget) if found.budget else None,
    }


def _axis(axis: "AxisOnSky") -> Document:
    return {
        "setup": axis.setup,
        "observer": axis.observer,
        "up": estimate_document(axis.up_arcmin),
        "east": estimate_document(axis.east_arcmin),
        "separation": estimate_document(axis.separation_arcmin),
        "facing_south": axis.facing_south,
    }


def night_document(facts: "NightFacts") -> Document:
    """What `page night` gives: all that `night show` gives, the places in the sky, and what happened in order."""
    return whole_document(facts.night) | {
        "places": facts.places,
        "story": facts.story,
        "basis": facts.basis,
    }


def stocktake_document(facts: "StocktakeFacts") -> Document:
    """What `page stocktake` gives: all that `stocktake show` gives, what was lost, what came back, and the trend."""
    then = facts.standing
    return {one.name: getattr(then, one.name) for one in fields(then)} | {
        "lost": facts.lost,
        "lost_value": facts.lost_value,
        "not_valued": facts.not_valued,
        "currency": facts.currency,
        "before_on": facts.before_on,
        "before": facts.before,
        "losses": facts.losses,
    }
