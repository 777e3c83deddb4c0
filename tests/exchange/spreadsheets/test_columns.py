"""The table of columns holds together."""

import pytest

from obslog.exchange.spreadsheets.columns import Reads, SheetKind, also_said, kinds
from obslog.exchange.spreadsheets.heads import head_form, known_heads
from obslog.fields import NumberField
from obslog.vocabulary.sky_scales import SKY_SCALE_MEANING, SKY_SCALE_RANGE, SkyScale


@pytest.mark.parametrize("kind", kinds().values(), ids=kinds())
def test_no_head_means_two_columns(kind: SheetKind) -> None:
    meant = {(head_form(head), column.name) for column in kind.columns for head in known_heads(column)}
    assert len({head for head, _ in meant}) == len(meant)


@pytest.mark.parametrize("kind", kinds().values(), ids=kinds())
def test_each_column_says_what_it_holds_and_what_it_is_for(kind: SheetKind) -> None:
    assert all(column.holds_words and column.meaning for column in kind.columns)
    assert any(column.needed for column in kind.columns)


def test_what_is_said_in_place_of_a_word_is_no_word_of_the_list_itself() -> None:
    for words, others in also_said().items():
        assert set(others.values()) <= set(map(str, words))
        assert not set(others) & set(map(str, words))


def test_a_column_is_found_by_its_name() -> None:
    assert kinds()["loans"].column("due_on").holds is Reads.DAY


@pytest.mark.parametrize("scale", SkyScale)
def test_each_scale_of_the_sky_is_a_column_of_observations(scale: SkyScale) -> None:
    column = kinds()["observations"].column(scale.column)
    assert column.meaning == SKY_SCALE_MEANING[scale]
    assert isinstance(column.holds, NumberField)
    assert (column.holds.low, column.holds.high) == SKY_SCALE_RANGE[scale]
