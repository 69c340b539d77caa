"""Data files for the site's own scripts, which a page loads when a reader needs them.

Each file is a script with one call, `guide.take(path, value)`, since a page opened from a disk may load scripts only.
Numbers are computed at build time; a script looks up, interpolates and formats.
"""

import json
import math
from typing import Any

from generator.figures import show
from generator.figures.model import Scale, Unit
from generator.pages.frame.output import Output


def make_data_file(path: str, value: Any) -> Output:
    """Return the data file at `path`, which ends in `.js`; a script reads its value with `guide.load(path)`."""
    return make_data_file_of_text(path, format_script_value(value))


def format_script_value(value: Any) -> str:
    """Return a value of plain data as a JavaScript expression."""
    return _escape_for_script(
        json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    )


def make_data_file_of_text(path: str, text: str) -> Output:
    """Return the data file at `path` for a value that is a JavaScript expression already."""
    return Output(path, f"guide.take({json.dumps(path)},{text});\n".encode())


def describe_unit(one: Unit) -> dict[str, list[Any]]:
    """Return a unit for `guide.number`: symbol, factor from SI and decimals for each unit system."""
    return {"metric": _describe_scale(one.metric), "us": _describe_scale(one.us)}


def round_digits(value: float | None, digits: int = 4) -> float | int | None:
    """Round a number to so many significant digits; None where it is not known or not finite."""
    if value is None or not math.isfinite(value):
        return None
    found = show.round_value(value, digits)
    return int(found) if found.is_integer() and abs(found) < 1e15 else found


def _describe_scale(one: Scale) -> list[Any]:
    return [one.unit, one.factor, one.decimals]


def _escape_for_script(text: str) -> str:
    """Escape JSON so that it is also a JavaScript expression, whatever a spec file says."""
    return text.replace("\u2028", "\\u2028").replace("\u2029", "\\u2029").replace("<", "\\u003c")
