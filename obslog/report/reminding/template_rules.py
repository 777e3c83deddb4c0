"""What the template of a letter may hold: names, loops over the lists, conditions, and nothing that could do harm.

A template is somebody's file, and perhaps not the club's own. So it is not run and watched; what is not on the lists
below is refused before it runs. Without calls, assignments and sums of texts in loops there is no way to anything but
what was handed in, and no way to go on for ever: a loop runs over a list that is there, in another one at most, and
how often all loops of a letter turn is limited besides.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from obslog.errors import WrongInput

if TYPE_CHECKING:
    from jinja2 import nodes

FILTERS = ("days", "times", "listed", "length", "upper", "lower")
OF_A_LOOP = frozenset(("index", "first", "last"))
LONGEST_TEMPLATE = 20_000
DEEPEST_LOOP = 2
DEEPEST = 40
_PLAIN = (
    "Template Output TemplateData Const Name Getattr If For Filter Compare Operand And Or Not CondExpr List Tuple "
    "Add Sub Neg Concat"
)
ALLOWED = frozenset(_PLAIN.split())


@dataclass(frozen=True, slots=True, kw_only=True)
class Vocabulary:
    """What a kind of letter is told: texts and numbers by their names, lists of records, and what these have.

    `lists_within` are attributes that are lists themselves. `of` and `loops` say in a fault what there would be.
    """

    texts: tuple[str, ...]
    lists: tuple[str, ...] = ()
    attributes: frozenset[str] = frozenset()
    lists_within: tuple[str, ...] = ()
    of: str = "it"
    loops: str = "there are no lists here for a loop"


class TemplateFault(WrongInput):
    def __init__(self, where: str, line: int, why: str, command: str) -> None:
        super().__init__(
            f"The template {where}, line {line}: {why}.",
            f"See what a template may hold: {command} --write-template FILE",
        )


class NotAllowedInTemplate(Exception):
    """Something in a template that is not on the lists, with its line."""

    def __init__(self, line: int, why: str) -> None:
        super().__init__(why)
        self.line, self.why = line, why


def check(tree: "nodes.Template", may: Vocabulary) -> None:
    """Raises NotAllowedInTemplate at the first thing that a template of that kind of letter may not hold."""
    _check(tree, may, frozenset((*may.texts, *may.lists)), loops=0, depth=0)


def _check(node: "nodes.Node", may: Vocabulary, known: frozenset[str], *, loops: int, depth: int) -> None:
    from jinja2 import nodes

    kind = type(node).__name__
    if kind not in ALLOWED:
        raise NotAllowedInTemplate(node.lineno, f"{_IN_WORDS.get(kind, kind.casefold())} is not allowed")
    if depth > DEEPEST:
        raise NotAllowedInTemplate(node.lineno, "it is too deeply nested")
    if isinstance(node, nodes.For):
        _check_loop(node, may, known, loops=loops, depth=depth)
        return
    if isinstance(node, nodes.Name):
        _refuse_unknown(node.lineno, node.name, known, "is not known")
    elif isinstance(node, nodes.Getattr):
        _refuse_unknown(
            node.lineno, node.attr, may.attributes | OF_A_LOOP, f"is nothing that is told of {may.of}"
        )
    elif isinstance(node, nodes.Filter):
        _refuse_unknown(node.lineno, node.name, FILTERS, "cannot stand behind |")
    for child in node.iter_child_nodes():
        _check(child, may, known, loops=loops, depth=depth + 1)


def _check_loop(node: "nodes.For", may: Vocabulary, known: frozenset[str], *, loops: int, depth: int) -> None:
    from jinja2 import nodes

    if not isinstance(node.target, nodes.Name) or node.recursive:
        raise NotAllowedInTemplate(
            node.lineno, "a loop gives one name to each of a list, and does not call itself"
        )
    over = node.iter
    if not (
        (isinstance(over, nodes.Name) and over.name in may.lists)
        or (isinstance(over, nodes.Getattr) and over.attr in may.lists_within)
    ):
        raise NotAllowedInTemplate(node.lineno, may.loops)
    if loops == DEEPEST_LOOP:
        raise NotAllowedInTemplate(
            node.lineno, f"there are more than {DEEPEST_LOOP} loops within one another"
        )
    _check(node.iter, may, known, loops=loops, depth=depth + 1)
    inside = known | {node.target.name, "loop"}
    for child in (*([node.test] if node.test else []), *node.body, *node.else_):
        _check(child, may, inside, loops=loops + 1, depth=depth + 1)


def _refuse_unknown(line: int, name: str, known: Iterable[str], why: str) -> None:
    if name not in known:
        raise NotAllowedInTemplate(line, f"{name[:40]!r} {why}")


_IN_WORDS = {
    "Call": "a call",
    "Getitem": "a subscript",
    "Assign": "set",
    "AssignBlock": "set",
    "Include": "include",
    "Import": "import",
    "FromImport": "import",
    "Extends": "extends",
    "Mul": "multiplying",
    "Pow": "a power",
    "Mod": "%",
    "Div": "dividing",
    "FloorDiv": "dividing",
    "Test": "a test with is",
}
