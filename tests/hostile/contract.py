"""What a reader owes to whoever wrote a file, whatever the file holds.

* broken_promises    what is wrong with the problems that a reader returned
* work               calls of functions that a piece of work takes, by which slowness is judged and not by a clock
"""

import re
import sys
from collections.abc import Callable, Iterable, Iterator
from types import FrameType
from typing import Any, TypeVar
from unicodedata import category

from generator.specs.problems import Problem

T = TypeVar("T")

_LINE_END = re.compile(rb"\r\n|\r|\n")
SILENT = {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}
"""Categories of signs that a terminal or a log does not print as they are (Unicode Standard Annex 44, table 12)."""
JOINERS = "\u200c\u200d"


def broken_promises(problems: Iterable[Problem], files: dict[str, bytes]) -> Iterator[str]:
    """Each fault of a problem: its file, its line, its two sentences, signs that nobody sees.

    `files` holds the bytes of each file that may be named; a folder may be named too, by its path.
    """
    for problem in problems:
        where = f"{problem!r}"
        if problem.file not in files:
            yield f"another file: {where}"
            continue
        lines = len(_LINE_END.split(files[problem.file]))
        if not 0 <= problem.line <= lines:
            yield f"line {problem.line} of {lines}: {where}"
        if problem.column < 0:
            yield f"column {problem.column}: {where}"
        if not problem.what.strip() or not problem.mend.strip():
            yield f"nothing said: {where}"
        if problem.severity not in ("error", "warning", "note"):
            yield f"no such severity: {where}"
        if any(category(sign) in SILENT and sign not in JOINERS for sign in str(problem)):
            yield f"signs that do not print: {where}"
        if len(str(problem)) > 2000:
            yield f"a message of {len(str(problem))} characters: {where[:200]}"


def work(task: Callable[[], T]) -> tuple[T, int]:
    """What a task returns, and how many functions were called meanwhile, in Python and in C."""
    calls = 0

    def count(frame: FrameType, event: str, argument: Any) -> None:
        nonlocal calls
        calls += event in ("call", "c_call")

    before = sys.getprofile()
    sys.setprofile(count)
    try:
        found = task()
    finally:
        sys.setprofile(before)
    return found, calls
