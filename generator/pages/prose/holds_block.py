"""The block `{% holds CONDITION %}sentence{% endholds %}`: its syntax, and how untrue sentences are removed.

* HoldsExtension        the tag for Jinja
* find_columns      column of each block in a body
* check_condition      reports whatever in a condition is outside the language
* mark_blocks       rewrites blocks so that the output marks where each begins and ends
* remove_blocks      the Markdown without the sentences that do not hold

A condition is `least(…)`, `most(…)`, `only(…)`, `meets(…)`, or `number_of(…)` compared with whole numbers;
with `and`, `or` and `not`. It is evaluated while the text is rendered, between two marks. Its words are allowed
nowhere else, so a sentence that depends on figures is always tested.
"""

import re
from collections.abc import Callable, Iterator, Sequence
from typing import Any

from jinja2 import nodes
from jinja2.ext import Extension
from jinja2.parser import Parser

CONDITIONS = ("least", "most", "only", "meets", "number_of")
JOINTS = {nodes.And: "all_", nodes.Or: "any_"}
MOST_BLOCKS = 1000
"""Most blocks in one text; Jinja takes some milliseconds for each."""
USAGE = 'Write a condition such as least("bike", "spec.mass", where={"use": "city"})'

_OPEN, _CLOSE, _END = "\ue002", "\ue003", "\ue004"
_MARK = re.compile(f"([{_OPEN}{_CLOSE}])(\\d{{1,6}}){_END}")
_REMOVED = "\ue005"
_STRAY = re.compile("[\ue002-\ue005]")
_HIDING = re.compile(r"\{%[-+]?\s*raw\s*[-+]?%\}|\{#")
_SHOWN_AGAIN = {"%": re.compile(r"\{%[-+]?\s*endraw\s*[-+]?%\}"), "#": re.compile("#}")}
_TAG = re.compile(r"\{%[-+]?\s*holds\b")
_END_TAG = re.compile(r"(?m)(\{%[-+]?\s*endholds\s*)%\}$")
_LEAD = re.compile(r"[ \t]*(?:(?:[-*+]|\d+[.)]|>|#{1,6}|:)[ \t]*)*")
_ITEM = re.compile(r"[ \t]*(?:[-*+]|\d+[.)]|>|#{1,6})[ \t]")


class HoldsExtension(Extension):
    """Parses the tag; the environment's `holds` lists the blocks in the order in which they begin."""

    tags = {"holds"}  # noqa: RUF012 - Jinja's own way

    def preprocess(self, source: str, name: str | None, filename: str | None = None) -> str:
        """Keep the line break after a block at the end of a line, which `trim_blocks` would remove."""
        hidden = set(_find_hidden(source))

        def keep_line_end(tag: re.Match[str]) -> str:
            before = source[source.rfind("\n", 0, tag.start()) + 1 : tag.start()]
            inside = any(start < tag.start() < end for start, end in hidden)
            return f"{tag[1]}+%}}" if before.strip() and not inside else tag[0]

        return _END_TAG.sub(keep_line_end, source)

    def parse(self, parser: Parser) -> nodes.Node:
        blocks: list[nodes.If] = self.environment.holds  # type: ignore[attr-defined]  # added by `environment.extend`
        block = nodes.If(lineno=next(parser.stream).lineno)
        blocks.append(block)
        if len(blocks) > MOST_BLOCKS:
            parser.fail(f"the text holds more than {MOST_BLOCKS} tested sentences", block.lineno)
        if parser.stream.current.test("block_end"):
            parser.fail("this block states no condition", block.lineno)
        block.test = parser.parse_expression()
        block.body = parser.parse_statements(("name:endholds",), drop_needle=True)
        block.elif_, block.else_ = [], []
        return block


def find_columns(body: str) -> list[int]:
    """Column of each block in a body, from 1, in the order in which they begin."""
    hidden = _find_hidden(body)
    starts = [
        found.start()
        for found in _TAG.finditer(body)
        if not any(start < found.start() < end for start, end in hidden)
    ]
    return [start - body.rfind("\n", 0, start) for start in starts]


def check_condition(
    condition: nodes.Node, call: Callable[[nodes.Call], None], fault: Callable[..., None]
) -> None:
    """Walk a condition; pass each call of a word to `call` and whatever is outside the language to `fault`."""
    for node, place in _walk_operands(condition, 0):
        if place == "deep":
            fault(node, "the condition is nested too deeply", "Write two blocks, or fewer words")
        elif place == "compared":
            _check_comparison(node, fault)
        elif isinstance(node, nodes.Call) and _read_name(node) in CONDITIONS:
            if _read_name(node) == "number_of" and place != "number":
                mend = 'Write such as number_of({"use": "cargo"}) == 3'
                fault(node, "number_of() is not compared with anything", mend, "number_of")
            call(node)
        else:
            fault(node, "the condition is not one that can be tested", USAGE, "holds")


def mark_blocks(blocks: Sequence[nodes.If]) -> None:
    """Rewrite each block to emit a mark at its beginning, with its condition, and one at its end."""
    for index, block in enumerate(blocks):
        line = block.lineno
        begin = _make_call("opened_", [nodes.Const(index), _join_calls(block.test)], line)
        end = _make_call("closed_", [], line)
        block.test = nodes.Const(True, lineno=line)
        block.body = [
            nodes.Output([begin], lineno=line),
            *block.body,
            nodes.Output([end], lineno=line),
        ]


def format_opening(number: int) -> str:
    return f"{_OPEN}{number}{_END}"


def format_closing(number: int) -> str:
    return f"{_CLOSE}{number}{_END}"


def remove_blocks(markdown: str, keep: Sequence[bool]) -> tuple[str, dict[int, str]]:
    """The Markdown without the blocks that are not kept, and the text of each block by number.

    `keep` has a value for each block in the order in which they ran.
    """
    out: list[str] = []
    inside: dict[int, list[str]] = {}
    running: list[int] = []
    end = 0

    def add_text(text: str) -> None:
        text = _STRAY.sub("", text)
        for number in running:
            inside[number].append(text)
        if all(keep[number] for number in running):
            out.append(text)

    for mark in _MARK.finditer(markdown):
        add_text(markdown[end : mark.start()])
        end, number = mark.end(), int(mark[2])
        if mark[1] == _OPEN and number < len(keep) and number not in inside:
            running.append(number)
            inside[number] = []
        elif mark[1] == _CLOSE and running[-1:] == [number]:
            running.pop()
            if not keep[number] and all(keep[above] for above in running):
                out.append(_REMOVED)
    add_text(markdown[end:])
    whole = "".join(out)
    texts = {number: " ".join("".join(parts).split()) for number, parts in inside.items()}
    return (_remove_traces(whole) if _REMOVED in whole else whole), texts


def _find_hidden(source: str) -> list[tuple[int, int]]:
    """Start and end of the raw parts and comments of a body, whose tags are not run."""
    spans = []
    end = 0
    while opener := _HIDING.search(source, end):
        closer = _SHOWN_AGAIN[opener[0][1]].search(source, opener.end())
        end = closer.end() if closer else len(source)
        spans.append((opener.start(), end))
    return spans


def _remove_traces(markdown: str) -> str:
    """Drop each line of which only its bullet is left, unless its paragraph runs on."""
    lines = markdown.split("\n")
    out = []
    for number, line in enumerate(lines):
        if _REMOVED in line:
            line = line.replace(_REMOVED, "")
            after = lines[number + 1] if number + 1 < len(lines) else ""
            runs_on = after.replace(_REMOVED, "").strip() and not _ITEM.match(after)
            bare = _LEAD.fullmatch(line)
            if bare and not (runs_on and line.strip()):
                continue
        out.append(line)
    return "\n".join(out)


def _walk_operands(node: nodes.Node, depth: int) -> Iterator[tuple[Any, str]]:
    """The operands of a condition, each with its role: alone, compared, number (being compared) or deep (too nested)."""
    if depth > 12:
        yield node, "deep"
    elif isinstance(node, (nodes.And, nodes.Or)):
        yield from _walk_operands(node.left, depth + 1)
        yield from _walk_operands(node.right, depth + 1)
    elif isinstance(node, nodes.Not):
        yield from _walk_operands(node.node, depth + 1)
    elif isinstance(node, nodes.Compare):
        yield node, "compared"
        if isinstance(node.expr, nodes.Call) and _read_name(node.expr) == "number_of":
            yield node.expr, "number"
    else:
        yield node, "alone"


def _check_comparison(node: nodes.Compare, fault: Callable[..., None]) -> None:
    number = isinstance(node.expr, nodes.Call) and _read_name(node.expr) == "number_of"
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


def _join_calls(node: nodes.Node) -> nodes.Expr:
    """The condition as calls, because Python's `and`, `or` and `not` have no third value."""
    line = node.lineno
    match node:
        case nodes.And() | nodes.Or():
            return _make_call(
                JOINTS[type(node)], [_join_calls(node.left), _join_calls(node.right)], line
            )
        case nodes.Not():
            return _make_call("not_", [_join_calls(node.node)], line)
        case nodes.Compare():
            sides = [each for op in node.ops for each in (nodes.Const(op.op), op.expr)]
            return _make_call("compared_", [node.expr, *sides], line)
    assert isinstance(node, nodes.Call)
    return node


def _make_call(name: str, arguments: list[nodes.Expr], line: int) -> nodes.Call:
    word = nodes.Name(name, "load", lineno=line)
    return nodes.Call(word, arguments, [], None, None, lineno=line)


def _read_name(call: nodes.Call) -> str:
    return call.node.name if isinstance(call.node, nodes.Name) else ""
