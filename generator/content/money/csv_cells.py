"""Lines of comma-separated values as cells that know their columns.

* cells    the cells of one line

RFC 4180 with one difference: a cell cannot run over several lines, so a line of the file is a line of data and a
forgotten quote spoils one line and not the rest of the file.
"""

from typing import NamedTuple


class Cell(NamedTuple):
    text: str
    """Without its quotes, and without blanks around it where it has none."""
    column: int
    """Of its first sign, from 1."""


class CellError(ValueError):
    """A line that cannot be taken apart."""

    def __init__(self, column: int, what: str, mend: str) -> None:
        super().__init__(what)
        self.column, self.what, self.mend = column, what, mend


def cells(line: str) -> list[Cell]:
    """The cells of one line.

    Raises
    ------
    CellError
        For a quote that is not closed, or that stands where none can.
    """
    found: list[Cell] = []
    at = 0
    while True:
        cell, at = _quoted(line, at) if line.startswith('"', at) else _plain(line, at)
        found.append(cell)
        if at >= len(line):
            return found
        at += 1  # the comma
        if at == len(line):
            return [*found, Cell("", at + 1)]


def _plain(line: str, start: int) -> tuple[Cell, int]:
    end = line.find(",", start)
    end = len(line) if end < 0 else end
    text = line[start:end]
    quote = text.find('"')
    if quote >= 0:
        what = "a quote stands in the middle of a cell"
        mend = "Put the whole cell between quotes and double those within it"
        raise CellError(start + quote + 1, what, mend)
    return Cell(text.strip(), start + 1 + len(text) - len(text.lstrip())), end


def _quoted(line: str, start: int) -> tuple[Cell, int]:
    text, at = "", start + 1
    while True:
        end = line.find('"', at)
        if end < 0:
            what = "a quote is opened and not closed on this line"
            raise CellError(start + 1, what, "Close it, and keep each price on one line")
        text += line[at:end]
        if line.startswith('""', end):
            text, at = text + '"', end + 2
            continue
        if end + 1 < len(line) and line[end + 1] != ",":
            raise CellError(end + 2, "something stands behind a closing quote", "Put a comma there")
        return Cell(text.strip(), start + 1), end + 1
