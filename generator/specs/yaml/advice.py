"""The parser's errors about broken YAML, in words for people who do not know YAML."""

import re
from typing import Any

import yaml

from generator.specs.problems import Problem
from generator.specs.yaml.lines import (
    explain_colon_in_text,
    explain_missing_colon,
    explain_missing_comma,
    find_comment_rest,
    find_deeper_line,
    find_missing_colon,
    find_missing_dash,
    find_open_quote,
    is_after_quote,
    strip_line,
)
from generator.specs.yaml.located import quote_value

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


def explain_yaml_error(
    error: yaml.YAMLError, text: str, file: str, first_line: int, loader: Any
) -> Problem:
    """The problem of a file that is not YAML, with its line and what would be right.

    `loader` is the PyYAML class that raised the error.
    """
    mark: Any = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    if mark is None:
        what = "this is not YAML text"
        return Problem(file, first_line, 1, what, "Write lines such as 'name: Fenno'")
    lines = text.splitlines() or [""]
    if found := _find_mistake(error, text, file, first_line, loader):
        return found
    number = min(mark.line, len(lines) - 1)
    line = lines[number]
    what, mend = _explain_complaint(
        f"{getattr(error, 'context', '')}; {getattr(error, 'problem', '')}", line
    )
    opened: Any = getattr(error, "context_mark", None)
    if opened is not None and opened.line < number:
        what += f" (it begins on line {opened.line + first_line})"
    if line.strip():
        what += f": {quote_value(line.strip(), 60)}"
    return Problem(file, number + first_line, mark.column + 1, what, mend)


def _find_mistake(
    error: yaml.YAMLError, text: str, file: str, first_line: int, loader: Any
) -> Problem | None:
    """The problem of a known typing mistake, often lines above the parser's error."""
    mark: Any = getattr(error, "problem_mark", None)
    lines = text.splitlines()
    if mark is None or not lines:
        return None
    if spot := find_open_quote(error, text, lines, loader):
        line = spot[0] + first_line
        what = f"a quotation mark opened on line {line} is never closed"
        what += f": {quote_value(lines[spot[0]].strip(), 60)}"
        return Problem(file, line, spot[1] + 1, what, "Close it, or delete it")
    if (at := find_comment_rest(lines, mark.line)) is not None:
        what = f"this looks like the rest of a comment: {quote_value(lines[at].strip(), 60)}"
        start = lines[at].index(lines[at].strip()) + 1
        return Problem(file, at + first_line, start, what, "Put # before it")
    if (at := find_missing_dash(lines, mark.line)) is not None:
        start = lines[at].index("{")
        what, mend = "a dash is missing", f"Write {quote_value('- ' + strip_line(lines[at]))}"
        return Problem(file, at + first_line, start + 1, what, mend)
    if mistake := explain_missing_comma(lines[min(mark.line, len(lines) - 1)]):
        return Problem(file, mark.line + first_line, mark.column + 1, *mistake)
    if is_after_quote(error, text, lines, loader):
        what = "text stands after a closing quotation mark"
        what += f": {quote_value(lines[mark.line].strip(), 60)}"
        mend = "Put the whole text in double quotes, or leave the quotation marks out"
        return Problem(file, mark.line + first_line, mark.column + 1, what, mend)
    if found := explain_colon_in_text(error, lines):
        number = min(mark.line, len(lines) - 1)
        start = lines[number].index(strip_line(lines[number])) + 1
        return Problem(file, number + first_line, start, *found)
    if (at := find_deeper_line(error, lines)) is not None:
        what = f"this line begins further in than the one above: {quote_value(strip_line(lines[at]), 60)}"
        mend = "Give it as many spaces at its beginning as its neighbours have"
        return Problem(file, at + first_line, 1, what, mend)
    at = find_missing_colon(error, lines)
    line = (at or 0) + first_line
    if at is None or (mistake := explain_missing_colon(lines[at], f"line {line} ")) is None:
        return None
    return Problem(file, line, lines[at].index(strip_line(lines[at])) + 1, *mistake)


def _explain_complaint(complaint: str, line: str) -> tuple[str, str]:
    """What is wrong and what would be right, for a parser's error on a line."""
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
