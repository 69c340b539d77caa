"""The language of live text: which Jinja a Markdown body may use.

Bodies come by pull request, so the language is an allow-list of syntax, checked before anything
runs: calls of the vocabulary, `{% for %}` over lists and `range`, `{% if %}` on constants and loop
variables, `{% holds %}` on conditions about figures (`holds_block`). No attributes, no filters, no
arithmetic (figures are not computed in prose), no macros, no includes. A sandboxed environment is
the second line of defence.

* TextFault           one thing wrong in a body
* OverBudgetError    raised while a text runs that loops, writes or takes too much
* Budget          what a running text has used, with its limits
* compile_body        a body as a template, or the faults in it
"""

import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches

from jinja2 import StrictUndefined, Template, TemplateSyntaxError, nodes
from jinja2.sandbox import ImmutableSandboxedEnvironment

from generator.pages.prose import holds_block

MOST_STEPS = 10_000
"""Most iterations of all loops of one text together."""
MOST_CHARACTERS = 500_000
"""Most characters written by one text."""
MOST_HTML = 5_000_000
"""Most characters of HTML from the words of one text; a loop over tables or charts produces much."""
MOST_FAULTS = 1000
"""Most wrong uses of words in one text; each iteration of a loop counts."""
MOST_SECONDS = 20.0
MOST_NESTING = 12
"""Deepest nesting of loops, conditions and lists."""

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
"""Hidden argument with the line on which a word of the vocabulary stands."""


@dataclass(frozen=True)
class TextFault:
    """One thing wrong in a body."""

    line: int
    """Line in the body, from 1."""
    what: str
    mend: str
    fragment: str = ""
    """Text to search for on that line to find the column."""
    column: int = 0
    """Column in that line, from 1; 0 if not known."""
    warning: bool = False
    """Whether it is reported without stopping a build."""


class OverBudgetError(Exception):
    def __init__(self, line: int, what: str) -> None:
        super().__init__(what)
        self.line = line


@dataclass
class Budget:
    """Counts what a running text uses; raises TooMuchError at a limit."""

    steps: int = 0
    characters: int = 0
    html: int = 0
    faults: int = 0
    began: float = field(default_factory=time.monotonic)

    def check_time(self, line: int) -> None:
        if time.monotonic() - self.began > MOST_SECONDS:
            raise OverBudgetError(line, f"the text takes more than {MOST_SECONDS:g} seconds")

    def count_items(self, items: Iterable[object], line: int) -> Iterator[object]:
        for item in items:
            self.count_step(line)
            yield item

    def count_step(self, line: int) -> None:
        """Count one iteration of a loop, or one condition."""
        self.steps += 1
        if self.steps > MOST_STEPS:
            raise OverBudgetError(line, f"the loops turn more than {MOST_STEPS} times")
        self.check_time(line)

    def make_range(self, line: int, *bounds: int) -> range:
        if not 1 <= len(bounds) <= 3 or not all(isinstance(bound, int) for bound in bounds):
            raise TypeError("range takes one to three whole numbers")
        numbers = range(*bounds)
        if numbers[MOST_STEPS:]:
            raise OverBudgetError(line, f"a range of more than {MOST_STEPS} numbers is too long")
        return numbers

    def count_html(self, html: str, line: int) -> None:
        """Count the HTML of a word."""
        self.html += len(html)
        if self.html > MOST_HTML:
            raise OverBudgetError(
                line, f"the words of the text stand for more than {MOST_HTML} characters"
            )
        self.check_time(line)

    def count_fault(self, line: int) -> None:
        """Count a wrong use of a word."""
        self.faults += 1
        if self.faults >= MOST_FAULTS:
            raise OverBudgetError(line, f"words are used wrongly {MOST_FAULTS} times")

    def count_characters(self, piece: str, line: int) -> None:
        self.characters += len(piece)
        if self.characters > MOST_CHARACTERS:
            raise OverBudgetError(line, f"the text writes more than {MOST_CHARACTERS} characters")
        self.check_time(line)


def compile_body(
    body: str, words: dict[str, Callable[..., object]]
) -> tuple[Template | None, list[TextFault]]:
    """The body as a template that can call these words, or the faults in it.

    Each word is called with the keyword `line_`, and the word `counted_` wraps every loop. A `holds` block calls
    `opened_` with its number in the body and its condition, then `closed_`.
    """
    environment = ImmutableSandboxedEnvironment(
        undefined=StrictUndefined,
        autoescape=True,
        keep_trailing_newline=True,
        trim_blocks=True,  # so that a loop's own lines leave no gaps in lists and tables
        lstrip_blocks=True,
        loader=None,
        extensions=[holds_block.HoldsExtension],
    )
    blocks: list[nodes.If] = []
    environment.extend(holds=blocks)
    environment.globals.clear()
    environment.filters.clear()
    environment.tests.clear()
    try:
        tree = environment.parse(body)
        check = _SyntaxCheck(frozenset(words), blocks)
        check.visit(tree, depth=0, names=frozenset())
        if check.faults:
            return None, check.faults
        holds_block.mark_blocks(blocks)
        _add_line_arguments(tree)
        code = environment.compile(tree)
    except TemplateSyntaxError as error:
        what = (error.message or "the template syntax is wrong").rstrip(".")
        mend = "Close every {{ with }} and every {% if %}, {% for %} or {% holds %} with its end"
        mend = "Write it in several texts" if "more than" in what else mend
        return None, [TextFault(error.lineno, what, mend)]
    except (RecursionError, ValueError, OverflowError, MemoryError, SyntaxError):
        return None, [
            TextFault(
                1,
                "the text is nested too deeply or holds a number too long to read",
                "Write it more simply",
            )
        ]
    return Template.from_code(environment, code, dict(words)), []


class _SyntaxCheck:
    """Walks the syntax tree once and collects whatever is outside the language."""

    def __init__(self, words: frozenset[str], blocks: Sequence[nodes.If]) -> None:
        self.words = words
        self._blocks = set(map(id, blocks))
        self.faults: list[TextFault] = []
        self.line = 1
        """Line of the last node that had one; some nodes of Jinja have none."""

    def visit(self, node: nodes.Node, *, depth: int, names: frozenset[str]) -> None:
        self.line = node.lineno or self.line
        if depth > MOST_NESTING:
            self._report_fault(
                node,
                "lists, loops and conditions are nested too deeply",
                f"Keep to {MOST_NESTING} levels",
            )
            return
        match node:
            case nodes.Name():
                self._check_name(node, names)
            case nodes.Call():
                self._check_call(node, depth=depth, names=names)
            case nodes.If() if id(node) in self._blocks:
                self._check_holds(node, depth=depth, names=names)
            case nodes.For():
                self._check_loop(node, depth=depth, names=names)
            case nodes.Getattr(node=nodes.Name(name="loop"), attr=fact) if (
                fact in _LOOP_FACTS and "loop" in names
            ):
                pass
            case _ if isinstance(node, _PLAIN):
                for child in node.iter_child_nodes():
                    self.visit(child, depth=depth + 1, names=names)
            case _:
                what = next((said for kind, said in _REFUSED.items() if isinstance(node, kind)), "")
                self._report_fault(
                    node,
                    what or f"{type(node).__name__} is outside the language of live text",
                    "Use the words " + ", ".join(self._list_words()) + ", with for and if",
                )

    def _check_name(self, node: nodes.Name, names: frozenset[str]) -> None:
        if node.name in names or (node.name == "loop" and "loop" in names):
            return
        if node.name in self.words:
            self._report_fault(
                node,
                f"{node.name} is a word that wants arguments",
                f'Call it, such as {node.name}("…")',
                node.name,
            )
            return
        self._report_unknown(node, node.name, [*self._list_words(), *names])

    def _check_holds(self, node: nodes.If, *, depth: int, names: frozenset[str]) -> None:
        def check_word(word: nodes.Call) -> None:
            self._check_call(word, depth=depth, names=names, condition=True)

        holds_block.check_condition(node.test, check_word, self._report_fault)
        for child in node.body:
            self.visit(child, depth=depth + 1, names=names)

    def _check_call(
        self,
        node: nodes.Call,
        *,
        depth: int,
        names: frozenset[str],
        condition: bool = False,
    ) -> None:
        if not isinstance(node.node, nodes.Name):
            self._report_fault(
                node,
                "only the words of live text can be called",
                "Use " + ", ".join(self._list_words()),
            )
        elif not condition and node.node.name in holds_block.CONDITIONS:
            what = f"{node.node.name}() is a condition and says nothing by itself"
            mend = f"Write {{% holds {node.node.name}(…) %}}the sentence{{% endholds %}}"
            self._report_fault(node, what, mend, node.node.name)
        elif not condition and node.node.name not in self._list_words():
            self._report_unknown(node, node.node.name, self._list_words())
        if node.dyn_args or node.dyn_kwargs or any(pair.key.endswith("_") for pair in node.kwargs):
            self._report_fault(node, "arguments cannot be unpacked here", "Write each argument out")
        for child in (*node.args, *node.kwargs):
            self.visit(child, depth=depth + 1, names=names)

    def _check_loop(self, node: nodes.For, *, depth: int, names: frozenset[str]) -> None:
        if node.recursive:
            self._report_fault(node, "a loop cannot call itself", "Take `recursive` out")
        inner = names | {"loop"}
        for target in (
            [node.target] if isinstance(node.target, nodes.Name) else node.target.iter_child_nodes()
        ):
            if (
                not isinstance(target, nodes.Name)
                or target.name in self.words
                or target.name in {"loop", "self"}
            ):
                self._report_fault(
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

    def _report_unknown(self, node: nodes.Node, name: str, known: Iterable[str]) -> None:
        known = sorted(known)
        close = get_close_matches(name, known, n=1)
        mend = f"Did you mean {close[0]}" if close else "Known are " + ", ".join(known)
        self._report_fault(node, f"{name!r} means nothing here", mend, name)

    def _list_words(self) -> list[str]:
        hidden = holds_block.CONDITIONS
        return sorted(word for word in self.words if not word.endswith("_") and word not in hidden)

    def _report_fault(self, node: nodes.Node, what: str, mend: str, fragment: str = "") -> None:
        self.faults.append(TextFault(node.lineno or self.line, what, mend, fragment))


def _add_line_arguments(tree: nodes.Template) -> None:
    """Pass each word its line, and make each loop count its iterations."""
    for loop in list(tree.find_all(nodes.For)):
        line = nodes.Keyword(_LINE, nodes.Const(loop.lineno), lineno=loop.lineno)
        counted = nodes.Name("counted_", "load", lineno=loop.lineno)
        loop.iter = nodes.Call(counted, [loop.iter], [line], None, None, lineno=loop.lineno)
    for call in tree.find_all(nodes.Call):
        if isinstance(call.node, nodes.Name) and call.node.name != "counted_":
            call.kwargs.append(nodes.Keyword(_LINE, nodes.Const(call.lineno), lineno=call.lineno))
