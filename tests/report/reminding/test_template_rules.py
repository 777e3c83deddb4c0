"""What a template may not hold is refused before it runs, with its line."""

import pytest
from jinja2 import Environment

from obslog.report.reminding.letters import REMINDERS
from obslog.report.reminding.template_rules import ALLOWED, DEEPEST_LOOP, NotAllowedInTemplate, check

REFUSED = {
    "{{ ''.__class__ }}": "__class__",
    "{{ member.__class__.__mro__ }}": "__mro__",
    "{{ member['__class__'] }}": "a subscript",
    "{{ loans[0] }}": "a subscript",
    "{{ member|attr('__class__') }}": "'attr' cannot stand",
    "{{ loans|map(attribute='__class__') }}": "'map' cannot stand",
    "{{ member.format(1) }}": "a call",
    "{{ range(10) }}": "a call",
    "{{ cycler }}": "'cycler' is not known",
    "{{ self }}": "'self' is not known",
    "{{ loop }}": "'loop' is not known",
    "{{ namespace }}": "'namespace' is not known",
    "{{ loan.what }}": "'loan' is not known",
    "{% for a in loans %}{% endfor %}{{ a.what }}": "'a' is not known",
    "{{ 9 ** 9 ** 9 }}": "a power",
    "{{ 'a' * 999999999 }}": "multiplying",
    "{{ '%999999999d' % 1 }}": "% is",
    "{{ 1 / 0 }}": "dividing",
    "{{ 'a'|center(999999999) }}": "'center' cannot stand",
    "{% set a = loans %}": "set is",
    "{% include 'x' %}": "include is",
    "{% import 'os' as os %}": "import is",
    "{% from 'os' import system %}": "import is",
    "{% extends 'x' %}": "extends is",
    "{% block a %}{% endblock %}": "block is",
    "{% macro a() %}{{ a() }}{% endmacro %}": "macro is",
    "{% call a() %}{% endcall %}": "callblock is",
    "{% filter upper %}a{% endfilter %}": "filterblock is",
    "{% for a in loans recursive %}{{ loop(loans) }}{% endfor %}": "does not call itself",
    "{% for a, b in loans %}{% endfor %}": "one name",
    "{% for a in [1, 2, 3] %}{% endfor %}": "a loop runs over",
    "{% for a in member %}{% endfor %}": "a loop runs over",
    "{% for a in loans %}{% for b in a.what %}{% endfor %}{% endfor %}": "a loop runs over",
    "{% for a in loans + loans %}{% endfor %}": "a loop runs over",
    "{% for a in loans %}{% for b in loans %}{% for c in loans %}{% endfor %}{% endfor %}{% endfor %}": (
        f"more than {DEEPEST_LOOP} loops"
    ),
}


@pytest.mark.parametrize("template", REFUSED)
def test_what_is_not_on_the_lists_is_refused_with_its_line(template: str) -> None:
    tree = Environment().parse(f"Subject: a\n\n{template}\n")
    with pytest.raises(NotAllowedInTemplate) as refused:
        check(tree, REMINDERS.may)
    assert refused.value.line == 3
    assert REFUSED[template] in refused.value.why


def test_no_node_that_calls_sets_or_loads_is_allowed() -> None:
    """Of the nodes that Jinja2 has: https://jinja.palletsprojects.com/en/stable/extensions/#ast"""
    harmful = {"Call", "Getitem", "Assign", "AssignBlock", "Macro", "CallBlock", "Include", "Import"}
    harmful |= {
        "FromImport",
        "Extends",
        "Block",
        "Mul",
        "Pow",
        "Mod",
        "FilterBlock",
        "Test",
        "Scope",
        "NSRef",
    }
    assert not harmful & ALLOWED


@pytest.mark.parametrize(
    "template",
    [
        "{{ member }} {{ today }} {{ stage }}",
        "{% for a in loans if a.days_over > 3 %}{{ loop.index }} {{ a.what|upper }}{% else %}none{% endfor %}",
        "{% for a in loans %}{% for part in a.parts %}{{ part }}{% endfor %}{% endfor %}",
        '{{ "it" if ready|length == 1 else "them" }} {{ -1 + 2 - 3 }} {{ member ~ "!" }}',
        '{% if stage in ["due", "overdue"] and not not_yet or ready %}a{% elif loans %}b{% else %}c{% endif %}',
        "{# a remark #}",
    ],
)
def test_what_a_letter_needs_is_allowed(template: str) -> None:
    check(Environment().parse(template), REMINDERS.may)
