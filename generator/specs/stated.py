"""Picks values out of a checked spec file and says who stated each.

* Sheet     a spec file's mapping with `stated`, `one`, `many`, `day`
"""

from datetime import date
from typing import Any

from generator.specs.bike import Basis, Source, Stated
from generator.specs.quantity import parse
from generator.specs.yaml.keypath import resolve
from generator.specs.yaml.located import Keys, Marked


class Sheet:
    """A spec file that the schema has passed."""

    def __init__(self, marked: Marked) -> None:
        self.marked = marked
        self.sources = {
            key: Source(
                id=key,
                title=text(below["title"]),
                kind=below["kind"],
                url=below.get("url"),
                seen=day(below.get("seen")),
            )
            for key, below in marked.value["sources"].items()
        }
        self.stated_by: dict[Keys, str] = {}
        for words, source in marked.value.get("stated_by", {}).items():
            keys = resolve(marked.value, words)
            if keys is not None:
                self.stated_by[keys] = source
        own = [source.id for source in self.sources.values() if source.kind == "own test"]
        self.own = own[0] if own else None
        """Id of the first source that is a test of the reviewers' own."""

    def one(self, *keys: str | int, default: Any = None) -> Any:
        """The plain value at a path."""
        value: Any = self.marked.value
        for key in keys:
            if isinstance(value, dict):
                value = value.get(key)
            elif isinstance(value, list) and isinstance(key, int) and key < len(value):
                value = value[key]
            else:
                return default
        return default if value is None else value

    def many(self, *keys: str | int) -> tuple[Any, ...]:
        """The items of the list at a path."""
        return tuple(self.one(*keys, default=()))

    def source(self, *keys: str | int) -> Source:
        """Who stated the value at a path: the nearest entry of `stated_by`, or the first source."""
        path: Keys = keys
        while path:
            if path in self.stated_by:
                return self.sources[self.stated_by[path]]
            path = path[:-1]
        return next(iter(self.sources.values()))

    def stated(self, dimension: str, *keys: str | int) -> Stated | None:
        """The quantity at a path, in SI, with its source."""
        value = self.one(*keys)
        if value is None:
            return None
        source = self.source(*keys)
        basis: Basis = "measured" if source.kind == "own test" else "claimed"
        return self._stated(dimension, keys, basis, source.id, source.seen)

    def measured(self, dimension: str, on: date | None, *keys: str | int) -> Stated | None:
        """A quantity that the reviewers measured on a day."""
        if self.one(*keys) is None:
            return None
        return self._stated(dimension, keys, "measured", self.own, on)

    def _stated(
        self, dimension: str, keys: Keys, basis: Basis, source: str | None, on: date | None
    ) -> Stated:
        words = self.marked.text(keys) or str(self.one(*keys))
        return Stated(parse(str(self.one(*keys)), dimension).value, words, basis, source, on)


def text(value: object) -> str:
    """Text of a spec file on one line, without doubled spaces."""
    return " ".join(str(value).split())


def day(value: Any) -> date | None:
    """A date written with or without quotes."""
    return date.fromisoformat(value) if isinstance(value, str) else value
