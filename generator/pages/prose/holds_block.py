"""The block `{% holds CONDITION %}sentence{% endholds %}`: its syntax, and what becomes of it on the page.

* Holds        the tag for Jinja
* checked      everything in a condition that is outside the language
* marked       blocks rewritten, so that a running text says where each begins and ends
* settled      the Markdown with the sentences that do not hold taken out without a trace

A condition is `least(…)`, `most(…)`, `only(…)`, `meets(…)`, or `number_of(…)` compared with whole numbers;
with `and`, `or` and `not`. It is judged while the text is written, between two marks. Its words may be asked
nowhere else, so a sentence that depends on figures is always one that is tested.
"""

import re
from collections.abc import Callable, Iterator, Sequence
from typing import Any

from jinja2 import nodes
from jinja2.ext import Extension
from jinja2.parser import Parser

CONDITIONS = ("least", "most", "only", "meets", "number_of")
JOINTS = {nodes.And: "all_", nodes.Or: "any_"}
MOST = 1000
"""Blocks in one text; Jinja takes some milliseconds for each."""
USAGE = 'Write a condition such as least("bike", "spec.mass", where={"use": "city"})'

_OPEN, _CLOSE, _END = "\ue002", "\ue003", "\ue004"
_MARK = re.compile(f"([{_OPEN}{_CLOSE}])(\\d{{1,6}}){_END}")
_GONE = "\ue005"
_STRAY = re.compile("[\ue002-\ue005]")
_HIDING = re.compile(r"\{%[-+]?\s*raw\s*[-+]?%\}|\{#")
_SHOWN_AGAIN = {"%": re.compile(r"\{%[-+]?\s*endraw\s*[-+]?%\}"), "#": re.compile("#}")}
_TAG = re.compile(r"\{%[-+]?\s*holds\b")
_END_TAG = re.compile(r"(?m)(\{%[-+]?\s*endholds\s*)%\}$")
_LEAD = re.compile(r"[ \t]*(?:(?:[-*+]|\d+[.)]|>|#{1,6}|:)[ \t]*)*")
_ITEM = re.compile(r"[ \t]*(?:[-*+]|\d+[.)]|>|#{1,6})[ \t]")


class Holds(Extension):
    """Reads the tag; the environment's `holds` lists its blocks in the order in which they begin."""

    tags = {"holds"}  # noqa: RUF012 - Jinja's own way

    def preprocess(self, source: str, name: str | None, filename: str | None = None) -> str:
        """Keep the line's end after a block that ends a line, which `trim_blocks` would take."""
        hidden = set(_hidden(source))

        def kept(tag: re.Match[str]) -> str:
            before = source[source.rfind("\n", 0, tag.start()) + 1 : tag.start()]
            inside = any(start < tag.start() < end for start, end in hidden)
            return f"{tag[1]}+%}}" if before.strip() and not inside else tag[0]

        return _END_TAG.sub(kept, source)

    def parse(self, parser: Parser) -> nodes.Node:
        blocks: list[nodes.If] = self.environment.holds  # type: ignore[attr-defined]  # added by `environment.extend`
        block = nodes.If(lineno=next(parser.stream).lineno)
        blocks.append(block)
        if len(blocks) > MOST:
            parser.fail(f"the text holds more than {MOST} tested sentences", block.lineno)
        if parser.stream.current.test("block_end"):
            parser.fail("this block states no condition", block.lineno)
        block.test = parser.parse_expression()
        block.body = parser.parse_statements(("name:endholds",), drop_needle=True)
        block.elif_, block.else_ = [], []
        return block


def columns(body: str) -> list[int]:
    """Column of each block of a body, from 1, in the order in which they begin."""
    hidden = _hidden(body)
    starts = [
        found.start()
        for found in _TAG.finditer(body)
        if not any(start < found.start() < end for start, end in hidden)
    ]
    return [start - body.rfind("\n", 0, start) for start in starts]


def checked(
    condition: nodes.Node, call: Callable[[nodes.Call], None], fault: Callable[..., None]
) -> None:
    """Walk a condition: each call of its words goes to `call`, what is outside the language to `fault`."""
    for node, place in _parts(condition, 0):
        if place == "deep":
            fault(node, "the condition is nested too deeply", "Write two blocks, or fewer words")
        elif place == "compared":
            _comparison(node, fault)
        elif isinstance(node, nodes.Call) and _name(node) in CONDITIONS:
            if _name(node) == "number_of" and place != "number":
                mend = 'Write such as number_of({"use": "cargo"}) == 3'
                fault(node, "number_of() is not compared with anything", mend, "number_of")
            call(node)
        else:
            fault(node, "the condition is not one that can be tested", USAGE, "holds")


def marked(blocks: Sequence[nodes.If]) -> None:
    """Let each block say where it begins, with its condition, and where it ends."""
    for index, block in enumerate(blocks):
        line = block.lineno
        begin = _call("opened_", [nodes.Const(index), _joined(block.test)], line)
        end = _call("closed_", [], line)
        block.test = nodes.Const(True, lineno=line)
        block.body = [
            nodes.Output([begin], lineno=line),
            *block.body,
            nodes.Output([end], lineno=line),
        ]


def opening(number: int) -> str:
    return f"{_OPEN}{number}{_END}"


def closing(number: int) -> str:
    return f"{_CLOSE}{number}{_END}"


def settled(markdown: str, keep: Sequence[bool]) -> tuple[str, dict[int, str]]:
    """The Markdown without the blocks that are not kept, and what stood in each block.

    `keep` says it of each block in the order in which they ran.
    """
    out: list[str] = []
    inside: dict[int, list[str]] = {}
    running: list[int] = []
    end = 0

    def add(text: str) -> None:
        text = _STRAY.sub("", text)
        for number in running:
            inside[number].append(text)
        if all(keep[number] for number in running):
            out.append(text)

    for mark in _MARK.finditer(markdown):
        add(markdown[end : mark.start()])
        end, number = mark.end(), int(mark[2])
        if mark[1] == _OPEN and number < len(keep) and number not in inside:
            running.append(number)
            inside[number] = []
        elif mark[1] == _CLOSE and running[-1:] == [number]:
            running.pop()
            if not keep[number] and all(keep[above] for above in running):
                out.append(_GONE)
    add(markdown[end:])
    whole = "".join(out)
    texts = {number: " ".join("".join(parts).split()) for number, parts in inside.items()}
    return (_without_traces(whole) if _GONE in whole else whole), texts


def _hidden(source: str) -> list[tuple[int, int]]:
    """Where a body shows tags as they are written, or hides them: its raw parts and comments."""
    spans = []
    end = 0
    while opener := _HIDING.search(source, end):
        closer = _SHOWN_AGAIN[opener[0][1]].search(source, opener.end())
        end = closer.end() if closer else len(source)
        spans.append((opener.start(), end))
    return spans


def _without_traces(markdown: str) -> str:
    """A line of which nothing is left but its bullet goes, unless its paragraph runs on."""
    lines = markdown.split("\n")
    out = []
    for number, line in enumerate(lines):
        if _GONE in line:
            line = line.replace(_GONE, "")
            after = lines[number + 1] if number + 1 < len(lines) else ""
            runs_on = after.replace(_GONE, "").strip() and not _ITEM.match(after)
            bare = _LEAD.fullmatch(line)
            if bare and not (runs_on and line.strip()):
                continue
        out.append(line)
    return "\n".join(out)


def _parts(node: nodes.Node, depth: int) -> Iterator[tuple[Any, str]]:
    """The leaves of a condition, each with its place: alone, compared, or the number that is compared."""
    if depth > 12:
        yield node, "deep"
    elif isinstance(node, (nodes.And, nodes.Or)):
        yield from _parts(node.left, depth + 1)
        yield from _parts(node.right, depth + 1)
    elif isinstance(node, nodes.Not):
        yield from _parts(node.node, depth + 1)
    elif isinstance(node, nodes.Compare):
        yield node, "compared"
        if isinstance(node.expr, nodes.Call) and _name(node.expr) == "number_of":
            yield node.expr, "number"
    else:
        yield node, "alone"


def _comparison(node: nodes.Compare, fault: Callable[..., None]) -> None:
    number = isinstance(node.expr, nodes.Call) and _name(node.expr) == "number_of"
    whole = all(
        each.op in ("eq", "ne", "gt", "gteq", "lt", "lteq")
        and isinstance(each.expr, nodes.Const)
        and isinstance(each.expr.value, int)
        and not isinstance(each.expr.value, bool)
        for each in node.ops
    )
    if not (number and whole):
        mend = 'Write such as number_of({"use": "cargo"}) >= 3'
        fault(node, "only number_of() is compared, and with whole numbers", mend, "holds")


def _joined(node: nodes.Node) -> nodes.Expr:
    """The condition as calls, since `and`, `or` and `not` of Python know no third answer."""
    line = node.lineno
    match node:
        case nodes.And() | nodes.Or():
            return _call(JOINTS[type(node)], [_joined(node.left), _joined(node.right)], line)
        case nodes.Not():
            return _call("not_", [_joined(node.node)], line)
        case nodes.Compare():
            sides = [each for op in node.ops for each in (nodes.Const(op.op), op.expr)]
            return _call("compared_", [node.expr, *sides], line)
    assert isinstance(node, nodes.Call)
    return node


def _call(name: str, arguments: list[nodes.Expr], line: int) -> nodes.Call:
    word = nodes.Name(name, "load", lineno=line)
    return nodes.Call(word, arguments, [], None, None, lineno=line)


def _name(call: nodes.Call) -> str:
    return call.node.name if isinstance(call.node, nodes.Name) else ""
