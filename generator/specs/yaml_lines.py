"""Three slips that YAML notices only lines later: an open quotation mark, a missing colon, a
missing space after a colon.

* open_quote       where a quotation mark opens that is never closed
* after_quote      does text stand right after a closing quotation mark?
* colon_slip       what is wrong with a line that should read `key: value`
* culprit          the line before, when that is the one without a colon
"""

import re
from collections.abc import Iterator, Sequence
from typing import Any

import yaml

KEY_LINE = re.compile(r"\s*(?:- +)*[\w-]+:(?:\s|$)")
NO_SPACE = re.compile(r"([A-Za-z_][\w -]*):(?!//)(\S.*)")
WORD_FIRST = re.compile(r"([A-Za-z_][\w-]*)(?:\s*=\s*|\s+)(\S.*)")
NUMBER_AFTER = re.compile(r"([a-z_]+(?: [a-z_]+){0,2})(?:\s*=\s*|\s+)([-+.]?[0-9].*)")
ONE_WORD = re.compile(r"[A-Za-z_][\w-]*")
LEAD = re.compile(r"^\s*(?:- +)*")

Spot = tuple[int, int]
"""Line and column, counted from 0."""


def open_quote(error: Any, text: str, lines: Sequence[str], loader: Any) -> Spot | None:
    """Where the quotation mark opens that led to this error.

    A mark that is closed by the next one, lines below, has swallowed keys on the way; the first such
    is the cause, and everything after it is read inside out.
    """
    until = error.problem_mark.line if error.problem_mark else len(lines)
    for token in _quoted(text, loader):
        first, last = token.start_mark, token.end_mark
        if first.line <= until and any(
            KEY_LINE.match(line) for line in lines[first.line + 1 : last.line + 1]
        ):
            return first.line, first.column
    opened = error.context_mark
    if opened is not None and "quoted scalar" in (error.context or ""):
        inside = error.problem or ""
        if "end of stream" in inside or "document" in inside:
            return opened.line, opened.column
    return None


def after_quote(error: Any, text: str, lines: Sequence[str], loader: Any) -> bool:
    """Does the error stand at a text that follows a closing quotation mark on its line?"""
    mark = error.problem_mark
    if mark is None or mark.line >= len(lines):
        return False
    line = lines[mark.line]
    for token in _quoted(text, loader):
        end = token.end_mark
        if end.line > mark.line:
            return False
        between = line[end.column : mark.column]
        if end.line == mark.line and end.column <= mark.column and not between.strip():
            return line[mark.column : mark.column + 1].isalnum()
    return False


def colon_slip(words: str) -> tuple[str, str] | None:
    """What is wrong and what would be right, for words that should read `key: value`.

    None when they do, or when they look like something else. The first part goes behind the words'
    own place, as in "line 15 'mass 63.5 lb' has no colon".
    """
    words = bare(words)
    if KEY_LINE.match(words):
        return None
    if match := NO_SPACE.fullmatch(words):
        return "a space is missing after the colon", f"Write '{match[1]}: {match[2]}'"
    if words and ":" not in words and words[-1] not in "[]{},":
        if match := NUMBER_AFTER.fullmatch(words):
            return "has no colon", f"Write '{match[1].replace(' ', '_')}: {match[2]}'"
        if match := WORD_FIRST.fullmatch(words):
            return "has no colon", f"Write '{match[1]}: {match[2]}'"
        if ONE_WORD.fullmatch(words):
            return "has no colon", f"Write '{words}:'"
    return None


def bare(line: str) -> str:
    """A line without its indent, its dash and its comment."""
    words = line[_indent(line) :]
    return re.split(r"(?:^|\s)#", words, maxsplit=1)[0].strip()


def culprit(lines: Sequence[str], number: int) -> int | None:
    """The line above `number` (both from 0), when it stands as a key does and has no colon.

    YAML takes it and the next key for one text and stops at the colon of that key.
    """
    above = [at for at in range(number) if bare(lines[at])][-2:]
    if not above:
        return None
    at = above[-1]
    if _indent(lines[at]) != _indent(lines[number]) or colon_slip(lines[at]) is None:
        return None
    before = bare(lines[above[0]]) if len(above) > 1 else ":"
    goes_on = _indent(lines[above[0]]) < _indent(lines[at]) and not before.endswith(":")
    return None if goes_on else at


def _indent(line: str) -> int:
    """Columns before the key: spaces, and the dash of a list item."""
    return len(line) - len(LEAD.sub("", line, count=1))


def _quoted(text: str, loader: Any) -> Iterator[Any]:
    """The texts in quotation marks, up to where the scanner gives up."""
    scanner = loader(text)
    try:
        while scanner.check_token():
            token = scanner.get_token()
            if isinstance(token, yaml.ScalarToken) and token.style in ("'", '"'):
                yield token
    except yaml.YAMLError:
        return
    finally:
        scanner.dispose()
