"""Lines of comma-separated values as cells with their columns.

* split_cells    splits one line into cells

RFC 4180 with one difference: a cell cannot run over several lines, so a forgotten quote spoils one line and not the
rest of the file.
"""

from typing import NamedTuple


class CsvCell(NamedTuple):
    """One cell of a line."""

    text: str
    """Text without its quotes; if it has none, without blanks around it."""
    column: int
    """Column of its first character, from 1."""


class CsvError(ValueError):
    """A line that cannot be split into cells."""

    def __init__(self, column: int, what: str, mend: str) -> None:
        super().__init__(what)
        self.column, self.what, self.mend = column, what, mend


def split_cells(line: str) -> list[CsvCell]:
    """The cells of one line.

    Raises
    ------
    CellError
        For a quote that is not closed or is misplaced.
    """
    found: list[CsvCell] = []
    at = 0
    while True:
        cell, at = (
            _read_quoted_cell(line, at) if line.startswith('"', at) else _read_plain_cell(line, at)
        )
        found.append(cell)
        if at >= len(line):
            return found
        at += 1  # the comma
        if at == len(line):
            return [*found, CsvCell("", at + 1)]


def _read_plain_cell(line: str, start: int) -> tuple[CsvCell, int]:
    end = line.find(",", start)
    end = len(line) if end < 0 else end
    text = line[start:end]
    quote = text.find('"')
    if quote >= 0:
        what = "a quote stands in the middle of a cell"
        mend = "Put the whole cell between quotes and double those within it"
        raise CsvError(start + quote + 1, what, mend)
    return CsvCell(text.strip(), start + 1 + len(text) - len(text.lstrip())), end


def _read_quoted_cell(line: str, start: int) -> tuple[CsvCell, int]:
    text, at = "", start + 1
    while True:
        end = line.find('"', at)
        if end < 0:
            what = "a quote is opened and not closed on this line"
            raise CsvError(start + 1, what, "Close it, and keep each price on one line")
        text += line[at:end]
        if line.startswith('""', end):
            text, at = text + '"', end + 2
            continue
        if end + 1 < len(line) and line[end + 1] != ",":
            raise CsvError(end + 2, "something stands behind a closing quote", "Put a comma there")
        return CsvCell(text.strip(), start + 1), end + 1
