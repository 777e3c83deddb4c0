"""The likeliest mistakes, read back at every width, with chances that are never certain."""

from obslog.cli.aligning.first_star import Causes, show_causes
from obslog.pointing.mistakes.posterior import LikelyCause
from obslog.pointing.mistakes.prior import NO_PAST
from obslog.vocabulary.mistakes import Cause
from tests.cli.screens import shown_by


def a_cause(n: int, probability: float) -> LikelyCause:
    return LikelyCause(
        cause=Cause.CLOCK,
        probability=probability,
        what=f"What {n}",
        remedy=f"Mend {n}.",
        look_at=f"The clock {n}.",
    )


def test_the_likeliest_causes_are_told_with_chances_that_are_never_certain() -> None:
    causes = [a_cause(0, 0.994), a_cause(1, 0.99), a_cause(2, 0.386), a_cause(3, 0.01), a_cause(4, 0.0099)]
    for shown in shown_by(lambda screen: show_causes(screen, Causes(causes, None, NO_PAST), 5)):
        assert shown.words.startswith("> 99 % What 0 Mend 0. Look at this to be certain: the clock 0.")
        assert shown.in_order("> 99 % What 0", "99 % What 1", "39 % What 2", "1 % What 3", "< 1 % What 4")
    for shown in shown_by(lambda screen: show_causes(screen, Causes(causes, "The Sun.", NO_PAST), 2)):
        assert shown.lines[0] == "CAUTION. The Sun."
        assert "What 1" in shown.words
        assert "What 2" not in shown.words
