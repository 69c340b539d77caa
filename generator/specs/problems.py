"""Problems a contributor can cause and can mend.

A problem is data: where, what is wrong, what would be right. Formatting comes last,
in the command line.

* ProblemsFound    raised by whoever cannot go on, carrying every problem of the run

Anything else that reaches the terminal is a defect of ours.
"""

from dataclasses import dataclass
from typing import Literal
from unicodedata import category

LONGEST = 800
"""Of each sentence; a file may quote whole paragraphs into one, and nobody reads on. [characters]"""
Severity = Literal["error", "warning", "note"]
"""An error stops a build; a warning should be looked into; a note may stand for good."""


@dataclass(frozen=True, order=True)
class Problem:
    """One thing wrong in one file, with its mend."""

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
        return f"{visible(self.file)}:{self.line}:{self.column}: {mark}{self.sentences}"

    @property
    def sentences(self) -> str:
        """What is wrong and its mend, each with its full stop."""
        stop = "" if self.mend.endswith((".", "?")) else "."
        return visible(f"{self.what}. {self.mend}{stop}")


def visible(words: str) -> str:
    """One line of text that any terminal and log prints as it is.

    A file's name may hold a line end, which begins a command in some logs, a sign that moves the cursor, or bytes that
    are no text at all; such signs come out as Python writes them, `\\n`.
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
