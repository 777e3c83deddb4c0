"""Fewer bytes and the same picture: by hand on small drawings; dot by dot it is compared in the browser."""

from xml.etree import ElementTree

import pytest

from obslog.report.pictures.compact_svg import NAMESPACE, compact

RED = 'style="fill: none; stroke: var(--first)"'
BLUE = 'style="fill: none; stroke: var(--second)"'
FULL = 'style="fill: var(--first)"'


def inside(*marks: str) -> str:
    """What is left of these marks in a picture."""
    whole = compact(f"<svg{NAMESPACE}>{''.join(marks)}</svg>")
    assert whole.startswith(f"<svg{NAMESPACE}>")
    ElementTree.fromstring(whole)
    return whole.removeprefix(f"<svg{NAMESPACE}>").removesuffix("</svg>").replace(" />", "/>")


def test_lines_of_one_style_become_one_with_gaps() -> None:
    lines = [f'<g>\n <path d="M {n} 0 \nL {n} 9" {RED}/>\n</g>' for n in (1, 2)]
    assert inside(*lines) == f'<path d="M 1 0  L 1 9 M 2 0  L 2 9" {RED}/>'


def test_lines_with_another_between_them_keep_their_order() -> None:
    marks = [f'<path d="M 1 1" {RED}/>', f'<path d="M 2 2" {BLUE}/>', f'<path d="M 3 3" {RED}/>']
    assert inside(*marks) == "".join(marks)


def test_filled_shapes_stay_apart_for_two_could_leave_a_hole() -> None:
    assert inside(*[f'<path d="M 1 1 z" {FULL}/>'] * 2) == f'<path d="M 1 1 z" {FULL}/>' * 2


@pytest.mark.parametrize("style", ["opacity: 0.5", "stroke-dasharray: 1 2"])
def test_what_crossing_or_joining_would_change_stays(style: str) -> None:
    mark = f'<path d="M 1 1" style="fill: none; {style}"/>'
    assert inside(mark, mark) == mark * 2


def test_marks_of_one_style_say_it_once() -> None:
    dots = [f'<use href="#m" x="{n}" y="1" {FULL}/>' for n in range(3)]
    assert (
        inside(*dots) == f"<g {FULL}>" + "".join(f'<use href="#m" x="{n}" y="1"/>' for n in range(3)) + "</g>"
    )


def test_what_is_pointed_to_is_left_as_it_is() -> None:
    marks = f'<defs><path id="m" d="M 0 0" {RED}/><path id="n" d="M 1 1" {RED}/></defs>'
    assert inside(marks) == marks


def test_text_keeps_every_sign() -> None:
    assert inside("<text>  a &lt;b&gt; &amp; c </text>") == "<text>  a &lt;b&gt; &amp; c </text>"


def test_remarks_and_empty_groups_go() -> None:
    assert inside("<!-- a remark --><g/><rect/>") == "<rect/>"
