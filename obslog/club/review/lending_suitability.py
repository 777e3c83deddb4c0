"""Which kit suits which borrower: experience, aperture and weight, the review, and who waits.

The limits are the rule book's. What is not on record is said, and never taken as small or light. Reasons name nobody.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from obslog.club.register.rule_book import Rules
from obslog.club.review.verdicts import Status, Wanting
from obslog.values import Interval


class Suitability(StrEnum):
    LEND = "lend"
    WITH_HELP = "with help"
    NOT_NOW = "not now"


WANTS = {
    Wanting.SETUPS: "its set-ups are too few, and an experienced borrower's tell most",
    Wanting.NAMES: "who set it up is not on record; note it this time",
    Wanting.OTHERS: "it wants set-ups by somebody else",
}
ORDER = {fit: place for place, fit in enumerate(Suitability)}


@dataclass(frozen=True, slots=True)
class Borrower:
    """A member as a borrower: set-ups on record by them, and what they have that is overdue."""

    name: str
    setups: int
    overdue: Sequence[str] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class KitToLend:
    """A kit as it stands: the review's status and gravest reason, what it is, who waits in order, and its use.

    `aperture_mm` is of its largest tube, `wanting` what its mount wants before it is judged (None without a
    mount), `days_lent` those of the last year. The effect is with the tube that `with_tube` tells, where
    its mount had several.
    """

    name: str
    status: Status
    why: str | None
    aperture_mm: float | None
    weight_kg: float | None
    waiting: Sequence[str] = ()
    effect: Interval | None = None
    with_tube: str = ""
    wanting: Wanting | None = None
    days_lent: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """Whether to lend a kit to a member: lend, with help, or not now; and why."""

    kit: str
    member: str
    fit: Suitability
    status: Status
    aperture_mm: float | None
    weight_kg: float | None
    reasons: list[str]


def is_beginner(borrower: Borrower, rules: Rules) -> bool:
    """Whether the member has fewer set-ups on record than the rule book asks for."""
    return borrower.setups < rules["beginner-setups"]


def advise(borrower: Borrower, kits: Iterable[KitToLend], rules: Rules) -> list[Advice]:
    """The kits for one member, the best first.

    First what they wait for; then for a beginner the kit that lands best and weighs least, for others one whose mount
    wants more nights, and the largest; among equals the one that was lent least.
    """
    advised = [(kit, advice_on(borrower, kit, rules)) for kit in kits]
    beginner = is_beginner(borrower, rules)

    def place(pair: tuple[KitToLend, Advice]) -> tuple[object, ...]:
        kit, advice = pair
        lands = kit.effect.value if kit.effect else 1.0
        weight = float("inf") if kit.weight_kg is None else kit.weight_kg
        taste = (lands, weight) if beginner else (kit.wanting is None, -(kit.aperture_mm or 0.0))
        return ORDER[advice.fit], kit.waiting[:1] != [borrower.name], *taste, kit.days_lent, kit.name

    return [advice for _, advice in sorted(advised, key=place)]


def advice_on(borrower: Borrower, kit: KitToLend, rules: Rules) -> Advice:
    """Whether this kit suits this member, with every reason."""
    against = list(_against(borrower, kit))
    wary = list(_wary(kit, rules)) if is_beginner(borrower, rules) else []
    fit = Suitability.NOT_NOW if against else Suitability.WITH_HELP if wary else Suitability.LEND
    reasons = [*against, *wary, *_for(borrower, kit, rules)]
    return Advice(
        kit=kit.name,
        member=borrower.name,
        fit=fit,
        status=kit.status,
        aperture_mm=kit.aperture_mm,
        weight_kg=kit.weight_kg,
        reasons=reasons,
    )


def _against(borrower: Borrower, kit: KitToLend) -> Iterator[str]:
    if kit.status in (Status.SERVICE, Status.OUT, Status.RETIRED):
        yield kit.why or f"it is {kit.status}"
    if kit.waiting and kit.waiting[0] != borrower.name:
        yield "somebody else is first in its waiting list"
    if borrower.overdue:
        yield f"the borrower has an overdue loan: {', '.join(borrower.overdue)}"


def _wary(kit: KitToLend, rules: Rules) -> Iterator[str]:
    """What asks for help when a beginner borrows."""
    aperture, weight = rules["beginner-aperture-mm"], rules["beginner-weight-kg"]
    if kit.aperture_mm is not None and kit.aperture_mm > aperture:
        yield f"its aperture of {kit.aperture_mm:g} mm is over the limit of {aperture:g} mm for beginners"
    if kit.weight_kg is None:
        yield "its weight is not on record: lift it together first"
    elif kit.weight_kg > weight:
        yield f"its {kit.weight_kg:g} kg is over the limit of {weight:g} kg for beginners: two people should lift it"
    yield from _watch(kit)


def _watch(kit: KitToLend) -> Iterator[str]:
    if kit.status is Status.WATCH and kit.why:
        yield f"watch it: {kit.why}"


def _for(borrower: Borrower, kit: KitToLend, rules: Rules) -> Iterator[str]:
    if kit.waiting and kit.waiting[0] == borrower.name:
        yield "the borrower is first in its waiting list"
    if is_beginner(borrower, rules):
        if kit.effect is not None and kit.effect.high is not None and kit.effect.high < 1.0:
            yield f"kind to beginners:{kit.with_tube} it misses by {kit.effect.value:.2f} times the club's average"
    else:
        yield from _watch(kit)  # of a beginner it is told as a reason for help
        if kit.wanting is not None:
            yield f"its mount has no verdict yet: {WANTS[kit.wanting]}"
    if not kit.days_lent:
        yield "not lent in the last year"
