"""When an answer is given again, and which comes first."""

from dataclasses import replace

from obslog.club.live.answers import LiveAnswer, LiveKind, in_order, what_is_new

AXIS = LiveAnswer(
    kind=LiveKind.AXIS,
    words="axis 40' ± 9'",
    about="azimuth",
    size_arcmin=40.0,
    sd_arcmin=9.0,
    steady_arcmin=9.0,
)
MISFIT = LiveAnswer(kind=LiveKind.MISFIT, words="5. Deneb does not fit", about="key-5", probability=0.95)


def test_what_was_said_and_has_not_changed_is_not_said_again():
    assert what_is_new([], [AXIS, MISFIT]) == [AXIS, MISFIT]
    assert what_is_new([AXIS, MISFIT], [AXIS, MISFIT]) == []
    assert what_is_new([MISFIT], [replace(MISFIT, probability=0.99, words="surer")]) == []
    assert what_is_new([MISFIT], [replace(MISFIT, about="key-6")]) == [replace(MISFIT, about="key-6")]


def test_a_number_is_said_again_when_it_has_moved_by_more_than_its_uncertainty():
    near, far = replace(AXIS, size_arcmin=33.0), replace(AXIS, size_arcmin=29.0)
    assert what_is_new([AXIS], [near]) == []
    assert what_is_new([AXIS], [far]) == [far]
    # measured against what was said last, not against what was first
    assert what_is_new([AXIS, far], [AXIS]) == [AXIS]
    other_way = replace(AXIS, about="altitude")
    assert what_is_new([AXIS], [other_way]) == [other_way]


def test_cautions_come_first_and_alone_are_never_silenced():
    kinds = [LiveKind.LANDING, LiveKind.AXIS, LiveKind.SUN, LiveKind.FIRST_STAR]
    given = in_order([LiveAnswer(kind=kind, words=kind) for kind in kinds])
    assert [answer.kind for answer in given] == ["sun", "first-star", "axis", "landing"]
    assert [answer.is_caution for answer in given] == [True, False, False, False]
