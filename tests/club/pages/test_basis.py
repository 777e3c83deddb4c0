"""What a page rests on."""

from obslog.club.pages.basis import Rows, some


def test_kinds_of_which_there_are_none_are_not_named() -> None:
    one = Rows(count=1, kind="snag")
    assert some([one, Rows(count=0, kind="arrival")]) == (one,)
