"""What a target's name means on record: a star, an object, a body, or a name kept as written."""

from dataclasses import dataclass

from obslog.sky.names.lookup import found_or_none, nearest_in_sky
from obslog.sky.names.solar_system import Body


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """A target under its proper name. The place is ICRS, J2000; `body` has one that changes, an unknown name none."""

    name: str
    known: bool
    ra_hours: float | None = None
    dec_deg: float | None = None
    body: Body | None = None
    nearest: tuple[str, ...] = ()

    def unknown_words(self, then: str = "") -> str:
        """What is to be said of an unknown name; `then` stands behind the names that come nearest, if any do."""
        near = f" Did you mean {' or '.join(self.nearest)}?{then}" if self.nearest else ""
        return f"{self.name} is not a known star or object; kept as written, its height unchecked.{near}"


def target_named(text: str) -> Target:
    """The target that a text means; an unknown name is kept as written, with the names that come nearest."""
    text = " ".join(text.split())
    found = found_or_none(text)
    if found is None:
        return Target(name=text, known=False, nearest=tuple(nearest_in_sky(text)))
    if isinstance(found.thing, Body):
        return Target(name=found.name, known=True, body=found.thing)
    return Target(name=found.name, known=True, ra_hours=found.thing.ra_hours, dec_deg=found.thing.dec_deg)
