"""Cautions: the gravest first, each once, deferring to local rules."""

import pytest

from obslog.club.forms.blocks import Caution
from obslog.club.forms.cautions import indoors, outdoors, setting_up
from obslog.vocabulary.cautions import SUN_CAUTION, Danger


@pytest.mark.parametrize("caution", [outdoors(), setting_up()])
def test_under_the_sky_the_sun_comes_first(caution: Caution) -> None:
    assert caution.sentences[0] == SUN_CAUTION
    assert any("laser" in sentence for sentence in caution.sentences)


@pytest.mark.parametrize("caution", [outdoors(), setting_up(), indoors()])
def test_each_defers_to_local_rules(caution: Caution) -> None:
    assert any("Follow local rules" in sentence for sentence in caution.sentences)


def test_what_the_sun_makes_worse_tonight_comes_before_all() -> None:
    assert outdoors(Danger.DAYTIME).sentences[0] == Danger.DAYTIME


def test_nothing_is_said_twice_and_nothing_where_there_is_nothing() -> None:
    assert outdoors(SUN_CAUTION, None) == outdoors()


@pytest.mark.parametrize("word", ["Counterweights", "Batteries", "Two people"])
def test_in_the_store_room_weights_and_batteries_are_named(word: str) -> None:
    assert any(word in sentence for sentence in indoors().sentences)
