"""Data for the site's own scripts: files that a page loads when a reader asks for what is in them.

Each is a script with one call, `guide.take(path, value)`, since a page on a disk may load scripts and nothing else.
Numbers in them are computed here, at build time; a script looks up, interpolates and formats.
"""

import json
import math
from typing import Any

from generator.figures.model import Scale, Unit
from generator.pages.frame.output import Output


def data_file(path: str, value: Any) -> Output:
    """A value of plain data as the file at `path`, which ends in `.js`; `guide.load(path)` gives it to a script."""
    return file_of_text(path, as_text(value))


def as_text(value: Any) -> str:
    """A value of plain data as a script writes it."""
    return _unbroken(json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":")))


def file_of_text(path: str, text: str) -> Output:
    """The same file of a value that is `as_text` already."""
    return Output(path, f"guide.take({json.dumps(path)},{text});\n".encode())


def unit(one: Unit) -> dict[str, list[Any]]:
    """A unit for `guide.number`: per system symbol, factor from SI and decimals."""
    return {"metric": _scale(one.metric), "us": _scale(one.us)}


def short(value: float | None, digits: int = 4) -> float | int | None:
    """A number for a data file, to so many significant digits; None for what is not known."""
    if value is None or not math.isfinite(value):
        return None
    found = float(f"{value:.{digits}g}")
    return int(found) if found.is_integer() and abs(found) < 1e15 else found


def _scale(one: Scale) -> list[Any]:
    return [one.unit, one.factor, one.decimals]


def _unbroken(text: str) -> str:
    """JSON that is a JavaScript expression too, whatever a spec file says."""
    return text.replace("\u2028", "\\u2028").replace("\u2029", "\\u2029").replace("<", "\\u003c")
