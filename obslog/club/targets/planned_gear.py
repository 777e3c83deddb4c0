"""What a plan of targets goes by: the equipment and the sky on record, and the judgement that they allow."""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from sqlalchemy.orm import Session

from obslog.club.performance.landing_chance import LandingChance, landing_chance
from obslog.club.register.observing_site import ObservingSite
from obslog.club.register.true_field import true_field_arcmin
from obslog.club.targets.how_sure import VisualMargins, judge
from obslog.club.targets.means_to_see import JudgedIn, SkyOnRecord, judged_in, sky_on_record
from obslog.club.targets.planned_targets import Wish
from obslog.optics import LimitFormula, limiting_magnitude
from obslog.records.name_lookup import by_name
from obslog.records.tables.logbook_tables import Eyepiece, Mount, Tube
from obslog.sky.evening.dark_windows import Windows
from obslog.sky.evening.object_arrays import Catalogue
from obslog.sky.evening.sky_behind import SkyBehind, sky_behind
from obslog.sky.evening.visibility import Spell
from obslog.sky.places.kernel import Instants
from obslog.values import Place


class Gear(NamedTuple):
    """What the records say of the equipment, the site's sky and the member."""

    mount: Mount | None
    field_arcmin: float | None
    aperture_mm: float | None
    limit: float | None
    sky: SkyOnRecord | None
    chance: LandingChance | None
    judged_in: JudgedIn


class Judge(NamedTuple):
    """What things are judged by: the sky overhead without the Moon, where it is, and the tube."""

    sky_mag: float
    place: Place
    judged_in: JudgedIn

    def at(self, catalogue: Catalogue, when_utc: Instants) -> tuple[SkyBehind, VisualMargins]:
        """The sky behind each thing at its own instant, and how far each is above the threshold there."""
        behind = sky_behind(catalogue.directions, when_utc, self.place, self.sky_mag)
        return behind, judge(catalogue, behind, self.judged_in.views(), self.judged_in.aperture_mm)


@dataclass(frozen=True, slots=True, kw_only=True)
class Evening:
    """What a plan chooses from, and by: the things and when each is up in the dark, the wish, and what is on record."""

    view: ObservingSite
    spell: Spell
    catalogue: Catalogue
    windows: Windows
    wish: Wish
    gear: Gear
    by: Judge

    @property
    def done_utc(self) -> np.datetime64:
        """When all targets that were asked for would be done."""
        return self.spell.from_utc + self.wish.most * np.timedelta64(round(self.wish.minutes_each * 60), "s")


def gear_for(session: Session, view: ObservingSite, wish: Wish) -> Gear:
    """What is on record of what the wish names. Raises UnknownName."""
    mount = by_name(session, Mount, wish.mount) if wish.mount else None
    tube = by_name(session, Tube, wish.tube) if wish.tube else None
    eyepiece = by_name(session, Eyepiece, wish.eyepiece) if wish.eyepiece else None
    field = true_field_arcmin(tube, eyepiece) if tube and eyepiece else None
    aperture = tube.aperture_mm if tube else None
    limit = None if aperture is None else float(limiting_magnitude(aperture, LimitFormula.MILLIMETRES))
    chance = landing_chance(session, mount, field) if mount and field else None
    sky = sky_on_record(session, view.site, view.place)
    return Gear(mount, field, aperture, limit, sky, chance, judged_in(session, tube, eyepiece))
