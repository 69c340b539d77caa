"""Prints lines, problems and a progress bar, also on streams whose encoding lacks some characters.

* progress    a bar on a terminal, a line for each phase elsewhere
* version     what `--version` says
* ready       from here on no sign can stop a message; what the stream lacks is written with plain letters
* as_ascii    JSON with its other signs escaped, where the stream is not UTF-8
"""

import codecs
import io
import json
import os
import re
import sys
import unicodedata
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

import click

from generator.specs.problems import Mistyped, ProblemsFound

PROGRAM = "bike-guide-generator"
SOURCE = Path(__file__).parents[1]

PLAIN = {
    "\N{EN DASH}": "-",
    "\N{EM DASH}": "-",
    "\N{MINUS SIGN}": "-",
    "\N{NON-BREAKING HYPHEN}": "-",
    "\N{MULTIPLICATION SIGN}": "x",
    "\N{DIVISION SIGN}": "/",
    "\N{RIGHTWARDS ARROW}": "->",
    "\N{LESS-THAN OR EQUAL TO}": "<=",
    "\N{GREATER-THAN OR EQUAL TO}": ">=",
    "\N{LEFT SINGLE QUOTATION MARK}": "'",
    "\N{RIGHT SINGLE QUOTATION MARK}": "'",
    "\N{LEFT DOUBLE QUOTATION MARK}": '"',
    "\N{RIGHT DOUBLE QUOTATION MARK}": '"',
    "\N{MIDDLE DOT}": ".",
}


def print_lines(lines: Any, err: bool = False) -> None:
    """Print lines on standard output, or with `err` on standard error."""
    for line in lines:
        click.echo(line, err=err)


@contextmanager
def failing_well() -> Iterator[None]:
    """Turns what a user can cause into lines and exit code 1, or into click's words for a command that was mistyped."""
    try:
        yield
    except Mistyped as found:
        words = "\n".join(problem.sentences for problem in found.problems)
        raise click.UsageError(words, click.get_current_context()) from found
    except ProblemsFound as found:
        from generator.publish.report import format_problems

        print_lines(format_problems(found.problems), err=True)
        sys.exit(1)


Tell = Callable[[float, str], None]
"""Told of the share of the work that is done, 0 to 1, and in words what is at work."""

LONGEST_BAR = 24
"""Signs between its brackets."""
USUAL_WIDTH = 80
"""Of a terminal that does not know its own. [columns]"""


@contextmanager
def progress() -> Iterator[Tell]:
    """Shows on the error stream what is at work: a bar on a terminal, gone at the end; else a line for each new phase."""
    if not (sys.stderr and sys.stderr.isatty()):
        yield _phases()
        return
    drawn = ""

    def draw(share: float, what: str) -> None:
        nonlocal drawn
        columns = _columns()
        line = bar(share, what, columns)
        if line != drawn:
            _overwrite(line.ljust(min(len(drawn), columns - 1)))
            drawn = line

    try:
        yield draw
    finally:
        _overwrite(" " * min(len(drawn), _columns() - 1))
        _overwrite("")


def bar(share: float, what: str, columns: int) -> str:
    """A bar with the share in percent and words, as much of it as fits into one line of a terminal; words come first.

    What stands behind a comma in the words goes where there is no room for it. The last column stays free: many terminals
    begin a new line once it is written.
    """
    words, room = f"{int(share * 100):3}% {what}", columns - 1
    if len(words) > room:
        words = words.partition(",")[0]
    length = min(LONGEST_BAR, room - len(f"[] {words}"))
    done = int(share * length)
    drawn = f"[{'#' * done}{'-' * (length - done)}] " if length > 3 else ""
    return f"{drawn}{words}"[:room]


def _overwrite(line: str) -> None:
    _say(f"\r{line}", nl=False)


def _columns() -> int:
    try:
        return os.get_terminal_size(sys.stderr.fileno()).columns or USUAL_WIDTH
    except OSError:
        return USUAL_WIDTH


def _phases() -> Tell:
    told = ""

    def tell(share: float, what: str) -> None:
        nonlocal told
        if what != told and share < 1:
            told = what
            _say(f"{what[:1].upper()}{what[1:]}.")

    return tell


def _say(words: str, nl: bool = True) -> None:
    """On the error stream, if anybody reads it: nobody stops work by not listening."""
    with suppress(OSError):
        click.echo(words, nl=nl, err=True)


def version() -> str:
    """Name and version of this program; where it is not installed, its version is that of its own pyproject.toml."""
    import tomllib
    from importlib import metadata

    try:
        return f"{PROGRAM} {metadata.version(PROGRAM)}"
    except metadata.PackageNotFoundError:
        pass
    try:
        project = tomllib.loads((SOURCE / "pyproject.toml").read_text("utf-8"))["project"]
        return f"{PROGRAM} {project['version']}, not installed"
    except (OSError, ValueError, KeyError):
        return f"{PROGRAM}, not installed"


def ready() -> None:
    """Make standard output and error replace characters that their encoding lacks."""
    codecs.register_error("plain", _plain)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="plain")


def as_ascii(text: str) -> str:
    """JSON with all characters beyond ASCII escaped; unchanged if standard output is UTF-8."""
    if codecs.lookup(getattr(sys.stdout, "encoding", None) or "utf-8").name == "utf-8":
        return text
    return re.sub("[^\x00-\x7f]", lambda found: json.dumps(found[0])[1:-1], text)


def _plain(error: UnicodeError) -> tuple[str, int]:
    """The error handler `plain` of `codecs`: replaces characters by ASCII letters."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return "".join(map(_letters, error.object[error.start : error.end])), error.end


def _letters(sign: str) -> str:
    """A character in ASCII: a dash for a dash, a letter without its accent, a question mark for the rest."""
    apart = unicodedata.normalize("NFKD", sign).encode("ascii", "ignore").decode()
    return PLAIN.get(sign) or apart or "?"


def print_version(context: click.Context, option: click.Parameter, asked: bool) -> None:
    """Print name and version, and end: what `--version` does."""
    if asked:
        print_lines([version()])
        context.exit()
