"""What the commands print with: lines, problems, a bar for long work; on streams that may not know every sign.

* ready       from here on no sign can stop a message; what the stream lacks is written with plain letters
* as_ascii    JSON with its other signs escaped, where the stream is not UTF-8
"""

import codecs
import io
import json
import re
import sys
import unicodedata
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any, NoReturn

import click

from generator.specs.problems import Problem, ProblemsFound

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
    for line in lines:
        click.echo(line, err=err)


@contextmanager
def failing_well() -> Iterator[None]:
    """Turns what a user can cause into lines and exit code 1."""
    try:
        yield
    except ProblemsFound as found:
        stop(list(found.problems))


def stop(problems: list[Problem]) -> NoReturn:
    from generator.publish.report import problem_lines

    print_lines(problem_lines(problems), err=True)
    sys.exit(1)


@contextmanager
def progress_bar() -> Iterator[Callable[[float, str], None] | None]:
    """A bar on the terminal's error stream; nothing when that is no terminal."""
    if not sys.stderr.isatty():
        yield None
        return
    with click.progressbar(
        length=1000, file=sys.stderr, show_eta=False, item_show_func=lambda item: item
    ) as bar:

        def tell(share: float, what: str) -> None:
            bar.update(int(share * 1000) - bar.pos, what)

        yield tell


def ready() -> None:
    codecs.register_error("plain", _plain)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="plain")


def as_ascii(text: str) -> str:
    """The same JSON, in signs that every stream has; as it is where standard output is UTF-8."""
    if codecs.lookup(getattr(sys.stdout, "encoding", None) or "utf-8").name == "utf-8":
        return text
    return re.sub("[^\x00-\x7f]", lambda found: json.dumps(found[0])[1:-1], text)


def _plain(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return "".join(map(_letters, error.object[error.start : error.end])), error.end


def _letters(sign: str) -> str:
    """In ASCII: a dash for a dash, a letter without its accent, and a question mark for the rest."""
    apart = unicodedata.normalize("NFKD", sign).encode("ascii", "ignore").decode()
    return PLAIN.get(sign) or apart or "?"
