"""A drawn picture in fewer bytes, that looks the same: a mount of twenty years has hundreds of marks on one page.

Every mark that matplotlib draws says again how it is coloured, and stands in a group of its own. Here lines of one
style that follow one another become one line with gaps, and what follows one another in one style says so once.
Nothing is drawn in another order.
"""

from collections.abc import Iterator
from itertools import groupby
from xml.etree.ElementTree import Element, fromstring, tostring

NAMESPACE = ' xmlns="http://www.w3.org/2000/svg"'
WORTH_A_GROUP = 3
_TEXTS = frozenset({"text", "title", "desc"})
_SHARED = ("style", "clip-path")


def compact(svg: str) -> str:
    """The same picture; the root has to name the namespace of SVG and no other."""
    root = fromstring(svg.replace(NAMESPACE, "", 1))
    _tidy(root)
    return tostring(root, encoding="unicode").replace("<svg", f"<svg{NAMESPACE}", 1)


def _tidy(element: Element) -> None:
    """From the inside outward, for a group is one mark only once what is in it has become one."""
    if element.tag in _TEXTS:
        element.tail = None
        return
    element.text = element.tail = None
    for child in element:
        _tidy(child)
    marks = [_only_mark(child) for child in element]
    element[:] = _grouped(_joined(mark for mark in marks if not _is_empty(mark)))


def _only_mark(element: Element) -> Element:
    """What is in a group that says nothing and holds one mark; else the element itself."""
    return element[0] if element.tag == "g" and not element.attrib and len(element) == 1 else element


def _is_empty(element: Element) -> bool:
    return element.tag == "g" and not len(element)


def _joined(marks: Iterator[Element]) -> Iterator[Element]:
    """Lines of one style that follow one another, as one; a filled one stays, for two could leave a hole together."""
    for style, run in groupby(marks, key=_line_style):
        first, *others = run
        if style is None:
            yield first
            yield from others
            continue
        first.set("d", " ".join(line.get("d", "").strip() for line in (first, *others)))
        yield first


def _line_style(mark: Element) -> tuple[tuple[str, str], ...] | None:
    """All that a line says but its course; None for anything else, and where lines that cross would look darker."""
    style = mark.get("style", "")
    if mark.tag != "path" or "id" in mark.attrib or "fill: none" not in style or "opacity" in style:
        return None
    if "dasharray" in style:
        return None
    return tuple(sorted((name, value) for name, value in mark.items() if name != "d"))


def _grouped(marks: Iterator[Element]) -> Iterator[Element]:
    for shared, run in groupby(marks, key=_shared):
        members = list(run)
        if shared is None or len(members) < WORTH_A_GROUP:
            yield from members
            continue
        group = Element("g", dict(shared))
        for member in members:
            for name, _ in shared:
                del member.attrib[name]
        group.extend(members)
        yield group


def _shared(mark: Element) -> tuple[tuple[str, str], ...] | None:
    """What a mark may leave to a group around it; a place of its own would move what it is clipped by as well."""
    if mark.tag not in ("path", "use") or "transform" in mark.attrib or "opacity" in mark.get("style", ""):
        return None
    return tuple((name, mark.attrib[name]) for name in _SHARED if name in mark.attrib) or None
