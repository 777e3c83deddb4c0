"""What an act says that made a member nameless, and that nothing more is written of them."""

import pytest

from obslog.records.nameless import NEUTRAL, HasLeft, made_nameless, refuse_who_left


def test_an_act_makes_a_member_nameless_if_it_keeps_the_key_alone_of_what_was_there() -> None:
    assert made_nameless({"id": "a"})
    assert not made_nameless({"id": "a", "name": "Ines"})
    assert not made_nameless({})
    assert not made_nameless(None)


def test_nothing_is_written_of_who_has_left() -> None:
    refuse_who_left("Ines")
    with pytest.raises(HasLeft, match="Former member 3fa92c has already left"):
        refuse_who_left(f"{NEUTRAL} 3fa92c")
