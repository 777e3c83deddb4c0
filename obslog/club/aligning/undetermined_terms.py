"""What the records cannot say of a mount yet, and which two stars tonight would settle the least known of it."""

from datetime import datetime

import numpy as np

from obslog.club.aligning.known_before import what_is_known
from obslog.club.aligning.star_candidates import stars_now
from obslog.club.register.observing_site import ObservingSite
from obslog.pointing.joint_fit.arrivals import Priors
from obslog.pointing.joint_fit.words import unsaid_words
from obslog.pointing.planning.observable import ObservableLimits, even_sky
from obslog.pointing.planning.settling_pair import settling_pair
from obslog.pointing.planning.star_choice import choose_sync_stars
from obslog.records.database import Database
from obslog.vocabulary.mounts import MECHANICAL_TERMS


def settling_words(
    database: Database,
    mount: str,
    tube: str | None,
    view: ObservingSite,
    at_utc: datetime,
    limits: ObservableLimits,
) -> str | None:
    """The sentence, with the star to sync on first; None where everything is known well enough.

    Well enough is a standard deviation under half the usual size. Raises UnknownName, MountTypeUnknown, TooFewStars.
    """
    knowledge, _, _ = what_is_known(database, mount, tube)
    usual = Priors()
    sizes = np.array([usual.cone_arcmin, usual.squareness_arcmin, usual.sag_arcmin])
    unknown = np.sqrt(np.diagonal(knowledge.mechanical_covariance)) / sizes
    names = [words for words, share in zip(MECHANICAL_TERMS.values(), unknown, strict=True) if share >= 0.5]
    if not names:
        return None
    now = stars_now(view, at_utc)
    targets = even_sky(view.place.lat_deg, limits.lowest_alt_deg)
    sync = choose_sync_stars(now.candidates, limits, targets, knowledge, 1).stars[0]
    term = list(MECHANICAL_TERMS)[int(np.argmax(unknown))]
    pair = settling_pair(
        now.candidates,
        limits,
        knowledge.machine,
        knowledge.mechanical_covariance,
        term,
        sync,
        polar_sd_arcmin=float(np.mean(knowledge.polar_sd)),
        noise_arcmin=knowledge.noise_arcmin,
        centring_arcmin=knowledge.centring_arcmin,
    )
    first, second = (now.stars[star].name for star in pair.stars)
    words = unsaid_words(names, first, second, MECHANICAL_TERMS[term], pair.sd_arcmin)
    return f"{words} Sync on {now.stars[sync].name}."
