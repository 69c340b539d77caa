"""The little language of live text: which Jinja a Markdown body may use.

Bodies come by pull request, so the language is an allow-list of syntax, checked before anything
runs: calls of the vocabulary, `{% for %}` over lists and `range`, `{% if %}` on constants and loop
variables, `{% holds %}` on conditions about figures (`prose_holds`). No attributes, no filters, no
arithmetic (a figure is never worked out in prose), no
macros, no includes. The sandboxed environment behind it is the second wall.

* TooMuchError    raised inside a running text that loops, writes or takes too much
"""

import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches

from jinja2 import StrictUndefined, Template, TemplateSyntaxError, nodes
from jinja2.sandbox import ImmutableSandboxedEnvironment

from generator.pages.prose import holds_block

MOST_STEPS = 10_000
"""Turns of all loops of one text together."""
MOST_CHARACTERS = 500_000
"""Written by one text."""
MOST_HTML = 5_000_000
"""Characters of what its words stand for; a loop over a table or a chart writes much with little."""
MOST_FAULTS = 1000
"""Words used wrongly in one text, each turn of a loop counted."""
MOST_SECONDS = 20.0
MOST_NESTING = 12
"""Depth of loops, conditions and lists within each other."""

_PLAIN = (
    nodes.Template, nodes.Output, nodes.TemplateData, nodes.Const, nodes.List, nodes.Tuple,
    nodes.Keyword, nodes.If, nodes.CondExpr, nodes.Compare, nodes.Operand, nodes.And, nodes.Or,
    nodes.Not, nodes.Dict, nodes.Pair,
)  # fmt: skip
_LOOP_FACTS = frozenset({"index", "index0", "first", "last", "length", "revindex", "revindex0"})
_REFUSED = {
    nodes.BinExpr: "arithmetic has no place in prose",
    nodes.UnaryExpr: "arithmetic has no place in prose",
    nodes.Concat: "arithmetic has no place in prose",
    nodes.Filter: "filters have no place in prose",
    nodes.FilterBlock: "filters have no place in prose",
    nodes.Getattr: "attributes have no place in prose",
    nodes.Getitem: "attributes have no place in prose",
    nodes.Assign: "names cannot be set in prose",
    nodes.AssignBlock: "names cannot be set in prose",
    nodes.With: "names cannot be set in prose",
    nodes.Scope: "the escaping of values cannot be switched",
    nodes.Macro: "macros have no place in prose",
    nodes.CallBlock: "macros have no place in prose",
    nodes.Include: "one text cannot include another",
    nodes.Import: "one text cannot include another",
    nodes.FromImport: "one text cannot include another",
    nodes.Extends: "one text cannot include another",
    nodes.Block: "one text cannot include another",
}
_LINE = "line_"
"""Hidden argument that tells a word of the vocabulary on which line it stands."""


@dataclass(frozen=True)
class Fault:
    """One thing wrong in a body."""

    line: int
    """Of the body, counted from 1."""
    what: str
    mend: str
    fragment: str = ""
    """What to look for on that line; gives the column."""
    column: int = 0
    """Of that line, from 1, where it is known."""
    warning: bool = False
    """To be looked into, but nothing that stops a build."""


class TooMuchError(Exception):
    def __init__(self, line: int, what: str) -> None:
        super().__init__(what)
        self.line = line


@dataclass
class Budget:
    """Counts what a running text spends, and stops it."""

    steps: int = 0
    characters: int = 0
    html: int = 0
    faults: int = 0
    began: float = field(default_factory=time.monotonic)

    def watch(self, line: int) -> None:
        if time.monotonic() - self.began > MOST_SECONDS:
            raise TooMuchError(line, f"the text takes more than {MOST_SECONDS:g} seconds")

    def counted(self, items: Iterable[object], line: int) -> Iterator[object]:
        for item in items:
            self.step(line)
            yield item

    def step(self, line: int) -> None:
        """One turn of a loop, or one condition."""
        self.steps += 1
        if self.steps > MOST_STEPS:
            raise TooMuchError(line, f"the loops turn more than {MOST_STEPS} times")
        self.watch(line)

    def range(self, line: int, *bounds: int) -> range:
        if not 1 <= len(bounds) <= 3 or not all(isinstance(bound, int) for bound in bounds):
            raise TypeError("range takes one to three whole numbers")
        numbers = range(*bounds)
        if numbers[MOST_STEPS:]:
            raise TooMuchError(line, f"a range of more than {MOST_STEPS} numbers is too long")
        return numbers

    def stands_for(self, html: str, line: int) -> None:
        """A word was worked out."""
        self.html += len(html)
        if self.html > MOST_HTML:
            raise TooMuchError(
                line, f"the words of the text stand for more than {MOST_HTML} characters"
            )
        self.watch(line)

    def wrong(self, line: int) -> None:
        """A word was used wrongly, which has been noted."""
        self.faults += 1
        if self.faults >= MOST_FAULTS:
            raise TooMuchError(line, f"words are used wrongly {MOST_FAULTS} times")

    def written(self, piece: str, line: int) -> None:
        self.characters += len(piece)
        if self.characters > MOST_CHARACTERS:
            raise TooMuchError(line, f"the text writes more than {MOST_CHARACTERS} characters")
        self.watch(line)


def compiled(
    body: str, words: dict[str, Callable[..., object]]
) -> tuple[Template | None, list[Fault]]:
    """The body ready to run with those words, or everything in it that the language refuses.

    Each word is called with the keyword `line_`, and `counted_` of the words wraps every loop. A block `holds`
    calls `opened_` with its number in the body and its condition, and `closed_`.
    """
    environment = ImmutableSandboxedEnvironment(
        undefined=StrictUndefined,
        autoescape=True,
        keep_trailing_newline=True,
        trim_blocks=True,  # so that a loop's own lines leave no gaps in lists and tables
        lstrip_blocks=True,
        loader=None,
        extensions=[holds_block.Holds],
    )
    blocks: list[nodes.If] = []
    environment.extend(holds=blocks)
    environment.globals.clear()
    environment.filters.clear()
    environment.tests.clear()
    try:
        tree = environment.parse(body)
        check = _Check(frozenset(words), blocks)
        check.visit(tree, depth=0, names=frozenset())
        if check.faults:
            return None, check.faults
        holds_block.marked(blocks)
        _instrument(tree)
        code = environment.compile(tree)
    except TemplateSyntaxError as error:
        what = (error.message or "the template syntax is wrong").rstrip(".")
        mend = "Close every {{ with }} and every {% if %}, {% for %} or {% holds %} with its end"
        mend = "Write it in several texts" if "more than" in what else mend
        return None, [Fault(error.lineno, what, mend)]
    except (RecursionError, ValueError, OverflowError, MemoryError, SyntaxError):
        return None, [
            Fault(
                1,
                "the text is nested too deeply or holds a number too long to read",
                "Write it more simply",
            )
        ]
    return Template.from_code(environment, code, dict(words)), []


class _Check:
    """Walks the syntax tree once and notes everything outside the language."""

    def __init__(self, words: frozenset[str], blocks: Sequence[nodes.If]) -> None:
        self.words = words
        self._blocks = set(map(id, blocks))
        self.faults: list[Fault] = []
        self.line = 1
        """Last line met; some nodes of Jinja have none of their own."""

    def visit(self, node: nodes.Node, *, depth: int, names: frozenset[str]) -> None:
        self.line = node.lineno or self.line
        if depth > MOST_NESTING:
            self._fault(
                node,
                "lists, loops and conditions are nested too deeply",
                f"Keep to {MOST_NESTING} levels",
            )
            return
        match node:
            case nodes.Name():
                self._name(node, names)
            case nodes.Call():
                self._call(node, depth=depth, names=names)
            case nodes.If() if id(node) in self._blocks:
                self._holds(node, depth=depth, names=names)
            case nodes.For():
                self._loop(node, depth=depth, names=names)
            case nodes.Getattr(node=nodes.Name(name="loop"), attr=fact) if (
                fact in _LOOP_FACTS and "loop" in names
            ):
                pass
            case _ if isinstance(node, _PLAIN):
                for child in node.iter_child_nodes():
                    self.visit(child, depth=depth + 1, names=names)
            case _:
                what = next((said for kind, said in _REFUSED.items() if isinstance(node, kind)), "")
                self._fault(
                    node,
                    what or f"{type(node).__name__} is outside the language of live text",
                    "Use the words " + ", ".join(self._public()) + ", with for and if",
                )

    def _name(self, node: nodes.Name, names: frozenset[str]) -> None:
        if node.name in names or (node.name == "loop" and "loop" in names):
            return
        if node.name in self.words:
            self._fault(
                node,
                f"{node.name} is a word that wants arguments",
                f'Call it, such as {node.name}("…")',
                node.name,
            )
            return
        self._unknown(node, node.name, [*self._public(), *names])

    def _holds(self, node: nodes.If, *, depth: int, names: frozenset[str]) -> None:
        def call(word: nodes.Call) -> None:
            self._call(word, depth=depth, names=names, condition=True)

        holds_block.checked(node.test, call, self._fault)
        for child in node.body:
            self.visit(child, depth=depth + 1, names=names)

    def _call(
        self,
        node: nodes.Call,
        *,
        depth: int,
        names: frozenset[str],
        condition: bool = False,
    ) -> None:
        if not isinstance(node.node, nodes.Name):
            self._fault(
                node,
                "only the words of live text can be called",
                "Use " + ", ".join(self._public()),
            )
        elif not condition and node.node.name in holds_block.CONDITIONS:
            what = f"{node.node.name}() is a condition and says nothing by itself"
            mend = f"Write {{% holds {node.node.name}(…) %}}the sentence{{% endholds %}}"
            self._fault(node, what, mend, node.node.name)
        elif not condition and node.node.name not in self._public():
            self._unknown(node, node.node.name, self._public())
        if node.dyn_args or node.dyn_kwargs or any(pair.key.endswith("_") for pair in node.kwargs):
            self._fault(node, "arguments cannot be unpacked here", "Write each argument out")
        for child in (*node.args, *node.kwargs):
            self.visit(child, depth=depth + 1, names=names)

    def _loop(self, node: nodes.For, *, depth: int, names: frozenset[str]) -> None:
        if node.recursive:
            self._fault(node, "a loop cannot call itself", "Take `recursive` out")
        inner = names | {"loop"}
        for target in (
            [node.target] if isinstance(node.target, nodes.Name) else node.target.iter_child_nodes()
        ):
            if (
                not isinstance(target, nodes.Name)
                or target.name in self.words
                or target.name in {"loop", "self"}
            ):
                self._fault(
                    target,
                    "a loop needs a name of its own for what it runs over",
                    "Choose another name",
                )
            else:
                inner |= {target.name}
        self.visit(node.iter, depth=depth + 1, names=names)
        for child in (*([node.test] if node.test else ()), *node.body):
            self.visit(child, depth=depth + 1, names=inner)
        for child in node.else_:
            self.visit(child, depth=depth + 1, names=names)

    def _unknown(self, node: nodes.Node, name: str, known: Iterable[str]) -> None:
        known = sorted(known)
        close = get_close_matches(name, known, n=1)
        mend = f"Did you mean {close[0]}" if close else "Known are " + ", ".join(known)
        self._fault(node, f"{name!r} means nothing here", mend, name)

    def _public(self) -> list[str]:
        hidden = holds_block.CONDITIONS
        return sorted(word for word in self.words if not word.endswith("_") and word not in hidden)

    def _fault(self, node: nodes.Node, what: str, mend: str, fragment: str = "") -> None:
        self.faults.append(Fault(node.lineno or self.line, what, mend, fragment))


def _instrument(tree: nodes.Template) -> None:
    """Tell every word its line, and make every loop count its turns."""
    for loop in list(tree.find_all(nodes.For)):
        line = nodes.Keyword(_LINE, nodes.Const(loop.lineno), lineno=loop.lineno)
        counted = nodes.Name("counted_", "load", lineno=loop.lineno)
        loop.iter = nodes.Call(counted, [loop.iter], [line], None, None, lineno=loop.lineno)
    for call in tree.find_all(nodes.Call):
        if isinstance(call.node, nodes.Name) and call.node.name != "counted_":
            call.kwargs.append(nodes.Keyword(_LINE, nodes.Const(call.lineno), lineno=call.lineno))
