"""A spec file's values for cross-checks: None wherever the file is silent or wrong.

* Facts     forgiving look-ups, and problems with their places
"""

from itertools import islice
from typing import Any

from generator.specs.problems import Problem
from generator.specs.quantity import Quantity, QuantityError, parse
from generator.specs.yaml.located import Keys, Marked

MOST = 200
"""Items looked at in one list or mapping; the schema refuses longer ones."""


class Facts:
    """A mapping that the schema may not have passed; every look-up holds out against that."""

    def __init__(self, marked: Marked) -> None:
        self.marked = marked
        self.problems: list[Problem] = []

    def one(self, *keys: str | int) -> Any:
        """The plain value at a path, or None."""
        value: Any = self.marked.value
        for key in keys:
            inside_list = isinstance(value, list) and isinstance(key, int) and key < len(value)
            if not inside_list and not (isinstance(value, dict) and key in value):
                return None
            value = value[key]
        return value

    def word(self, *keys: str | int) -> str:
        """The text at a path, or an empty one."""
        value = self.one(*keys)
        return value if isinstance(value, str) else ""

    def items(self, *keys: str | int) -> list[Any]:
        """The list at a path, or an empty one."""
        value = self.one(*keys)
        return value[:MOST] if isinstance(value, list) else []

    def group(self, *keys: str | int) -> dict[str, Any]:
        """The mapping at a path, or an empty one."""
        value = self.one(*keys)
        return dict(islice(value.items(), MOST)) if isinstance(value, dict) else {}

    def numbers(self, *keys: str | int) -> list[float]:
        """The list of numbers at a path; empty when any of it is something else."""
        found = self.items(*keys)
        plain = all(isinstance(each, (int, float)) and not isinstance(each, bool) for each in found)
        return [float(each) for each in found] if plain else []

    def quantity(self, dimension: str, *keys: str | int) -> Quantity | None:
        """The quantity at a path, when it is one of this dimension and above zero."""
        value = self.one(*keys)
        if isinstance(value, bool) or not isinstance(value, (str, int, float)):
            return None
        try:
            found = parse(str(value), dimension)
        except QuantityError:
            return None
        return found if found.value > 0 else None

    def si(self, dimension: str, *keys: str | int) -> float | None:
        """Its SI value."""
        found = self.quantity(dimension, *keys)
        return found.value if found else None

    def error(self, keys: Keys, what: str, mend: str, *, at_key: bool = False) -> None:
        self.problems.append(self.marked.problem(keys, what, mend, at_key=at_key))

    def warn(self, keys: Keys, what: str, mend: str) -> None:
        self.problems.append(self.marked.problem(keys, what, mend, "warning"))

    def note(self, keys: Keys, what: str, mend: str) -> None:
        self.problems.append(self.marked.problem(keys, what, mend, "note"))


def plain(value: float, digits: int = 3) -> str:
    """A number as people write it: 504, 36.4, 2.52."""
    words = f"{value:.{digits}g}"
    return f"{float(words):.0f}" if "e" in words else words
