"""The targets of a log: under the names by which they are known here, or as they are written."""

from dataclasses import dataclass, field

from obslog.club.open_log.log_targets import log_target
from obslog.club.open_log.log_words import target_lines
from obslog.errors import WrongInput
from obslog.exchange.open_log.records import Log, LogTarget
from obslog.fields import TARGET, usable
from obslog.grammar.target_names import Target, target_as_written


class TargetMissing(WrongInput):
    def __init__(self, reference: str | None) -> None:
        words = f"{reference[:40]!r} is not in the file" if reference else "is missing"
        super().__init__(f"The target {words}.", "Add it among the targets, with its name.")


@dataclass(frozen=True, slots=True)
class ObjectIn:
    """A target under its name here, and lines of what the log tells of it beside."""

    target: Target
    lines: list[str]


@dataclass(slots=True)
class Objects:
    """The targets of a log by its references; each is looked up once."""

    log: Log
    _by_reference: dict[str, ObjectIn] = field(default_factory=dict)

    def named(self, reference: str | None) -> ObjectIn:
        """What a reference of the log means. Raises TargetMissing, UnusableText."""
        told = self.log.targets.get(reference or "")
        if told is None:
            raise TargetMissing(reference)
        found = self._by_reference.get(told.id)
        if found is None:
            stars = (self.log.targets.get(one) for one in told.components)
            found = self._by_reference[told.id] = _object(told, [star.name for star in stars if star])
        return found


def _object(told: LogTarget, stars: list[str]) -> ObjectIn:
    """By its name, else by the first of its other names that is known here."""
    target = target_as_written(TARGET.checked(usable(told.name)))
    by_alias = False
    if not target.known:
        aliases = (
            target_as_written(usable(alias)) for alias in told.aliases if 0 < len(alias) <= TARGET.longest
        )
        other = next((alias for alias in aliases if alias.known), None)
        target, by_alias = other or target, other is not None
    own_notes = log_target("", target.name, "").notes if target.known and told.notes else None
    lines = target_lines(told, known=target.known, by_alias=by_alias, own_notes=own_notes)
    if stars and not target.known:
        lines.append(f"components: {', '.join(stars)}")
    return ObjectIn(target, lines)
