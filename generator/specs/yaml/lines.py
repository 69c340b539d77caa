"""Typing mistakes that YAML notices only lines later or names badly: an open quotation mark, a missing
colon, a missing space after a colon, a colon inside a text, a line indented too far.

* find_open_quote          where a quotation mark opens that is never closed
* is_after_quote           whether the error is text right after a closing quotation mark
* explain_missing_colon    what is wrong with a line that should read `key: value`
* explain_colon_in_text    a text with a colon that needs quotes
* explain_missing_comma    a comma that is missing inside { }
* find_missing_dash        a list item without its dash
* find_comment_rest        the second line of a comment, without its #
* find_deeper_line         a line indented deeper than it may be
* strip_line               a line without indent, dash and comment
* find_missing_colon       the line whose missing colon made the parser join it with the next
"""

import re
from collections.abc import Iterator, Sequence
from typing import Any

import yaml

from generator.specs.yaml.located import quote_value

KEY_LINE = re.compile(r"\s*(?:- +)*[\w.-]+:(?:[ \t]|$)")
WIDE_SIGN = re.compile(r"([A-Za-z_][\w.-]*)(?:\s*(：)\s*|:([\u00a0\u202f\u2009\u3000]+))(\S.*)")
"""A wide colon, or a space after the colon that YAML does not take for one."""
NO_DASH_SPACE = re.compile(r"-([A-Za-z0-9\[{\"'][^:]*)")
TEXT_AND_COLON = re.compile(r"((?:- +)*[\w.-]+: +)([^\"'\[{\s#][^#]*: .*)")
DASH_AND_BRACKET = re.compile(r"-([{\[].*)")
INLINE = re.compile(r"(?:- +)?(?:[\w.-]+: +)?\{.*\}")
QUOTED = re.compile(r"\"[^\"]*\"|'[^']*'")
NO_COMMA = re.compile(r"(?<=[^,{\s]) +(?=([A-Za-z_]\w*): )")
LEAST_COMMENT = 12
"""Least column of a comment that may continue on the next line."""
DEEP = 20
"""Indent from which a line can hardly be a key. [columns]"""
NO_SPACE = re.compile(r"([A-Za-z_][\w .-]*):(?!//)(\S.*)")
BRACKET = re.compile(r"([A-Za-z_][\w.-]*) *([\[{].*[\]}])")
WORD_FIRST = re.compile(r"([A-Za-z_][\w.-]*)(?:\s*[=;]\s*|\s+)(\S.*)")
NUMBER_AFTER = re.compile(r"([a-z_]+(?: [a-z_]+){0,2})(?:\s*[=;]\s*|\s+)([-+.]?[0-9].*)")
ONE_WORD = re.compile(r"[A-Za-z_][\w-]*")
TOO_LATE = "mapping values are not allowed|expected key|expected '-'|<block end>|<document start>"
"""Parser messages about a line that has no colon, or about the line below it."""
LEAD = re.compile(r"^\s*(?:- +)*")

Spot = tuple[int, int]
"""Line and column, counted from 0."""


def find_open_quote(error: Any, text: str, lines: Sequence[str], loader: Any) -> Spot | None:
    """Where the quotation mark opens that led to this error.

    A mark that the next one closes, lines below, has swallowed the keys between; the first such mark
    is the cause, and everything after it is misread.
    """
    for token in _read_quoted_tokens(text, loader):
        first, last = token.start_mark, token.end_mark
        if first.line <= error.problem_mark.line and any(
            KEY_LINE.match(line) for line in lines[first.line + 1 : last.line + 1]
        ):
            return first.line, first.column
    opened = error.context_mark
    if opened is not None and "quoted scalar" in (error.context or ""):
        inside = error.problem or ""
        if "end of stream" in inside or "document" in inside:
            return opened.line, opened.column
    return None


def is_after_quote(error: Any, text: str, lines: Sequence[str], loader: Any) -> bool:
    """Is the error at text that follows a closing quotation mark on the same line?"""
    mark = error.problem_mark
    if mark.line >= len(lines):
        return False
    line = lines[mark.line]
    for token in _read_quoted_tokens(text, loader):
        end = token.end_mark
        if end.line > mark.line:
            return False
        between = line[end.column : mark.column]
        if end.line == mark.line and end.column <= mark.column and not between.strip():
            return line[mark.column : mark.column + 1].isalnum()
    return False


def explain_missing_colon(words: str, place: str = "") -> tuple[str, str] | None:
    """What is wrong and what would be right, for words that should read `key: value`.

    None when they are right, or look like something else. `place`, such as "line 15 ", begins the
    message about words without a colon.
    """
    words = strip_line(words)
    if KEY_LINE.match(words):
        return None
    if match := WIDE_SIGN.fullmatch(words):
        sign = f"the colon '{match[2]}'" if match[2] else "the space after the colon"
        what = f"{sign} is not the plain one: {quote_value(words)}"
        return what, f"Type it again: {quote_value(f'{match[1]}: {match[4]}')}"
    if match := NO_DASH_SPACE.fullmatch(words) or DASH_AND_BRACKET.fullmatch(words):
        return f"a space is missing after the dash: {quote_value(words)}", f"Write '- {match[1]}'"
    if match := NO_SPACE.fullmatch(words):
        right = quote_value(f"{match[1]}: {match[2]}")
        return f"a space is missing after the colon: {quote_value(words)}", f"Write {right}"
    what = f"{place}{quote_value(words)} has no colon"
    if match := BRACKET.fullmatch(words):
        return what, f"Write {quote_value(f'{match[1]}: {match[2]}')}"
    if not words or ":" in words or words[-1] in "[]{},":
        return None
    if match := NUMBER_AFTER.fullmatch(words):
        return what, f"Write {quote_value(match[1].replace(' ', '_') + ': ' + match[2])}"
    if match := WORD_FIRST.fullmatch(words):
        return what, f"Write {quote_value(f'{match[1]}: {match[2]}')}"
    return (what, f"Write '{words}:'") if ONE_WORD.fullmatch(words) else None


def explain_colon_in_text(error: Any, lines: Sequence[str]) -> tuple[str, str] | None:
    """What is wrong with a line whose unquoted text contains a colon and a space."""
    line = lines[min(error.problem_mark.line, len(lines) - 1)]
    words = strip_line(line)
    if "mapping values" not in (
        error.problem or ""
    ) or error.problem_mark.column <= _measure_indent(line):
        return None
    match = TEXT_AND_COLON.fullmatch(words)
    if match is None:
        return None
    text = match[2].strip().strip("“”„‟").replace('"', "'")
    what = f"a text that holds a colon stands without quotes: {quote_value(words)}"
    return what, f'Put it in quotes: {match[1]}"{text}"'


def explain_missing_comma(line: str) -> tuple[str, str] | None:
    """What is wrong with `{name: "2" speed: 11 mph}`, and the line with its commas."""
    words = strip_line(line)
    hidden = QUOTED.sub(lambda match: "x" * len(match[0]), words)
    found = list(NO_COMMA.finditer(hidden)) if INLINE.fullmatch(words) else []
    found = [match for match in found if match.start() > hidden.index("{")]
    if not found:
        return None
    right = words
    for match in reversed(found):
        right = f"{right[: match.start()]},{right[match.start() :]}"
    return f"a comma is missing before '{found[0][1]}'", f"Write {quote_value(right)}"


def find_missing_dash(lines: Sequence[str], last: int) -> int | None:
    """The line (from 0, up to `last`) between `- {…}` lines that lacks its dash."""
    there = [at for at, line in enumerate(lines) if strip_line(line)]
    for before, at, after in zip([-1, *there], there, [*there[1:], -1], strict=False):
        beside = [lines[each].lstrip() for each in (before, after) if each >= 0]
        listed = any(line.startswith("- {") for line in beside)
        if at <= last and listed and lines[at].lstrip().startswith("{"):
            return at
    return None


def find_comment_rest(lines: Sequence[str], last: int) -> int | None:
    """The line (from 0, up to `last`) that is placed like the continuation of a comment."""
    for at in range(1, min(last, len(lines) - 1) + 1):
        line, sign = lines[at], lines[at - 1].rfind("# ")
        begin = len(line) - len(line.lstrip())
        below = sign <= begin <= sign + 2 or begin >= DEEP
        if sign >= LEAST_COMMENT and below and not line.lstrip().startswith("#") and line.strip():
            return at
    return None


def find_deeper_line(error: Any, lines: Sequence[str]) -> int | None:
    """The line (from 0) indented deeper than the line above, whose key already has a value."""
    at = min(error.problem_mark.line, len(lines) - 1)
    if not re.search("mapping values|expected <block end>|block mapping", error.problem or ""):
        return None
    above = next((each for each in range(at - 1, -1, -1) if strip_line(lines[each])), None)
    if (
        above is None
        or not KEY_LINE.match(strip_line(lines[at]))
        or not KEY_LINE.match(strip_line(lines[above]))
    ):
        return None
    deeper = _measure_indent(lines[at]) > _measure_indent(lines[above])
    return at if deeper and not strip_line(lines[above]).endswith(":") else None


def strip_line(line: str) -> str:
    """A line without its indent, its dash and its comment."""
    words = line[_measure_indent(line) :]
    return re.split(r"(?:^|\s)#", words, maxsplit=1)[0].strip()


def find_missing_colon(error: Any, lines: Sequence[str]) -> int | None:
    """The line (from 0) that may lack the colon which the parser misses or finds too late."""
    last, complaint = len(lines) - 1, error.problem or ""
    if "could not find expected ':'" in complaint:
        return min((error.context_mark or error.problem_mark).line, last)
    if re.search(TOO_LATE, complaint):
        number = min(error.problem_mark.line, last)
        return number if explain_missing_colon(lines[number]) else _find_key_above(lines, number)
    return None


def _find_key_above(lines: Sequence[str], number: int) -> int | None:
    """The line above `number`, when it is indented like a key and has no colon.

    YAML joins it with the next key into one text and stops at that key's colon.
    """
    *early, at = [at for at in range(number) if strip_line(lines[at])] or [-1]
    if (
        at < 0
        or _measure_indent(lines[at]) != _measure_indent(lines[number])
        or explain_missing_colon(lines[at]) is None
    ):
        return None
    if early and _measure_indent(lines[early[-1]]) < _measure_indent(lines[at]):
        return at if strip_line(lines[early[-1]]).endswith(":") else None  # else the text continues
    return at


def _measure_indent(line: str) -> int:
    """Columns before the key: spaces, and the dash of a list item."""
    return len(line) - len(LEAD.sub("", line, count=1))


def _read_quoted_tokens(text: str, loader: Any) -> Iterator[Any]:
    """Tokens of the quoted texts, up to the scanner's first error."""
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
