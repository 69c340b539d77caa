"""Values of a checked spec file, with the source of each.

* CheckedSpec    a checked spec file: `get` and `get_list` give plain values, `get_stated` and `get_measured` quantities
* tidy_text      a text on one line
* read_date      a date
"""

from datetime import date
from typing import Any

from generator.specs.bike import Basis, Source, Stated
from generator.specs.quantity import parse_quantity
from generator.specs.yaml.keypath import find_keys
from generator.specs.yaml.located import Keys, LocatedMapping


class CheckedSpec:
    """A spec file that the schema has passed."""

    def __init__(self, mapping: LocatedMapping) -> None:
        self.mapping = mapping
        self.sources = {
            key: Source(
                id=key,
                title=tidy_text(below["title"]),
                kind=below["kind"],
                url=below.get("url"),
                seen=read_date(below.get("seen")),
            )
            for key, below in mapping.value["sources"].items()
        }
        self.stated_by: dict[Keys, str] = {}
        for words, source in mapping.value.get("stated_by", {}).items():
            keys = find_keys(mapping.value, words)
            if keys is not None:
                self.stated_by[keys] = source
        own = [source.id for source in self.sources.values() if source.kind == "own test"]
        self.own = own[0] if own else None
        """Id of the first source that is the reviewers' own test."""

    def get(self, *keys: str | int, default: Any = None) -> Any:
        """The plain value at a path, or `default`."""
        value: Any = self.mapping.value
        for key in keys:
            if isinstance(value, dict):
                value = value.get(key)
            elif isinstance(value, list) and isinstance(key, int) and key < len(value):
                value = value[key]
            else:
                return default
        return default if value is None else value

    def get_list(self, *keys: str | int) -> tuple[Any, ...]:
        """The items of the list at a path."""
        return tuple(self.get(*keys, default=()))

    def find_source(self, *keys: str | int) -> Source:
        """The source of the value at a path: the nearest entry of `stated_by`, else the first source."""
        path: Keys = keys
        while path:
            if path in self.stated_by:
                return self.sources[self.stated_by[path]]
            path = path[:-1]
        return next(iter(self.sources.values()))

    def get_stated(self, dimension: str, *keys: str | int) -> Stated | None:
        """The quantity at a path with its source, or None."""
        value = self.get(*keys)
        if value is None:
            return None
        source = self.find_source(*keys)
        basis: Basis = "measured" if source.kind == "own test" else "claimed"
        return self._make_stated(dimension, keys, basis, source.id, source.seen)

    def get_measured(self, dimension: str, on: date | None, *keys: str | int) -> Stated | None:
        """The quantity at a path that the reviewers measured on a day, or None."""
        if self.get(*keys) is None:
            return None
        return self._make_stated(dimension, keys, "measured", self.own, on)

    def _make_stated(
        self, dimension: str, keys: Keys, basis: Basis, source: str | None, on: date | None
    ) -> Stated:
        words = self.mapping.text(keys) or str(self.get(*keys))
        return Stated(
            parse_quantity(str(self.get(*keys)), dimension).value, words, basis, source, on
        )


def tidy_text(value: object) -> str:
    """A value as text on one line, without doubled spaces."""
    return " ".join(str(value).split())


def read_date(value: Any) -> date | None:
    """A date written with or without quotes."""
    return date.fromisoformat(value) if isinstance(value, str) else value
