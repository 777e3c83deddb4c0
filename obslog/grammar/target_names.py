"""What a target's name means on record: a star, an object, a body, or a name kept as written."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from obslog.errors import WrongInput
from obslog.sky.names.deepsky import NotOneObject
from obslog.sky.names.lookup import UnknownInSky, find_in_sky, found_or_none, nearest_in_sky
from obslog.sky.names.solar_system import Body

if TYPE_CHECKING:
    from obslog.sky.names.lookup import FoundInSky

AS_WRITTEN = "To keep a name as it is written, add --as-written."


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


class UnknownTarget(WrongInput):
    """Words that begin with the name of no star, object or body; one can be asked about them.

    `name` is the part that was meant as the name, `words` is all that stood behind the verb, and `nearest` are the
    known names that come nearest, the best first.
    """

    def __init__(self, name: str, words: Sequence[str], error: WrongInput, nearest: Sequence[str]) -> None:
        self.name, self.words, self.nearest = name, tuple(words), tuple(nearest)
        hint = f"Did you mean {' or '.join(nearest)}?" if nearest else error.hint
        super().__init__(error.message, f"{hint.rstrip('.')}{'' if nearest else '.'} {AS_WRITTEN}")


def target_named(text: str) -> Target:
    """The target that a text means; an unknown name is kept as written, with the names that come nearest."""
    target = target_as_written(text)
    return target if target.known else replace(target, nearest=tuple(nearest_in_sky(target.name)))


def target_as_written(text: str) -> Target:
    """The same without looking for the names that come nearest, which takes long: for names by the thousand."""
    text = " ".join(text.split())
    found = found_or_none(text)
    return Target(name=text, known=False) if found is None else target_of(found)


def target_of(found: "FoundInSky") -> Target:
    """The target that was found; coordinates are those of the name under which they go on record."""
    if isinstance(found.thing, Body):
        return Target(name=found.name, known=True, body=found.thing)
    if "°" in found.name:
        from obslog.sky.names.coordinates import point_or_none

        point = point_or_none(found.name)
        if point is not None:
            return Target(name=point.name, known=True, ra_hours=point.ra_hours, dec_deg=point.dec_deg)
    return Target(name=found.name, known=True, ra_hours=found.thing.ra_hours, dec_deg=found.thing.dec_deg)


def known_target(text: str, *, as_written: bool = False) -> Target:
    """As `target_named`, but an unknown name is refused unless it is to be kept as written. Raises UnknownTarget."""
    target = target_named(text)
    if not target.known and not as_written:
        raise unknown_target(target.name, text.split())
    return target


def unknown_target(name: str, words: Sequence[str]) -> UnknownTarget:
    """The error for a name that leads to no target, or only if numbers that stand apart are one: `4 1 Leo`."""
    try:
        found = find_in_sky(name)
    except UnknownInSky as error:
        return UnknownTarget(name, words, error, error.nearest)
    except NotOneObject as error:
        return UnknownTarget(name, words, error, ())
    return UnknownTarget(name, words, UnknownInSky(name, [found.name]), (found.name,))
