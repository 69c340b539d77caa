"""Problems that a contributor can cause and can correct.

* Problem           data: where, what is wrong, what would be right; the command line formats it
* make_printable    text that any terminal and log prints as it is
* ProblemsFound     raised when work cannot go on, with every problem of the run

Any other exception that reaches the terminal is a defect of the generator.
"""

from dataclasses import dataclass
from typing import Literal
from unicodedata import category

LONGEST = 800
"""Length at which a sentence is cut, since it may quote a whole paragraph of a file. [characters]"""
Severity = Literal["error", "warning", "note"]
"""An error stops a build; a warning should be looked into; a note may stay."""


@dataclass(frozen=True, order=True)
class Problem:
    """One thing wrong in one file, and what would be right."""

    file: str
    """Path as the contributor would type it, relative to the publication's root."""
    line: int
    """Line, counted from 1; 0 when the problem is the whole file."""
    column: int
    """Column, counted from 1; 0 when the problem is the whole line."""
    what: str
    """What is wrong, one sentence without a full stop."""
    mend: str
    """What would be right, without a full stop at its end; a question keeps its mark."""
    severity: Severity = "error"

    def __post_init__(self) -> None:
        for name in ("what", "mend"):
            if len(words := getattr(self, name)) > LONGEST:
                object.__setattr__(self, name, words[: LONGEST - 1] + "…")

    def __str__(self) -> str:
        mark = "" if self.severity == "error" else f"{self.severity}: "
        return f"{make_printable(self.file)}:{self.line}:{self.column}: {mark}{self.sentences}"

    @property
    def sentences(self) -> str:
        """What is wrong and what would be right, each with its full stop."""
        stop = "" if self.mend.endswith((".", "?")) else "."
        return make_printable(f"{self.what}. {self.mend}{stop}")


def make_printable(words: str) -> str:
    """One line of text that any terminal and log prints as it is.

    A file's name may contain a line end, which begins a command in some logs, a character that moves the cursor, or bytes
    that are not text; they come out as Python escapes them, `\\n`.
    """
    if words.isprintable():
        return words
    kept = (sign.isprintable() or category(sign) == "Zs" for sign in words)
    return "".join(
        sign if keep else ascii(sign)[1:-1] for sign, keep in zip(words, kept, strict=True)
    )


class ProblemsFound(Exception):  # noqa: N818 - named for what the caller shows, not for a failure
    """Raised when work cannot go on; carries every problem found so far."""

    def __init__(self, problems: list[Problem]) -> None:
        super().__init__("\n".join(map(str, sorted(problems))))
        self.problems = tuple(sorted(problems))


class Mistyped(ProblemsFound):
    """Raised when the command names what is not there, so that no file has to be mended."""
