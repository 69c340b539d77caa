"""A mapping read from a file, with the place of each of its values.

* LocatedMapping    a file's values, places and texts; `where` and `make_problem` turn a key path into a line and column
* format_keys       a key path as people write it
* quote_value       a value in quotation marks, for a message
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from generator.specs.problems import Problem, Severity

Keys = tuple[str | int, ...]
"""Path of a value: mapping keys and list positions (from 0), such as `("levels", 2, "speed")`."""


class ValuePlace(NamedTuple):
    """Place of a value in its file. Lines and columns count from 1."""

    key: tuple[int, int]
    """Line and column of the value's key, or of the list item."""
    value: tuple[int, int]
    """Line and column of the value itself."""


@dataclass(frozen=True)
class LocatedMapping:
    """The values of a file and the place of each."""

    file: str
    """Path as the contributor would type it, relative to the publication's root."""
    value: dict[str, Any]
    """Text, int, float, bool, date, None, lists and dicts. Keys are always text."""
    places: Mapping[Keys, ValuePlace] = field(repr=False)
    """Place of each value."""
    texts: Mapping[Keys, str] = field(repr=False)
    """Each scalar as it was written, without its quotes."""
    digest: str = ""
    """SHA-256 of the file's bytes; empty for text that is not a whole file."""

    def where(self, keys: Keys) -> tuple[int, int]:
        """Line and column of a value; of its key when the value is a list or a mapping.

        A path that is not in the file gives the place of its nearest parent.
        """
        keys = self._find_known(keys)
        place = self.places[keys]
        return place.value if keys in self.texts else place.key

    def where_key(self, keys: Keys) -> tuple[int, int]:
        """Line and column of a key."""
        return self.places[self._find_known(keys)].key

    def text(self, keys: Keys) -> str:
        """A scalar as it was written; empty for a list, a mapping or a missing path."""
        return self.texts.get(keys, "")

    def make_problem(
        self,
        keys: Keys,
        what: str,
        mend: str,
        severity: Severity = "error",
        *,
        at_key: bool = False,
    ) -> Problem:
        """A problem with the value (or the key) at this path."""
        line, column = self.where_key(keys) if at_key else self.where(keys)
        return Problem(self.file, line, column, what, mend, severity)

    def _find_known(self, keys: Keys) -> Keys:
        while keys and keys not in self.places:
            keys = keys[:-1]
        return keys


def format_keys(keys: Keys) -> str:
    """A key path as people write it: `assist.levels[2].speed`, counting list items from 1."""
    words = ""
    for key in keys:
        if isinstance(key, int):
            words += f"[{key + 1}]"
        else:
            words += f".{key}" if words else key
    return words


def quote_value(value: object, limit: int = 80) -> str:
    """A value in quotation marks for a message, as it is written in a file, cut at `limit` characters."""
    written = str(value).lower() if isinstance(value, bool) else str(value)
    words = " ".join(written.split())
    if len(words) > limit:
        words = words[: limit - 1] + "…"
    return f"'{words}'"
