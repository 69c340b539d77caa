"""The parser's complaint about broken YAML, in words for people who do not know YAML."""

import re
from typing import Any

import yaml

from generator.specs.problems import Problem
from generator.specs.yaml.lines import (
    after_quote,
    bare,
    colon_in_text,
    colon_slip,
    comment_rest,
    further_in,
    no_comma,
    no_dash,
    open_quote,
    without_colon,
)
from generator.specs.yaml.located import shown

ADVICE: tuple[tuple[str, str, str], ...] = (
    (
        r"mapping values are not allowed|nested mappings|mapping keys are not allowed",
        "a colon stands where none is expected",
        "Put text that holds ': ' in quotes, give lines that belong together the same indent,"
        " and see that the line above is complete",
    ),
    (
        r"end of stream|while scanning a quoted scalar|document separator",
        "a quotation mark is opened and not closed",
        "Close it with the same mark on the same line",
    ),
    (
        r"flow (?:sequence|mapping)|expected ',' or",
        "a bracket is opened and not closed, or a comma is missing",
        "Close it with ] or }, and set commas between the parts",
    ),
    (
        r"could not find expected ':'|simple key",
        "this line has no colon",
        "Write key: value, with a space after the colon",
    ),
    (
        r"block sequence entries|sequence entries are not allowed",
        "a dash stands where no list is expected",
        "Begin the list on the line after its key, with the dashes under one another",
    ),
    (
        r"escape",
        "a backslash in double quotes means something special",
        "Use single quotes around this text",
    ),
    (
        r"directive|incompatible YAML",
        "a line that begins with % has a special meaning",
        "Put the text in quotes, or delete the line",
    ),
    (
        r"max depth|nesting|recursion",
        "the brackets are nested too deep",
        "Close each bracket with ] or }",
    ),
    (
        r"undefined alias|undefined tag|alias|anchor|tag",
        "the signs *, & and ! have a special meaning at the beginning of a text",
        "Put the text in quotes",
    ),
    (
        r"did not find expected|expected <block end>|block (?:mapping|collection)",
        "this line does not fit to the lines above it",
        "Give keys that belong together the same indent, and put text with signs in quotes",
    ),
)


def advice(error: yaml.YAMLError, text: str, file: str, first_line: int, loader: Any) -> Problem:
    """A problem for a file that is not YAML, with its line and what to do.

    `loader` is the class of PyYAML that gave the error.
    """
    mark: Any = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    if mark is None:
        what = "this is not YAML text"
        return Problem(file, first_line, 1, what, "Write lines such as 'name: Fenno'")
    lines = text.splitlines() or [""]
    if found := _slip(error, text, file, first_line, loader):
        return found
    number = min(mark.line, len(lines) - 1)
    line = lines[number]
    what, mend = _words(f"{getattr(error, 'context', '')}; {getattr(error, 'problem', '')}", line)
    opened: Any = getattr(error, "context_mark", None)
    if opened is not None and opened.line < number:
        what += f" (it begins on line {opened.line + first_line})"
    if line.strip():
        what += f": {shown(line.strip(), 60)}"
    return Problem(file, number + first_line, mark.column + 1, what, mend)


def _slip(
    error: yaml.YAMLError, text: str, file: str, first_line: int, loader: Any
) -> Problem | None:
    """A slip with a place and a mend of its own, often lines above the parser's complaint."""
    mark: Any = getattr(error, "problem_mark", None)
    lines = text.splitlines()
    if mark is None or not lines:
        return None
    if spot := open_quote(error, text, lines, loader):
        line = spot[0] + first_line
        what = f"a quotation mark opened on line {line} is never closed"
        what += f": {shown(lines[spot[0]].strip(), 60)}"
        return Problem(file, line, spot[1] + 1, what, "Close it, or delete it")
    if (at := comment_rest(lines, mark.line)) is not None:
        what = f"this looks like the rest of a comment: {shown(lines[at].strip(), 60)}"
        start = lines[at].index(lines[at].strip()) + 1
        return Problem(file, at + first_line, start, what, "Put # before it")
    if (at := no_dash(lines, mark.line)) is not None:
        start = lines[at].index("{")
        what, mend = "a dash is missing", f"Write {shown('- ' + bare(lines[at]))}"
        return Problem(file, at + first_line, start + 1, what, mend)
    if slip := no_comma(lines[min(mark.line, len(lines) - 1)]):
        return Problem(file, mark.line + first_line, mark.column + 1, *slip)
    if after_quote(error, text, lines, loader):
        what = "text stands after a closing quotation mark"
        what += f": {shown(lines[mark.line].strip(), 60)}"
        mend = "Put the whole text in double quotes, or leave the quotation marks out"
        return Problem(file, mark.line + first_line, mark.column + 1, what, mend)
    if found := colon_in_text(error, lines):
        number = min(mark.line, len(lines) - 1)
        start = lines[number].index(bare(lines[number])) + 1
        return Problem(file, number + first_line, start, *found)
    if (at := further_in(error, lines)) is not None:
        what = f"this line begins further in than the one above: {shown(bare(lines[at]), 60)}"
        mend = "Give it as many spaces at its beginning as its neighbours have"
        return Problem(file, at + first_line, 1, what, mend)
    at = without_colon(error, lines)
    line = (at or 0) + first_line
    if at is None or (slip := colon_slip(lines[at], f"line {line} ")) is None:
        return None
    return Problem(file, line, lines[at].index(bare(lines[at])) + 1, *slip)


def _words(complaint: str, line: str) -> tuple[str, str]:
    """What is wrong and what would be right."""
    if "\t" in line[: len(line) - len(line.lstrip())]:
        return "the line is indented with a tab", "Indent with spaces"
    if match := re.search(r"%\s*([0-9.]+)", line) if "cannot start" in complaint else None:
        return "the sign % stands before its number", f"Write '{match[1]} %'"
    if "cannot start any token" in complaint:
        return (
            "a text begins with a sign that has a special meaning here",
            "Put text that begins with @, `, % or a tab in quotes",
        )
    for pattern, what, mend in ADVICE:
        if re.search(pattern, complaint):
            return what, mend
    return "this is not YAML", "Write key: value, and put text with unusual signs in quotes"
