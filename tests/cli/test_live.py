"""What `pointing now` shows of the open set-up, and what scripts read."""

from obslog.cli.live import show_answers
from obslog.club.live.answers import LiveAnswer, LiveKind
from tests.cli.program import Program
from tests.cli.screens import shown_by

SUN = LiveAnswer(kind=LiveKind.SUN, words="the Sun rises at 06:41, in 20 minutes", about="sunrise")
AXIS = LiveAnswer(
    kind=LiveKind.AXIS, words="axis 38' ± 3' too far west: turn the azimuth adjuster", about="azimuth"
)
KEYS = {"kind", "words", "about", "size_arcmin", "sd_arcmin", "steady_arcmin", "probability", "mend"}


def test_each_answer_has_its_line_and_the_caution_is_told_as_one() -> None:
    for shown in shown_by(lambda screen: show_answers(screen, [SUN, AXIS])):
        assert shown.in_order(f"CAUTION. {SUN.words}", AXIS.words)
    for shown in shown_by(lambda screen: show_answers(screen, [])):
        assert shown.words == "Nothing to say: what is on record fits."


def test_the_open_set_up_is_answered_for_and_named_or_not_it_is_the_same(outside: Program) -> None:
    said = outside.document("pointing", "now")
    assert outside.document("pointing", "now", "heron") == said
    assert all(set(answer) == KEYS for answer in said)
    assert [answer["kind"] for answer in said][-1] == "landing"


def test_without_a_set_up_the_way_to_begin_one_is_told(program: Program) -> None:
    answer = program("pointing", "now")
    assert answer.code == 1
    assert "obslog setup start" in answer.err
