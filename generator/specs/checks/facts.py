"""A spec file's values for cross-checks: None where the file is silent or wrong.

* Facts            look-ups that never fail, and problems with their places
* format_number    a number as people write it
"""

from itertools import islice
from typing import Any

from generator.specs.problems import Problem
from generator.specs.quantity import Quantity, QuantityError, parse_quantity
from generator.specs.yaml.located import Keys, LocatedMapping

MOST = 200
"""Items read from one list or mapping; the schema refuses longer ones."""


class Facts:
    """The values of a mapping that may break the schema, and the problems found in it."""

    def __init__(self, mapping: LocatedMapping) -> None:
        self.mapping = mapping
        self.problems: list[Problem] = []

    def get(self, *keys: str | int) -> Any:
        """The plain value at a path, or None."""
        value: Any = self.mapping.value
        for key in keys:
            inside_list = isinstance(value, list) and isinstance(key, int) and key < len(value)
            if not inside_list and not (isinstance(value, dict) and key in value):
                return None
            value = value[key]
        return value

    def get_text(self, *keys: str | int) -> str:
        """The text at a path, or an empty one."""
        value = self.get(*keys)
        return value if isinstance(value, str) else ""

    def get_list(self, *keys: str | int) -> list[Any]:
        """The list at a path, or an empty one."""
        value = self.get(*keys)
        return value[:MOST] if isinstance(value, list) else []

    def get_group(self, *keys: str | int) -> dict[str, Any]:
        """The mapping at a path, or an empty one."""
        value = self.get(*keys)
        return dict(islice(value.items(), MOST)) if isinstance(value, dict) else {}

    def get_numbers(self, *keys: str | int) -> list[float]:
        """The list of numbers at a path; empty when any of it is something else."""
        found = self.get_list(*keys)
        plain = all(isinstance(each, (int, float)) and not isinstance(each, bool) for each in found)
        return [float(each) for each in found] if plain else []

    def get_quantity(self, dimension: str, *keys: str | int) -> Quantity | None:
        """The quantity at a path, when it is one of this dimension and above zero."""
        value = self.get(*keys)
        if isinstance(value, bool) or not isinstance(value, (str, int, float)):
            return None
        try:
            found = parse_quantity(str(value), dimension)
        except QuantityError:
            return None
        return found if found.value > 0 else None

    def get_si(self, dimension: str, *keys: str | int) -> float | None:
        """SI value of the quantity at a path, or None."""
        found = self.get_quantity(dimension, *keys)
        return found.value if found else None

    def add_error(self, keys: Keys, what: str, mend: str, *, at_key: bool = False) -> None:
        self.problems.append(self.mapping.make_problem(keys, what, mend, at_key=at_key))

    def add_warning(self, keys: Keys, what: str, mend: str) -> None:
        self.problems.append(self.mapping.make_problem(keys, what, mend, "warning"))

    def add_note(self, keys: Keys, what: str, mend: str) -> None:
        self.problems.append(self.mapping.make_problem(keys, what, mend, "note"))


def format_number(value: float, digits: int = 3) -> str:
    """A number as people write it: 504, 36.4, 2.52."""
    words = f"{value:.{digits}g}"
    return f"{float(words):.0f}" if "e" in words else words
