"""The table of rules: each default lies where a club may set its own."""

import pytest

from obslog.club.register.rule_table import RULES


@pytest.mark.parametrize("name", RULES)
def test_the_ends_of_a_rule_are_allowed_and_hold_its_default(name: str) -> None:
    rule = RULES[name]
    assert rule.low < rule.high
    assert rule.default is None or rule.low <= rule.default <= rule.high
